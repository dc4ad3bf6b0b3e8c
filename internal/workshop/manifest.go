package workshop

import (
	"cmp"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"abut/internal/fit/assemble"
	"abut/internal/guide"
	"abut/internal/print"
)

// The names of the files beside the cut files.
const (
	manifestFile = "job.json"
	// GuideFile tells people how to put it together.
	GuideFile  = "steps.html"
	sheetsFile = "sheets.html" // where it is laid out
)

// document is one of the files to print.
type document struct {
	name  string
	paper print.Paper
	write func(*guide.Guide, io.Writer, print.Paper) error
}

// printed are the files to print, on each format of paper.
var printed = documents()

func documents() (out []document) {
	for _, p := range print.Papers {
		out = append(out,
			document{guide.AssemblyName(p), p, (*guide.Guide).WriteAssembly},
			document{guide.CardName(p), p, (*guide.Guide).WriteCard})
	}
	return out
}

// PrintedGuide is the name of the assembly guide on Letter or, else, on A4.
func PrintedGuide(letter bool) string { return guide.AssemblyName(paper(letter)) }

// PrintedCard is the name of the press card on Letter or, else, on A4.
func PrintedCard(letter bool) string { return guide.CardName(paper(letter)) }

func paper(letter bool) print.Paper {
	if letter {
		return print.Letter
	}
	return print.A4
}

// The layout of job.json is named for its version: a new one where a field goes
// or comes to mean something else, not where one is added.
const (
	schemaName    = "abut-job/"
	schemaVersion = 1
)

// schema is what is written.
var schema = schemaName + strconv.Itoa(schemaVersion)

// Manifest is job.json: what was written, for other programs. Lengths are
// millimetres.
type Manifest struct {
	Schema string `json:"schema"`
	// Art is the file of the first picture; Pictures are all, the lowest first.
	Art      string            `json:"art"`
	Pictures []ManifestPicture `json:"pictures"`
	// WidthMM and HeightMM are the art's extent.
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
	// PageMM is the page of every cut file, frame and margin included.
	PageMM [2]float64 `json:"page_mm"`
	// SourceToPage is that of the first picture.
	SourceToPage [6]float64 `json:"source_to_page"`
	Mirrored     bool       `json:"mirrored"`
	// Base is the name of the separation whose backing is the carrier.
	Base string `json:"base"`
	// StackedBeforeMM2 is what stacks in the art as drawn, StackedAfterMM2
	// what stacks in what was written.
	StackedBeforeMM2 float64 `json:"stacked_before_mm2"`
	StackedAfterMM2  float64 `json:"stacked_after_mm2"`
	// Marks says that every file has small shapes outside the art to line film up.
	Marks bool `json:"marks"`
	// OvercutMM is how far closed lines are cut on over their beginning, WeedingLines
	// that there are lines in the waste.
	OvercutMM    float64 `json:"overcut_mm"`
	WeedingLines bool    `json:"weeding_lines"`
	// Room is what the art had to fit, and Beyond what of it is too small: the
	// files were written all the same, as asked.
	Room   ManifestRoom     `json:"room"`
	Beyond []ManifestBeyond `json:"beyond"`
	// FrameMarginMM and FrameCornerMM describe the frame, 0 without one.
	FrameMarginMM float64              `json:"frame_margin_mm"`
	FrameCornerMM float64              `json:"frame_corner_mm"`
	Separations   []ManifestSeparation `json:"separations"`
	// Layout is there only where copies or pieces were laid out on sheets: then a
	// separation's file is that of its first sheet, and all else is told of one copy.
	Layout *ManifestLayout `json:"layout,omitempty"`
	// Rows are there only where a list was filled in: the one that this was cut for
	// or, laid out together, all. Then all else is told of the first.
	Rows []ManifestRow `json:"rows,omitempty"`
	// Files are what was written to cut from, draw from and show, in every format.
	Files []ManifestFile `json:"files"`
	// Drawings are what is drawn on sheets before they are cut; DrawnOffMM is how
	// much of the lines lies on no piece and is not drawn.
	Drawings   []ManifestDrawing   `json:"drawings"`
	DrawnOffMM float64             `json:"drawn_off_mm"`
	WeakSpots  []ManifestWeakSpot  `json:"weak_spots"`
	WeakThings []ManifestWeakThing `json:"weak_things"`
	LeftOut    []string            `json:"left_out"`
	Warnings   []ManifestWarning   `json:"warnings"`
	Verdict    string              `json:"verdict"`
	// VerdictSays is the same for other programs.
	VerdictSays ManifestMessage `json:"verdict_says"`
}

// ManifestMessage is what a sentence says, the same in every language: its id, and
// what fills it. Lengths are millimetres and areas square millimetres; see
// arguments.
type ManifestMessage struct {
	ID   string         `json:"id"`
	Args map[string]any `json:"args"`
}

// ManifestPicture is one of the pictures that the art is made of.
type ManifestPicture struct {
	Name string `json:"name"`
	// File is where it came from, empty for what was drawn in Abut.
	File string `json:"file"`
	// SourceToPage maps its root user units to page millimetres, before
	// mirroring: SVG's matrix(a b c d e f).
	SourceToPage [6]float64 `json:"source_to_page"`
}

// ManifestFile is one file of one format.
type ManifestFile struct {
	File   string `json:"file"`
	Format Format `json:"format"`
	// Orders are those of the separations in it.
	Orders []int `json:"orders"`
	// Drawing is which of the drawings it alone holds, from 1, or 0.
	Drawing  int  `json:"drawing"`
	Mirrored bool `json:"mirrored"`
}

// ManifestSeparation is one sheet.
type ManifestSeparation struct {
	Order int    `json:"order"`
	Name  string `json:"name"`
	Color string `json:"color"`
	Use   string `json:"use"`
	// File is that of the first format that is cut from, its own if there is one.
	File    string     `json:"file"`
	Pieces  int        `json:"pieces"`
	AreaMM2 float64    `json:"area_mm2"`
	CutMM   float64    `json:"cut_mm"`
	TrimMM  [2]float64 `json:"trim_mm"`
	// Frame says that the sheet has the frame line.
	Frame bool           `json:"frame"`
	Carry assemble.Carry `json:"carry"`
	// CarryWhy says why it goes over so.
	CarryWhy  string          `json:"carry_why"`
	CarrySays ManifestMessage `json:"carry_says"`
}

// ManifestDrawing is what a pen draws on a sheet; File is as of a separation.
type ManifestDrawing struct {
	// Order is that of the sheet that is drawn on.
	Order    int      `json:"order"`
	Sheet    string   `json:"sheet"`
	Color    string   `json:"color"`
	File     string   `json:"file"`
	Layers   []string `json:"layers"`
	LengthMM float64  `json:"length_mm"`
}

// ManifestRoom is what the art has to fit: the width that the cutter can cut,
// sheets that say nothing of their own, and the blank, empty when none was chosen.
type ManifestRoom struct {
	CutterMM float64    `json:"cutter_mm"`
	SheetMM  [2]float64 `json:"sheet_mm"`
	Blank    string     `json:"blank"`
	BlankMM  [2]float64 `json:"blank_mm"`
}

// ManifestBeyond is something that is too small for the art with its frame.
type ManifestBeyond struct {
	// What is blank, cutter or sheet.
	What       string     `json:"what"`
	Separation string     `json:"separation"`
	OverMM     [2]float64 `json:"over_mm"`
	// Frame: the frame is counted in.
	Frame bool `json:"frame"`
	ManifestMessage
	Text string `json:"text"`
}

// ManifestWeakSpot is a place that is hard to cut, weed or carry.
type ManifestWeakSpot struct {
	Kind       string  `json:"kind"`
	XMM        float64 `json:"x_mm"`
	YMM        float64 `json:"y_mm"`
	WidthMM    float64 `json:"width_mm"`
	LengthMM   float64 `json:"length_mm"` // 0 for what is mended
	Separation string  `json:"separation"`
	Mended     bool    `json:"mended"`
}

// ManifestWeakThing is what someone drew and what is too thin about it, or all spots
// between things.
type ManifestWeakThing struct {
	// Kind is what it is, empty for what nobody drew.
	Kind    string  `json:"kind"`
	Layer   string  `json:"layer"`
	Count   int     `json:"count"`
	WidthMM float64 `json:"width_mm"`
	Text    string  `json:"text"`
	// Spots index those that are not mended: the first of weak_spots.
	Spots []int `json:"spots"`
}

// ManifestRow is a row of a list, and what came of it.
type ManifestRow struct {
	// Row counts from 1; Line is that of the file.
	Row  int    `json:"row"`
	Line int    `json:"line"`
	Name string `json:"name"`
	// Cells are what it has, by the names of the columns.
	Cells map[string]string `json:"cells"`
	Texts []ManifestText    `json:"texts"`
	// WeakSpots is how many there are.
	WeakSpots int               `json:"weak_spot_count"`
	Warnings  []ManifestWarning `json:"warnings"`
	Verdict   string            `json:"verdict"`
}

// ManifestText is a text that was filled in.
type ManifestText struct {
	Layer string `json:"layer"`
	Text  string `json:"text"`
	// Share is its size as part of the one that is drawn.
	Share float64 `json:"share"`
}

// ManifestWarning is a warning in words.
type ManifestWarning struct {
	ManifestMessage
	Text string `json:"text"`
	// Picture is the name of the one that it is about, empty where it is about the
	// whole job; Line and Element say where in its file.
	Picture string `json:"picture"`
	Line    int    `json:"line"`
	Element string `json:"element"`
	Remedy  string `json:"remedy"`
}

// Counts returns how many files are cut from, and how many a pen draws from.
func (m *Manifest) Counts() (cut, drawn int) {
	for _, f := range m.Files {
		switch {
		case f.Drawing > 0:
			drawn++
		case f.Format != PNG:
			cut++
		}
	}
	return cut, drawn
}

// fileOf returns the file that a sheet is cut from, or with the number of a drawing
// from 1 the one that is drawn from: the first that holds nothing else, or the first
// with all in it.
func (m *Manifest) fileOf(order, drawing int) string {
	inAll := ""
	for _, f := range m.Files {
		switch {
		case !f.Mirrored || !slices.Contains(f.Orders, order):
		case f.Format.inOne():
			inAll = cmp.Or(inAll, f.File)
		case f.Drawing == drawing:
			return f.File
		}
	}
	return inAll
}

// filesOf lists all files of which fileOf is the first: one a sheet of a layout. Of many, which are
// numbered, it names the first and the last.
func (m *Manifest) filesOf(order, drawing int) string {
	first := m.fileOf(order, drawing)
	var out []string
	for _, f := range m.Files {
		if f.Mirrored && slices.Contains(f.Orders, order) && f.Drawing == drawing && f.Format == m.formatOf(first) {
			out = append(out, f.File)
		}
	}
	const all = 3
	if n := len(out); n > all {
		return out[0] + " … " + out[n-1]
	}
	return cmp.Or(strings.Join(out, ", "), first)
}

// laidIn lists the files of sheet i of the layout, one for each format.
func (m *Manifest) laidIn(i int) []string { return m.Layout.Sheets[i].Files }

func (m *Manifest) formatOf(file string) Format {
	return m.Files[slices.IndexFunc(m.Files, func(f ManifestFile) bool { return f.File == file })].Format
}

// WriteJSON writes what other programs read as they and people can.
func WriteJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// cutFileName is what cut files are called; see writer.files.
var cutFileName = regexp.MustCompile(`^\d{2,}-[a-z0-9-]+-mirrored\.[a-z]+$`)

// writes reports whether a run may write a file of this name.
func writes(name string) bool {
	return name == manifestFile || name == GuideFile || name == sheetsFile || name == costsFile || name == takenFile || name == pictureFile || cutFileName.MatchString(name) || slices.ContainsFunc(printed, func(d document) bool { return d.name == name })
}

// earlierManifest is what every version of job.json has, and how rows of a list are told of.
type earlierManifest struct {
	Schema                       string
	Separations, Drawings, Files []struct{ File string }
	Rows                         []struct{}
	Layout                       *struct{}
}

// readEarlier reads the job.json in dir, of this version or an earlier one; false where there is
// none.
func readEarlier(dir string) (m earlierManifest, ok bool) {
	b, err := os.ReadFile(filepath.Join(dir, manifestFile))
	if err != nil || json.Unmarshal(b, &m) != nil {
		return m, false
	}
	version, ours := strings.CutPrefix(m.Schema, schemaName)
	v, err := strconv.Atoi(version)
	return m, ours && err == nil && v <= schemaVersion
}

// writtenEarlier returns the files that the job.json in dir lists, of this
// version or an earlier one, its own name first; none when there is no such list.
func writtenEarlier(dir string) []string {
	m, ok := readEarlier(dir)
	if !ok {
		return nil
	}
	names := []string{manifestFile, GuideFile, sheetsFile, costsFile, takenFile}
	for _, d := range printed {
		names = append(names, d.name)
	}
	for _, x := range slices.Concat(m.Separations, m.Drawings, m.Files) {
		names = append(names, x.File)
	}
	return names
}
