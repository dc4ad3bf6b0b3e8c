package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"abut/internal/job"
)

// length is a length in millimetres, typed with a unit.
type length float64

// unitsMM are the units that lengths are typed in. CSS and SVG 2: 1 in =
// 25.4 mm = 96 px = 72 pt.
var unitsMM = []struct {
	suffix string
	mm     float64
}{
	{"mm", 1}, {"cm", 10}, {"in", 25.4}, {"pt", 25.4 / 72}, {"px", 25.4 / 96},
}

// maxLengthMM is the largest length taken: what the grid of the planar map is
// made for.
const maxLengthMM = 2000

// UnmarshalText reads '90mm', '9 cm', '3.5in', '12pt', '96px'; a bare number is
// millimetres, a comma may stand for the point.
func (l *length) UnmarshalText(text []byte) error {
	s := strings.ToLower(strings.TrimSpace(string(text)))
	factor := 1.0
	for _, u := range unitsMM {
		if n, ok := strings.CutSuffix(s, u.suffix); ok {
			s, factor = strings.TrimSpace(n), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) || strings.ContainsAny(s, "xpe_") {
		return fmt.Errorf("%q is not a length such as 90mm, 9cm or 3.5in", text)
	}
	if v *= factor; v <= 0 {
		return fmt.Errorf("%q is not more than nothing", text)
	}
	if v > maxLengthMM {
		return fmt.Errorf("%q is more than %d mm", text, maxLengthMM)
	}
	*l = length(v)
	return nil
}

// bareFlag is auto, none, or a list of colours.
type bareFlag struct{ job.BareRule }

// UnmarshalText reads the flag's value.
func (f *bareFlag) UnmarshalText(text []byte) error {
	switch strings.ToLower(string(text)) {
	case "auto":
		f.BareRule = job.BareRule{Mode: job.BareAuto}
		return nil
	case "none":
		f.BareRule = job.BareRule{Mode: job.BareNone}
		return nil
	}
	rule := job.BareRule{Mode: job.BareListed}
	for s := range strings.SplitSeq(string(text), ",") {
		c, err := parseColour(s)
		if err != nil {
			return fmt.Errorf("%w; say auto, none, or colours with commas between", err)
		}
		rule.Colours = append(rule.Colours, c)
	}
	f.BareRule = rule
	return nil
}

// frameFlag is auto, none, or the colour that the frame is cut from.
type frameFlag struct{ job.FrameRule }

// UnmarshalText reads the flag's value.
func (f *frameFlag) UnmarshalText(text []byte) error {
	switch strings.ToLower(string(text)) {
	case "auto":
		f.FrameRule = job.FrameRule{Mode: job.FrameAuto}
		return nil
	case "none":
		f.FrameRule = job.FrameRule{Mode: job.FrameNone}
		return nil
	}
	c, err := parseColour(string(text))
	if err != nil {
		return fmt.Errorf("%w; say auto, none, or one colour", err)
	}
	f.FrameRule = job.FrameRule{Mode: job.FrameOn, Colour: c}
	return nil
}

// parseColour reads a colour as the art's files spell it, #rrggbb; the # may be
// missing, for a shell takes it for a comment.
func parseColour(s string) (job.Colour, error) {
	s = strings.ToLower(strings.TrimSpace(s))
	switch s {
	case "white":
		return job.White, nil
	case "black":
		return job.Colour{}, nil
	}
	c, err := job.ParseColour(s)
	if err != nil {
		return c, fmt.Errorf("%q is not a colour such as ff8800 (or '#ff8800' in quotes), white or black", s)
	}
	return c, nil
}
