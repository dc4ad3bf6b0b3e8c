package svgimport

import (
	"fmt"
	"strconv"

	"abut/internal/job"
	"abut/internal/message"
)

// Ids of warnings. Every warning has the args element (as in 'path #beak'), line
// and layer: the layer that the element became, else what people called the
// element, empty when they did not.
const (
	WarnPathData   = "import-path-error"        // drawn up to the error
	WarnTransform  = "import-transform-error"   // a transform that cannot be read is skipped
	WarnRange      = "import-out-of-range"      // coordinates no float or sheet can hold; left out
	WarnImage      = "import-image"             // cannot be taken apart; left out
	WarnForeign    = "import-foreign-object"    // left out
	WarnGradient   = "import-gradient"          // average colour; args: colour
	WarnPattern    = "import-pattern"           // average colour or fallback; args: colour
	WarnMask       = "import-mask"              // approximated by a threshold
	WarnFilter     = "import-filter"            // effect left out
	WarnBlend      = "import-blend"             // effect left out
	WarnAnimation  = "import-animation"         // shown as it stands without it
	WarnScript     = "import-script"            // never run
	WarnExternal   = "import-external"          // never fetched; args: target
	WarnMissing    = "import-missing-reference" // args: target
	WarnPaint      = "import-missing-paint"     // args: target
	WarnRecursive  = "import-recursive"         // a clip, mask or marker that contains itself
	WarnOpacity    = "import-group-opacity"     // see-through parts in a see-through group
	WarnDashes     = "import-dashes"            // too many dashes: drawn solid
	WarnStyleSheet = "import-style-sheet"       // a rule that is not understood; args: rule
	WarnClipShape  = "import-clip-shape"        // a basic shape that is not understood; args: rule
	WarnProperty   = "import-property"          // a property that there is not; args: property
	WarnValue      = "import-value"             // a value that is not understood and counts as not written; args: property, value
	WarnElement    = "import-element"           // an element that is not understood; left out
	WarnClipGroup  = "import-clip-group"        // a clip by a group, or a copy of one, which clips nothing by the standard
	WarnNoPaint    = "import-no-paint"          // a gradient or pattern that paints nothing here; args: target
	WarnNoRoom     = "import-no-room"           // a gradient, pattern, mask or clip measured by a box without width or height; args: target
	WarnPageColour = "import-page-colour"       // of the root, which is no shape; left out
	WarnOffPage    = "import-off-page"          // beyond the canvas, so nothing of it is seen; args: count
	WarnTextCut    = "import-text-cut"          // a text that the canvas' edge cuts off
	WarnMore       = "import-more"              // args: count
)

// maxWarnings is how many are listed; nobody reads more, and a file with
// 200,000 pictures in it must not make a list of 200,000 lines.
const maxWarnings = 200

// warn lists a warning about n, once for each id and element.
func (im *importer) warn(id string, n *node, args ...string) {
	key := warnKey{id, n}
	if im.quiet > 0 || im.warned[key] {
		return
	}
	if im.onlyMean && (id == WarnGradient || id == WarnPattern || id == WarnOpacity) {
		return // how parts of a tile are simplified does not matter
	}
	im.warned[key] = true
	if len(im.warnings) >= maxWarnings {
		im.unlisted++
		return
	}
	args = append(args, "element", n.describe(), "line", strconv.Itoa(n.line), "layer", n.label())
	im.warnings = append(im.warnings, job.Warning{Message: message.Of(id, args...), Line: n.line, Element: n.describe()})
}

type warnKey struct {
	id string
	n  *node
}

// finishWarnings names the layers and closes the list with a count of what is
// not on it.
func (im *importer) finishWarnings(layers []job.Layer) []job.Warning {
	type place struct {
		element string
		line    int
	}
	names := map[place]string{}
	for i := range layers {
		o, _ := layers[i].Content.(job.Outlines)
		for _, s := range o.Shapes {
			names[place{s.Element, s.Line}] = layers[i].Name
		}
	}
	for _, w := range im.warnings {
		if w.ID == WarnOffPage {
			w.Args["count"] = strconv.Itoa(len(im.off))
			continue
		}
		if name, ok := names[place{w.Element, w.Line}]; ok {
			w.Args["layer"] = name
		}
	}
	if im.unlisted > 0 {
		im.warnings = append(im.warnings, job.Warning{Message: message.Of(WarnMore, "count", strconv.Itoa(im.unlisted))})
	}
	return im.warnings
}

// describe names the element for people: its kind and its id or, where it has none and
// is not the first of its kind on its line, which one it is there.
func (n *node) describe() string {
	switch {
	case n.id != "":
		return fmt.Sprintf("%s #%s", n.name, n.id)
	case n.twin > 0:
		return fmt.Sprintf("%s %d", n.name, n.twin+1)
	}
	return n.name
}
