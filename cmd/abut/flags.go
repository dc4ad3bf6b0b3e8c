package main

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/words"
	"abut/internal/workshop"
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
		return wrong("cli-wrong-length", "text", string(text))
	}
	if v *= factor; v <= 0 {
		return wrong("cli-wrong-nothing", "text", string(text))
	}
	if v > maxLengthMM {
		return wrong("cli-wrong-long", "text", string(text), "most", words.Number(maxLengthMM))
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
			return wrong("cli-wrong-bare", "wrong", err.Error())
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
		return wrong("cli-wrong-frame", "wrong", err.Error())
	}
	f.FrameRule = job.FrameRule{Mode: job.FrameOn, Colour: c}
	return nil
}

// parseColour reads a colour as the art's files spell it, #rrggbb; the # may be
// missing, for a shell takes it for a comment.
func parseColour(s string) (colour.RGB, error) {
	s = strings.ToLower(strings.TrimSpace(s))
	switch s {
	case "white":
		return colour.White, nil
	case "black":
		return colour.RGB{}, nil
	}
	c, err := colour.Parse(s)
	if err != nil {
		return c, wrong("cli-wrong-colour", "text", s)
	}
	return c, nil
}

// colourFlag is one colour.
type colourFlag struct{ *colour.RGB }

// UnmarshalText reads the flag's value.
func (f *colourFlag) UnmarshalText(text []byte) error {
	c, err := parseColour(string(text))
	f.RGB = &c
	return err
}

// sizeFlag is a width and a height in millimetres.
type sizeFlag struct{ width, height float64 }

// UnmarshalText reads '304.8x304.8', '12x12in' or '210mm x 297mm': the unit of
// the second length is also that of a first one without.
func (f *sizeFlag) UnmarshalText(text []byte) error {
	s := strings.ReplaceAll(strings.ToLower(string(text)), "×", "x")
	first, second, ok := strings.Cut(strings.ReplaceAll(s, "px", "p*"), "x")
	if !ok {
		return wrong("cli-wrong-size", "text", string(text))
	}
	first, second = strings.ReplaceAll(first, "p*", "px"), strings.ReplaceAll(second, "p*", "px")
	if strings.Trim(first, "0123456789., ") == "" {
		first += strings.TrimLeft(strings.TrimSpace(second), "0123456789.,")
	}
	var w, h length
	for _, x := range []struct {
		to   *length
		text string
	}{{&w, first}, {&h, second}} {
		if err := x.to.UnmarshalText([]byte(x.text)); err != nil {
			return err
		}
	}
	f.width, f.height = float64(w), float64(h)
	return nil
}

// blankFlag is a blank by its name or its size.
type blankFlag struct{ *job.Blank }

// UnmarshalText reads the flag's value.
func (f *blankFlag) UnmarshalText(text []byte) error {
	if s := strings.TrimSpace(string(text)); s != "" && s[0] >= '0' && s[0] <= '9' {
		var size sizeFlag
		if err := size.UnmarshalText(text); err != nil {
			return err
		}
		f.Blank = &job.Blank{Name: s, WidthMM: size.width, HeightMM: size.height}
		return nil
	}
	b, err := workshop.BlankNamed(string(text))
	var unknown *workshop.Error
	if errors.As(err, &unknown) {
		return errors.New(words.Chosen().Message(unknown.Message) + " " + words.Chosen().Remedy(unknown.Message))
	}
	f.Blank = &b
	return err
}

// blankNames lists the blanks that the command line knows, for its help.
func blankNames() string {
	var names []string
	for _, b := range workshop.KnownBlanks() {
		names = append(names, b.ID)
	}
	return strings.Join(names, ", ")
}
