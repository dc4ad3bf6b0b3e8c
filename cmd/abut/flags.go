package main

import (
	"errors"
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
	v, err := parseLength(string(text))
	if err == nil && v <= 0 {
		err = wrong("cli-wrong-nothing", "text", string(text))
	}
	*l = length(v)
	return err
}

// orNone is a length that may be 0, or none.
type orNone float64

// UnmarshalText reads a length, or 'none'.
func (l *orNone) UnmarshalText(text []byte) error {
	if strings.EqualFold(strings.TrimSpace(string(text)), "none") {
		*l = 0
		return nil
	}
	v, err := parseLength(string(text))
	if err == nil && v < 0 {
		err = wrong("cli-wrong-less", "text", string(text))
	}
	*l = orNone(v)
	return err
}

// parseLength reads a length in millimetres, of 0 or less too.
func parseLength(text string) (float64, error) {
	s := strings.ToLower(strings.TrimSpace(text))
	factor := 1.0
	for _, u := range unitsMM {
		if n, ok := strings.CutSuffix(s, u.suffix); ok {
			s, factor = strings.TrimSpace(n), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	// Go's numbers may be written in more ways than people write lengths.
	if err != nil || strings.Trim(s, "+-0123456789.,") != "" {
		return 0, wrong("cli-wrong-length", "text", text)
	}
	if v *= factor; v > maxLengthMM {
		return 0, wrong("cli-wrong-long", "text", text, "most", words.Number(maxLengthMM))
	}
	return v, nil
}

// count is how many there may be: one at least.
type count int

// UnmarshalText reads the flag's value.
func (n *count) UnmarshalText(text []byte) error {
	v, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil || v < 1 {
		return wrong("cli-wrong-count", "text", string(text))
	}
	*n = count(v)
	return nil
}

// artFlags are choices about the art itself.
type artFlags struct {
	Gradients gradientsFlag `default:"flat" placeholder:"flat|average|bands:N" help:"cli-help-gradients"`
	Opacity   string        `enum:"mix,top" default:"mix" placeholder:"mix|top" help:"cli-help-opacity"`
	Clips     string        `enum:"heed,ignore" default:"heed" placeholder:"heed|ignore" help:"cli-help-clips"`
	LeaveOut  []string      `placeholder:"LAYER" help:"cli-help-leave-out"`

	TraceColors count `placeholder:"N" help:"cli-help-trace-colors"`
	pixelFlags
}

// tracing is what they say about a picture of pixels.
func (f artFlags) tracing() job.Tracing { return f.pixelFlags.tracing(f.TraceColors) }

// pixelFlags are choices about a picture of pixels.
type pixelFlags struct {
	Detail     string `enum:"least,less,usual,more,most" default:"usual" placeholder:"least|less|usual|more|most" help:"cli-help-trace-detail"`
	BareGround bool   `xor:"ground" help:"cli-help-trace-bare-ground"`
	KeepGround bool   `xor:"ground" help:"cli-help-trace-keep-ground"`
	Straighten bool   `help:"cli-help-trace-straighten"`
	Beneath    bool   `help:"cli-help-trace-beneath"`
}

func (f pixelFlags) tracing(colours count) job.Tracing {
	detail := map[string]int{"least": -2, "less": -1, "more": 1, "most": 2}[f.Detail]
	return job.Tracing{Colours: int(colours), Detail: detail, BareGround: f.BareGround, KeepGround: f.KeepGround, Sheet: f.Straighten, Beneath: f.Beneath}
}

// gradientsFlag is how many bands a gradient becomes, 0 as many as it has flat
// stripes.
type gradientsFlag int

// UnmarshalText reads the flag's value.
func (f *gradientsFlag) UnmarshalText(text []byte) error {
	s := strings.ToLower(strings.TrimSpace(string(text)))
	switch s {
	case "flat":
		*f = 0
		return nil
	case "average":
		*f = 1
		return nil
	}
	n, ok := strings.CutPrefix(s, "bands:")
	v, err := strconv.Atoi(n)
	if !ok || err != nil || v < 2 || v > job.MaxBands {
		return wrong("cli-wrong-gradients", "text", string(text), "most", words.Number(job.MaxBands))
	}
	*f = gradientsFlag(v)
	return nil
}

// bareFlag is auto, none, or a list of colours.
type bareFlag struct{ job.BareRule }

// UnmarshalText reads the flag's value.
func (f *bareFlag) UnmarshalText(text []byte) error {
	f.BareRule = job.BareRule{}
	switch strings.ToLower(string(text)) {
	case "auto":
		return nil
	case "none":
		f.Mode = job.BareNone
		return nil
	}
	f.Mode = job.BareListed
	for s := range strings.SplitSeq(string(text), ",") {
		c, err := parseColour(s)
		if err != nil {
			return wrong("cli-wrong-bare", "wrong", err.Error())
		}
		f.Colours = append(f.Colours, c)
	}
	return nil
}

// frameFlag is auto, none, or the colour that the frame is cut from.
type frameFlag struct{ job.FrameRule }

// UnmarshalText reads the flag's value.
func (f *frameFlag) UnmarshalText(text []byte) error {
	f.FrameRule = job.FrameRule{}
	switch strings.ToLower(string(text)) {
	case "auto":
		return nil
	case "none":
		f.Mode = job.FrameNone
		return nil
	}
	var err error
	f.Mode = job.FrameOn
	if f.Colour, err = parseColour(string(text)); err != nil {
		return wrong("cli-wrong-frame", "wrong", err.Error())
	}
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
	s := strings.NewReplacer("×", "x", "px", "p*").Replace(strings.ToLower(string(text))) // an x of px parts nothing
	first, second, ok := strings.Cut(s, "x")
	if !ok {
		return wrong("cli-wrong-size", "text", string(text))
	}
	if strings.Trim(first, "0123456789., ") == "" {
		first += strings.TrimLeft(strings.TrimSpace(second), "0123456789.,")
	}
	typed := func(s string) []byte { return []byte(strings.ReplaceAll(s, "p*", "px")) }
	var w, h length
	err := w.UnmarshalText(typed(first))
	if err == nil {
		err = h.UnmarshalText(typed(second))
	}
	f.width, f.height = float64(w), float64(h)
	return err
}

// leastSheetMM is smaller than any sheet's side: a bare 12x12 is meant as inches.
const leastSheetMM = 20

// sheetFlag is the size of a sheet.
type sheetFlag struct{ sizeFlag }

// UnmarshalText reads the flag's value.
func (f *sheetFlag) UnmarshalText(text []byte) error {
	err := f.sizeFlag.UnmarshalText(text)
	if err == nil && min(f.width, f.height) < leastSheetMM {
		err = wrong("cli-wrong-sheet", "size", words.Size(f.width, f.height))
	}
	return err
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
	f.Blank = &b
	return explained(err)
}

// explained says what an error means and what can be done, where there is one.
func explained(err error) error {
	if err == nil {
		return nil
	}
	what, remedy := workshop.Explain(err)
	return errors.New(what + " " + remedy)
}

// formatsFlag lists the formats that files are written in.
type formatsFlag []workshop.Format

// UnmarshalText reads the flag's value.
func (f *formatsFlag) UnmarshalText(text []byte) (err error) {
	*f, err = workshop.FormatsNamed(string(text))
	return explained(err)
}

// blankNames lists the blanks that the command line knows, for its help.
func blankNames() string {
	var names []string
	for _, b := range workshop.KnownBlanks() {
		names = append(names, b.ID)
	}
	return strings.Join(names, ", ")
}
