package svgimport

import "strconv"

// spent is what an import has used up. Whoever reads or draws anything charges
// the same: the picture, copies, tiles, masks, clips, markers, and boxes that
// are only measured. Past a bound the import is given up with an error.
type spent struct {
	segments int // kept, of everything painted and of clips
	parsed   int // lines and curves read, kept or not
	text     int // bytes of the attributes of what was visited
	visits   int
	copied   int // elements visited inside use and what is drawn like it
	leaves   int // shapes made there
	letters  int // set
	laid     int // shapes in tiles of patterns
	stripes  int // of gradients
	sampled  int // areas with a gradient
}

const (
	// maxParsed bounds the lines and curves that are read, in units of those that
	// may be kept: a path may be read for its markers and its box besides, and
	// five times is still read in some seconds.
	maxParsed = 5
	// maxTextRead bounds the bytes of all other attributes that are read, twice
	// what a file may have: some seconds.
	maxTextRead = 128 << 20
)

// checkParsed says with an error that
// there is no room for n more lines and curves to be read. It polls the context.
func (im *importer) checkParsed(n int) error {
	if im.parsed+n > maxParsed*im.opt.MaxSegments {
		return im.tooMuch()
	}
	return im.checkSegments(n)
}

// readText takes note of an element's attributes, which are about to be read.
func (im *importer) readText(n *node) error {
	if im.text += n.weight; im.text > maxTextRead {
		return im.tooMuch()
	}
	return nil
}

func (im *importer) tooMuch() error {
	return fail(ErrWork, 0, "limit", strconv.Itoa(maxParsed*im.opt.MaxSegments))
}
