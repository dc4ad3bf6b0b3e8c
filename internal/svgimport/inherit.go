package svgimport

// notInherited are the properties that children do not take over by
// themselves.
var notInherited = map[string]bool{
	"display": true, "opacity": true, "clip-path": true, "mask": true, "mask-type": true, "filter": true,
	"mix-blend-mode": true, "overflow": true, "transform": true, "transform-origin": true, "transform-box": true,
	"stop-color": true, "stop-opacity": true,
	"vector-effect": true, "text-decoration": true, "text-decoration-line": true, "baseline-shift": true,
	"alignment-baseline": true,
}

// copyFrom takes one property over from another style: inherit and initial. Those
// that say how large a shape is stay as they are.
func (st *style) copyFrom(name string, o *style) {
	switch name {
	case "color":
		st.color = o.color
	case "fill":
		st.fill = o.fill
	case "stroke":
		st.stroke = o.stroke
	case "fill-opacity":
		st.fillOpacity = o.fillOpacity
	case "stroke-opacity":
		st.strokeOpacity = o.strokeOpacity
	case "fill-rule":
		st.fillRule = o.fillRule
	case "clip-rule":
		st.clipRule = o.clipRule
	case "stroke-width":
		st.strokeWidth = o.strokeWidth
	case "stroke-linejoin":
		st.join = o.join
	case "stroke-linecap":
		st.cap = o.cap
	case "stroke-miterlimit":
		st.miterLimit = o.miterLimit
	case "stroke-dasharray":
		st.dashes = o.dashes
	case "stroke-dashoffset":
		st.dashOffset = o.dashOffset
	case "visibility":
		st.visible = o.visible
	case "font-size":
		st.fontSize = o.fontSize
	case "font":
		st.font.copyFont(o.font)
	case "paint-order":
		st.strokeFirst = o.strokeFirst
	case "marker":
		st.markers = o.markers
	case "marker-start":
		st.markers[0] = o.markers[0]
	case "marker-mid":
		st.markers[1] = o.markers[1]
	case "marker-end":
		st.markers[2] = o.markers[2]
	case "display":
		st.own.hidden = o.own.hidden
	case "opacity":
		st.own.opacity = o.own.opacity
	case "clip-path":
		st.own.clip, st.own.clipShape = o.own.clip, o.own.clipShape
	case "mask":
		st.own.mask = o.own.mask
	case "mask-type":
		st.own.alphaMask = o.own.alphaMask
	case "filter":
		st.own.filter = o.own.filter
	case "mix-blend-mode":
		st.own.blend = o.own.blend
	case "overflow":
		st.own.overflow = o.own.overflow
	case "transform":
		st.own.transform = o.own.transform
	case "transform-origin":
		st.own.origin = o.own.origin
	case "transform-box":
		st.own.originBox = o.own.originBox
	case "stop-color":
		st.own.stopColor = o.own.stopColor
	case "stop-opacity":
		st.own.stopOpacity = o.own.stopOpacity
	case "vector-effect":
		st.own.fixedStroke = o.own.fixedStroke
	case "text-decoration", "text-decoration-line":
		st.own.lines = o.own.lines
	case "baseline-shift":
		st.own.baselineShift = o.own.baselineShift
	case "alignment-baseline":
		st.own.alignment = o.own.alignment
	default:
		st.font.copyFrom(name, o.font)
	}
}
