package assets

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The icons are drawn as strokes, but the window's SVG painter does not scale
// stroke widths (an icon at twice the size gets lines half as bold) and its
// themes recolour fills only. So what Icon hands out are the same lines as
// filled outlines, all running clockwise, so that the nonzero rule joins them.

// point is a place on the icon's grid.
type point struct{ x, y float64 }

// mark is one element of an icon file. Only what the icons use is understood.
type mark struct {
	XMLName xml.Name
	Fill    string  `xml:"fill,attr"`
	Stroke  string  `xml:"stroke,attr"`
	Width   float64 `xml:"stroke-width,attr"`
	D       string  `xml:"d,attr"`
	CX      float64 `xml:"cx,attr"`
	CY      float64 `xml:"cy,attr"`
	R       float64 `xml:"r,attr"`
}

// outlined returns the icon with every stroke turned into a filled path.
func outlined(svg []byte) ([]byte, error) {
	var doc struct {
		Marks []mark `xml:",any"`
	}
	if err := xml.Unmarshal(svg, &doc); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	out.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="24" height="24" viewBox="0 0 24 24">` + "\n")
	for _, m := range doc.Marks {
		d := m.D
		switch {
		case m.XMLName.Local == "circle" && m.Stroke == "none":
			d = ring(point{m.CX, m.CY}, m.R, false)
		case m.XMLName.Local == "circle":
			d = ring(point{m.CX, m.CY}, m.R+m.Width/2, false) + ring(point{m.CX, m.CY}, m.R-m.Width/2, true)
		case m.Stroke != "none":
			lines, err := polylines(m.D)
			if err != nil {
				return nil, err
			}
			var b strings.Builder
			for _, l := range lines {
				thicken(&b, l, m.Width/2)
			}
			d = b.String()
		}
		fmt.Fprintf(&out, "<path fill=%q d=%q/>\n", IconColour, strings.TrimSpace(d))
	}
	out.WriteString("</svg>\n")
	return out.Bytes(), nil
}

// chordsPerCurve keeps the chords of the tightest curve here, a quarter of a
// circle of radius 9, within 0.02 units: a 25th of a pixel at 48 pixels.
const chordsPerCurve = 12

// polylines reads path data made of absolute M, L, C and Z.
func polylines(d string) ([][]point, error) {
	var lines [][]point // the last one is being drawn
	var command byte
	var args []float64
	for _, field := range strings.Fields(spaced.Replace(d)) {
		if c := field[0]; c >= 'A' && c <= 'Z' {
			command, args = c, nil
			if last := len(lines) - 1; c == 'Z' && last >= 0 {
				lines[last] = append(lines[last], lines[last][0])
			}
			continue
		}
		v, err := strconv.ParseFloat(field, 64)
		if err != nil {
			return nil, fmt.Errorf("path %q: %w", d, err)
		}
		takes, known := arguments[command]
		if !known || command != 'M' && len(lines) == 0 {
			return nil, fmt.Errorf("path %q uses %c", d, command)
		}
		if args = append(args, v); len(args) < takes {
			continue
		}
		to := point{args[takes-2], args[takes-1]}
		switch last := len(lines) - 1; command {
		case 'M':
			lines, command = append(lines, []point{to}), 'L'
		case 'L':
			lines[last] = append(lines[last], to)
		case 'C':
			lines[last] = curve(lines[last], point{args[0], args[1]}, point{args[2], args[3]}, to)
		}
		args = nil
	}
	return lines, nil
}

// arguments is how many numbers a command takes.
var arguments = map[byte]int{'M': 2, 'L': 2, 'C': 6}

// curve adds the chords of a cubic to a line.
func curve(line []point, c1, c2, to point) []point {
	from := line[len(line)-1]
	for i := 1; i <= chordsPerCurve; i++ {
		t := float64(i) / chordsPerCurve
		u := 1 - t
		bez := func(a, b, c, d float64) float64 { return u*u*u*a + 3*u*u*t*b + 3*u*t*t*c + t*t*t*d }
		line = append(line, point{bez(from.x, c1.x, c2.x, to.x), bez(from.y, c1.y, c2.y, to.y)})
	}
	return line
}

var spaced = strings.NewReplacer("M", " M ", "L", " L ", "C", " C ", "Z", " Z ", ",", " ")

// thicken writes the area within r of the line through the points: one strip
// with round ends for every run without a corner. (Disc and quad for every
// chord would be simpler, but half-covered pixels along the edge would count
// twice and look rough.)
func thicken(b *strings.Builder, line []point, r float64) {
	line = distinct(line)
	start := 0
	for i := 1; i < len(line); i++ {
		if i == len(line)-1 || turn(line[i-1], line[i], line[i+1]) > cornerTurn {
			strip(b, line[start:i+1], r)
			start = i
		}
	}
}

// cornerTurn tells a corner from the next chord of a curve, which turns by a
// quarter circle over chordsPerCurve at the least and by a few times that
// where a curve is tight.
const cornerTurn = 35 * math.Pi / 180

func distinct(line []point) []point {
	out := line[:1:1]
	for _, p := range line[1:] {
		if p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	return out
}

func turn(a, b, c point) float64 {
	ux, uy, vx, vy := b.x-a.x, b.y-a.y, c.x-b.x, c.y-b.y
	return math.Abs(math.Atan2(ux*vy-uy*vx, ux*vx+uy*vy))
}

// strip writes one contour: along one side of the line, round its end, back
// along the other side, round its start.
func strip(b *strings.Builder, line []point, r float64) {
	n := len(line)
	heading := func(i int) float64 {
		from, to := line[max(i-1, 0)], line[min(i+1, n-1)]
		return math.Atan2(to.y-from.y, to.x-from.x)
	}
	command := byte('M')
	put := func(p point, angle float64) {
		s, c := math.Sincos(angle)
		fmt.Fprintf(b, "%c%.3f %.3f ", command, p.x+r*c, p.y+r*s)
		command = 'L'
	}
	const capChords = 10
	for i, p := range line {
		put(p, heading(i)-math.Pi/2)
	}
	for k := 1; k < capChords; k++ {
		put(line[n-1], heading(n-1)-math.Pi/2+float64(k)*math.Pi/capChords)
	}
	for i := n - 1; i >= 0; i-- {
		put(line[i], heading(i)+math.Pi/2)
	}
	for k := 1; k < capChords; k++ {
		put(line[0], heading(0)+math.Pi/2+float64(k)*math.Pi/capChords)
	}
	b.WriteString("Z ")
}

// ring returns a circle of four cubics, clockwise or the other way.
func ring(c point, r float64, counter bool) string {
	k, s := 0.5523*r, 1.0
	if counter {
		s = -1
	}
	return fmt.Sprintf("M%.3f %.3f C%.3f %.3f %.3f %.3f %.3f %.3f C%.3f %.3f %.3f %.3f %.3f %.3f C%.3f %.3f %.3f %.3f %.3f %.3f C%.3f %.3f %.3f %.3f %.3f %.3f Z ",
		c.x+r, c.y,
		c.x+r, c.y+s*k, c.x+k, c.y+s*r, c.x, c.y+s*r,
		c.x-k, c.y+s*r, c.x-r, c.y+s*k, c.x-r, c.y,
		c.x-r, c.y-s*k, c.x-k, c.y-s*r, c.x, c.y-s*r,
		c.x+k, c.y-s*r, c.x+r, c.y-s*k, c.x+r, c.y)
}
