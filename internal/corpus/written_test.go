package corpus

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"abut/geometry"
)

// written is what an export left behind, read back from its files alone: none
// of the program's own types are used, so that a mistake in how it writes cannot
// be undone by the same mistake in reading.
type written struct {
	Schema       string     `json:"schema"`
	WidthMM      float64    `json:"width_mm"`
	HeightMM     float64    `json:"height_mm"`
	PageMM       [2]float64 `json:"page_mm"`
	SourceToPage [6]float64 `json:"source_to_page"`
	Mirrored     bool       `json:"mirrored"`
	Base         string     `json:"base"`
	StackedAfter float64    `json:"stacked_after_mm2"`
	Separations  []struct {
		Order  int     `json:"order"`
		Name   string  `json:"name"`
		Color  string  `json:"color"`
		File   string  `json:"file"`
		Pieces int     `json:"pieces"`
		Area   float64 `json:"area_mm2"`
		Frame  bool    `json:"frame"`
	} `json:"separations"`
	Drawings []struct {
		Color string `json:"color"`
		File  string `json:"file"`
	} `json:"drawings"`
	Warnings []struct {
		ID   string `json:"id"`
		Text string `json:"text"`
	} `json:"warnings"`
	Verdict string `json:"verdict"`

	// sheets are the cut files, in the order of Separations, and pens what is drawn, as the
	// files have it.
	sheets []sheet
	pens   []string
}

// sheet is one cut file.
type sheet struct {
	Data    string // path data as it stands in the file
	Colour  string
	Outline geometry.Path // mirrored page millimetres
	Frame   geometry.Path
	Box     geometry.Path
	Weeding geometry.Path // lines of two points
}

// readWritten reads job.json and every cut file that it names.
func readWritten(dir string) (*written, error) {
	b, err := os.ReadFile(filepath.Join(dir, "job.json"))
	if err != nil {
		return nil, err
	}
	w := new(written)
	if err := json.Unmarshal(b, w); err != nil {
		return nil, err
	}
	if w.Schema != "abut-job/1" || !w.Mirrored {
		return nil, fmt.Errorf("schema %q, mirrored %v", w.Schema, w.Mirrored)
	}
	for _, s := range w.Separations {
		sh, err := readSheet(filepath.Join(dir, s.File), w.PageMM)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.File, err)
		}
		if !strings.EqualFold(sh.Colour, s.Color) {
			return nil, fmt.Errorf("%s is filled %s, job.json says %s", s.File, sh.Colour, s.Color)
		}
		w.sheets = append(w.sheets, sh)
	}
	for _, d := range w.Drawings {
		b, err := os.ReadFile(filepath.Join(dir, d.File))
		if err != nil {
			return nil, err
		}
		path := regexp.MustCompile(`<path id="drawn"[^>]*/>`).Find(b)
		if path == nil {
			return nil, fmt.Errorf("%s draws nothing", d.File)
		}
		w.pens = append(w.pens, string(path))
	}
	return w, nil
}

func readSheet(name string, page [2]float64) (sheet, error) {
	f, err := os.Open(name)
	if err != nil {
		return sheet{}, err
	}
	defer f.Close()
	var out sheet
	d := xml.NewDecoder(f)
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return sheet{}, err
		}
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		attr := map[string]string{}
		for _, a := range e.Attr {
			attr[a.Name.Local] = a.Value
		}
		switch e.Name.Local {
		case "svg":
			err = isPage(attr, page)
		case "path":
			err = out.takePath(attr)
		case "title":
		default:
			err = fmt.Errorf("element %s", e.Name.Local)
		}
		if err != nil {
			return sheet{}, err
		}
	}
	if out.Outline == nil {
		return sheet{}, errors.New("nothing to cut in it")
	}
	return out, nil
}

// isPage fails where a file has another size than job.json says.
func isPage(attr map[string]string, page [2]float64) error {
	w, h := strconv.FormatFloat(page[0], 'f', -1, 64), strconv.FormatFloat(page[1], 'f', -1, 64)
	if attr["width"] != w+"mm" || attr["height"] != h+"mm" || attr["viewBox"] != "0 0 "+w+" "+h {
		return fmt.Errorf("page is %s × %s, viewBox %q, want %s × %s mm", attr["width"], attr["height"], attr["viewBox"], w, h)
	}
	return nil
}

// takePath takes a path for what it is called.
func (s *sheet) takePath(attr map[string]string) error {
	data := attr["d"]
	if attr["id"] == "weeding" { // lines that are open
		data = strings.ReplaceAll(data, "M", "ZM")[1:] + "Z"
	}
	p, err := readPath(data)
	if err != nil {
		return err
	}
	switch attr["id"] {
	case "weeding":
		s.Weeding = p
	case "box":
		s.Box = p
	case "frame":
		if s.Frame != nil || attr["fill"] != "none" || attr["stroke-width"] != "0.1" {
			return errors.New("frame is not one unfilled line of 0.1 mm")
		}
		s.Frame = p
	default:
		if s.Outline != nil || attr["fill-rule"] != "evenodd" || attr["stroke"] != "" {
			return errors.New("not one filled even-odd path without a stroke")
		}
		s.Outline, s.Data, s.Colour = p, data, attr["fill"]
	}
	return nil
}

// readPath reads path data of absolute M, L, C and Z, in which every contour
// must be closed.
func readPath(d string) (geometry.Path, error) {
	r := pathReader{d: d}
	for r.i < len(d) {
		if err := r.step(); err != nil {
			return nil, err
		}
	}
	if n := len(r.path); n == 0 || !r.path[n-1].Closed {
		return nil, errors.New("no closed contour")
	}
	return r.path, nil
}

type pathReader struct {
	d       string
	i       int
	command byte
	path    geometry.Path
}

// step reads a blank, or a command (its letter may be that of the one before)
// with its points.
func (r *pathReader) step() error {
	switch c := r.d[r.i]; c {
	case ' ', '\n':
		r.i++
		return nil
	case 'M', 'L', 'C', 'Z':
		r.command = c
		r.i++
	}
	n := len(r.path)
	if open := n > 0 && !r.path[n-1].Closed; open == (r.command == 'M') {
		return fmt.Errorf("%c at %d: a contour is not closed", r.command, r.i)
	}
	var p [3]geometry.Point
	for k := range map[byte]int{'M': 1, 'L': 1, 'C': 3}[r.command] {
		var err error
		if p[k], err = r.point(); err != nil {
			return err
		}
	}
	switch r.command {
	case 'M':
		r.path = append(r.path, geometry.Contour{Start: p[0]})
		return nil
	case 'Z':
		r.path[n-1].Closed = true
		return nil
	}
	s := geometry.LineTo(p[0])
	if r.command == 'C' {
		s = geometry.CubicTo(p[0], p[1], p[2])
	}
	r.path[n-1].Segments = append(r.path[n-1].Segments, s)
	return nil
}

func (r *pathReader) point() (geometry.Point, error) {
	x, err := r.number()
	if err != nil {
		return geometry.Point{}, err
	}
	y, err := r.number()
	return geometry.Pt(x, y), err
}

func (r *pathReader) number() (float64, error) {
	for r.i < len(r.d) && (r.d[r.i] == ' ' || r.d[r.i] == ',') {
		r.i++
	}
	from := r.i
	for r.i < len(r.d) && strings.IndexByte("-.0123456789", r.d[r.i]) >= 0 {
		r.i++
	}
	if _, decimals, ok := strings.Cut(r.d[from:r.i], "."); ok && len(decimals) > 4 {
		return 0, fmt.Errorf("%s has more than four decimals", r.d[from:r.i])
	}
	return strconv.ParseFloat(r.d[from:r.i], 64)
}

// unmirrored returns the sheet's outline as the art shows it, in page
// millimetres.
func (w *written) unmirrored(i int) geometry.Path {
	return w.sheets[i].Outline.Transform(geometry.MirrorX(w.PageMM[0]))
}

func (w *written) outlines() []geometry.Path {
	out := make([]geometry.Path, len(w.sheets))
	for i, s := range w.sheets {
		out[i] = s.Outline
	}
	return out
}

func (w *written) sourceToPage() geometry.Affine {
	m := w.SourceToPage
	return geometry.Affine{A: m[0], B: m[1], C: m[2], D: m[3], E: m[4], F: m[5]}
}
