package abutfile

import (
	"encoding/json"
	"errors"
	"math"
	"strconv"

	"abut/geometry"
)

// wirePath is a path as text: M x y, then L x y or C x y x y x y for each
// segment, and Z after a contour that is closed.
type wirePath geometry.Path

// MarshalJSON implements json.Marshaler.
func (p wirePath) MarshalJSON() ([]byte, error) {
	b := []byte{'"'}
	put := func(q geometry.Point) {
		b = strconv.AppendFloat(append(b, ' '), q.X, 'g', -1, 64)
		b = strconv.AppendFloat(append(b, ' '), q.Y, 'g', -1, 64)
	}
	if !geometry.Path(p).Finite() {
		return nil, errors.New("a path with a coordinate that is no number")
	}
	for i, c := range p {
		if i > 0 {
			b = append(b, ' ')
		}
		b = append(b, 'M')
		put(c.Start)
		for _, s := range c.Segments {
			if s.Cubic {
				b = append(b, " C"...)
				put(s.C1)
				put(s.C2)
			} else {
				b = append(b, " L"...)
			}
			put(s.End)
		}
		if c.Closed {
			b = append(b, " Z"...)
		}
	}
	return append(b, '"'), nil
}

// UnmarshalJSON implements json.Unmarshaler.
func (p *wirePath) UnmarshalJSON(b []byte) error {
	var s string
	if err := json.Unmarshal(b, &s); err != nil {
		return err
	}
	r := pathReader{rest: s}
	*p = nil
	for r.err == nil {
		word := r.word()
		if word == "" {
			break
		}
		if word == "M" {
			*p = append(*p, geometry.Contour{Start: r.point()})
			continue
		}
		if len(*p) == 0 {
			return errPath
		}
		c := &(*p)[len(*p)-1]
		switch {
		case c.Closed:
			return errPath
		case word == "L":
			c.Segments = append(c.Segments, geometry.LineTo(r.point()))
		case word == "C":
			c1, c2 := r.point(), r.point()
			c.Segments = append(c.Segments, geometry.CubicTo(c1, c2, r.point()))
		case word == "Z":
			c.Closed = true
		default:
			return errPath
		}
	}
	return r.err
}

var errPath = errors.New("outlines that cannot be read")

type pathReader struct {
	rest string
	err  error
}

func (r *pathReader) word() string {
	i := 0
	for i < len(r.rest) && r.rest[i] == ' ' {
		i++
	}
	from := i
	for i < len(r.rest) && r.rest[i] != ' ' {
		i++
	}
	w := r.rest[from:i]
	r.rest = r.rest[i:]
	return w
}

func (r *pathReader) point() geometry.Point { return geometry.Pt(r.number(), r.number()) }

func (r *pathReader) number() float64 {
	v, err := strconv.ParseFloat(r.word(), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		r.err = errPath
	}
	return v
}
