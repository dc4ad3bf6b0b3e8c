// Package lettering sets the text of a layer: it becomes outlines.
package lettering

import (
	"context"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/message"
	"abut/internal/typeset"
)

// Ids of what Set says of letters that no font has: LettersLost notes that they are left out,
// NoLetters is the error where nothing else is left.
const (
	LettersLost = "text-letters-lost"
	NoLetters   = "text-letters-none"
)

// lineHeight is how far lines of text lie apart, in sizes of the font; common
// practice.
const lineHeight = 1.2

// OwnFamily is the font family that comes along with the program.
const OwnFamily = "Go"

// Families lists the font families that text can be set in, sorted.
func Families(ctx context.Context) ([]string, error) {
	fonts, err := typeset.System(ctx)
	if err != nil {
		return nil, err
	}
	return fonts.Families(ctx)
}

// Set sets a text in the installed fonts: it returns it with its outlines,
// and what is not as it was asked for. Errors are *job.EditError, or the
// context's own.
func Set(ctx context.Context, t job.Text) (job.Text, []message.Message, error) {
	fonts, err := typeset.System(ctx)
	if err != nil {
		return t, nil, err
	}
	return SetIn(fonts, t)
}

// SetIn is Set in given fonts.
func SetIn(fonts *typeset.Fonts, t job.Text) (job.Text, []message.Message, error) {
	if err := t.Check(); err != nil {
		return t, nil, err
	}
	return set(fonts, t)
}

func set(fonts *typeset.Fonts, t job.Text) (job.Text, []message.Message, error) {
	family := t.Family
	if family == "" {
		family = OwnFamily
	}
	style := typeset.Style{Face: typeset.Face{Families: []string{family}, Weight: t.Weight, Italic: t.Italic}, Size: t.SizeMM, LetterSpacing: t.SpacingMM}
	share := map[job.TextAlign]float64{job.TextStart: 0, job.TextMiddle: 0.5, job.TextEnd: 1}[t.Align]
	t.Shapes = nil
	var notes []message.Message
	off := 0
	for i, text := range strings.Split(strings.ReplaceAll(t.Text, "\r\n", "\n"), "\n") {
		line := fonts.Shape([]typeset.Span{{Text: strings.TrimSpace(text), Style: style}}, rightToLeft(text))
		down := float64(i) * lineHeight * t.SizeMM
		var path geometry.Path
		if t.Arc == nil {
			path = line.Outline().Transform(geometry.Translate(-share*line.Advance, down))
		} else {
			radius := t.Arc.RadiusMM - down
			if t.Arc.Inside {
				radius = t.Arc.RadiusMM + down
			}
			if radius <= 0 {
				return t, nil, &job.EditError{Message: message.Message{ID: job.BadText}}
			}
			var lost int
			path, lost = line.Along(typeset.NewTrack(circle(radius, t.Arc.Inside)), math.Pi*radius-share*line.Advance)
			off += lost
		}
		for _, n := range line.Notes {
			notes = append(notes, noteOf(n))
		}
		if len(path) > 0 {
			t.Shapes = append(t.Shapes, job.Shape{Path: path, Rule: geometry.NonZero, Element: "text"})
		}
	}
	if off > 0 {
		notes = append(notes, message.Message{ID: "text-past-arc", Args: map[string]string{"count": strconv.Itoa(off)}})
	}
	if len(t.Shapes) == 0 {
		if i := slices.IndexFunc(notes, func(n message.Message) bool { return n.ID == LettersLost }); i >= 0 {
			return t, notes, &job.EditError{Message: message.Of(NoLetters, "letters", notes[i].Args["letters"])}
		}
		return t, notes, &job.EditError{Message: message.Message{ID: job.EmptyText}}
	}
	return t, unlike(notes), nil
}

// circle is the line that letters stand on, beginning opposite to its middle and
// run so that they read from left to right there.
func circle(radius float64, inside bool) geometry.Path {
	c := geometry.Path{geometry.Ellipse(geometry.Point{}, radius, radius)}
	if inside {
		return c.Transform(geometry.Rotate(-math.Pi / 2)).Reverse()
	}
	return c.Transform(geometry.Rotate(math.Pi / 2))
}

// rightToLeft reports whether a line's first letter is one of a script that is
// written from right to left (UAX #9, P2 and P3).
func rightToLeft(s string) bool {
	for _, r := range s {
		if unicode.IsLetter(r) {
			return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Adlam)
		}
	}
	return false
}

func noteOf(n typeset.Note) message.Message {
	m := message.Message{Args: map[string]string{"font": n.Wanted, "used": strings.Join(n.Used, ", "), "letters": n.Letters}}
	switch n.Kind {
	case typeset.FontMissing:
		m.ID = "text-font"
	case typeset.LettersElsewhere:
		m.ID = "text-letters"
	case typeset.LettersLost:
		m.ID = LettersLost
	}
	return m
}

// unlike drops what was said before.
func unlike(list []message.Message) []message.Message {
	var out []message.Message
	for _, m := range list {
		same := func(o message.Message) bool {
			return o.ID == m.ID && o.Args["font"] == m.Args["font"] && o.Args["letters"] == m.Args["letters"]
		}
		if !slices.ContainsFunc(out, same) {
			out = append(out, m)
		}
	}
	return out
}
