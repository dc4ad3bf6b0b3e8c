package show

import (
	"abut/geometry"
	"abut/internal/colour"
)

// Shape is an outline to draw, filled by the nonzero rule. Drawings share it, so
// that who draws may remember what was made of it.
type Shape struct{ Path geometry.Path }

// Mark is one thing that is drawn.
type Mark struct {
	Shape *Shape
	// Place takes the shape's own units to the stage's.
	Place geometry.Affine
	Fill  colour.RGB
	// Alpha is how opaque the fill is, 0 for none.
	Alpha float64
	// Line is drawn along the outline, Width broad in units of the stage, 0 for none;
	// dashed where Dash is not 0.
	Line        colour.RGB
	Width, Dash float64
	// Stacked marks the shape as stacked, red and hatched, in place of all else.
	Stacked bool
	// Sheet tells sheets apart in a scene that counts, 0 for what is none.
	Sheet int
}

// Label is a short text beside what it is about.
type Label struct {
	// At is its left end, on the middle of its height.
	At geometry.Point
	// Says is a name or a message, for package words to put.
	Says any
}

// LabelSize is the size of a label's type in units of the stage, the least that is
// read from the back of a room: see StageHeight.
const LabelSize = 28

// Scene is a drawing: marks, the lowest first, on the ground of its room.
type Scene struct {
	Marks  []Mark
	Labels []Label
	// Counts: where marks of different sheets lie over each other is marked as stacked.
	Counts bool
}

// StageHeight is the height of all that a class sees, in units of the stage, and
// PictureHeight that of the drawings; below them stands the sentence. Type of 30 of
// 720 lines can be read from six times the height of the image (ANSI/INFOCOMM
// 5M-2012: 17 arc minutes).
const (
	StageHeight   = 720
	PictureHeight = 540
)

// Room is the look of a light or a dark room. Blank and paper are light in both, so that
// dark pieces are seen on them.
type Room struct{ Ground, Table, Ink, Paper, Quiet, Accent colour.RGB }

// LightRoom and DarkRoom are the two looks.
var (
	LightRoom = Room{
		Ground: colour.RGB{R: 0xFA, G: 0xF8, B: 0xF4}, Table: colour.RGB{R: 0xE4, G: 0xE1, B: 0xDA}, Ink: colour.RGB{R: 0x1F, G: 0x2A, B: 0x30},
		Paper: colour.RGB{R: 0xFF, G: 0xFF, B: 0xFF}, Quiet: colour.RGB{R: 0x6B, G: 0x76, B: 0x7C}, Accent: colour.RGB{R: 0x6A, G: 0x3A, B: 0x7C},
	}
	DarkRoom = Room{
		Ground: colour.RGB{R: 0x16, G: 0x1C, B: 0x1F}, Table: colour.RGB{R: 0x2A, G: 0x33, B: 0x38}, Ink: colour.RGB{R: 0xE9, G: 0xEE, B: 0xF0},
		Paper: colour.RGB{R: 0xF2, G: 0xF0, B: 0xEA}, Quiet: colour.RGB{R: 0x9A, G: 0xA6, B: 0xAC}, Accent: colour.RGB{R: 0xCD, G: 0xA7, B: 0xE0},
	}
)

// drawing is a scene that is being made, at a time between 0 and 1, for a stage that
// is so wide.
type drawing struct {
	Scene
	*Room
	wide, t float64
}

func (d *drawing) add(m Mark) { d.Marks = append(d.Marks, m) }

// fill draws a shape, and outline its edge.
func (d *drawing) fill(s *Shape, at geometry.Affine, c colour.RGB, alpha float64) {
	if s != nil && alpha > 0 {
		d.add(Mark{Shape: s, Place: at, Fill: c, Alpha: alpha})
	}
}

func (d *drawing) outline(s *Shape, at geometry.Affine, c colour.RGB, width, dash float64) {
	if s != nil {
		d.add(Mark{Shape: s, Place: at, Line: c, Width: width, Dash: dash})
	}
}

// edge draws a line along all pieces of a sheet, unless they are so fine that nothing
// would be seen of them between the lines, and dark enough to be seen on paper without.
func (d *drawing) edge(s *sheet, at geometry.Affine, c colour.RGB, width float64) {
	const pale = 70 // L* of CIELAB from which a colour has less than 3 : 1 on white
	if s.broad*at.MaxScale() > 5*width || s.colour.Lab().L > pale {
		d.outline(s.all, at, c, width, 0)
	}
}

// label writes beside something.
func (d *drawing) label(x, y float64, says any) {
	d.Labels = append(d.Labels, Label{geometry.Pt(x, y), says})
}

// edgeOn is the colour of a line along pieces that lie on blank or paper: dark in any
// room.
func (d *drawing) edgeOn() colour.RGB { return LightRoom.Ink }

// Fitted returns the map that shows r as large as it fits into box, in its middle.
func Fitted(r, box geometry.Rect) geometry.Affine {
	k := min(box.Width()/max(r.Width(), 1e-9), box.Height()/max(r.Height(), 1e-9))
	c, m := r.Centre(), box.Centre()
	return geometry.Translate(m.X, m.Y).Mul(geometry.Scale(k, k)).Mul(geometry.Translate(-c.X, -c.Y))
}

// margin is the blank's edge around a picture, as a share of its longer side.
const margin = 0.05

// around returns a picture's ground: it with a margin.
func around(r geometry.Rect) geometry.Rect { return r.Grow(margin * max(r.Width(), r.Height())) }

// mirrored is at with the picture mirrored about the middle of r.
func mirrored(at geometry.Affine, r geometry.Rect) geometry.Affine {
	return at.Mul(geometry.MirrorX(2 * r.Centre().X))
}

// room returns the part of the stage that a drawing may fill.
func (d *drawing) room(inset float64) geometry.Rect {
	return geometry.RectXYWH(0, 0, d.wide, PictureHeight).Grow(-inset)
}
