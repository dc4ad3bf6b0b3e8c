package dxf

import (
	"bufio"
	"fmt"
	"io"

	"abut/internal/cutfile"
)

// current writes layers in the format of release 2000 (AC1015). It asks for more
// than is to be said: every thing has a handle, tables and blocks that nothing is in
// must be there, and a drawing is the contents of the block *Model_Space.
func current(w io.Writer, page *cutfile.Page, layers []layer) error {
	t := &tags{b: bufio.NewWriter(w)}
	// What others refer to gets its handle first.
	model, paper, root, groups := t.next(), t.next(), t.next(), t.next()
	seed := spareHandles + len(layers)
	for _, l := range layers {
		seed += len(l.lines)
	}
	t.section("HEADER", func() {
		t.put(9, "$ACADVER", 1, "AC1015", 9, "$HANDSEED", 5, fmt.Sprintf("%X", seed))
		t.put(9, "$INSUNITS", 70, 4, 9, "$MEASUREMENT", 70, 1) // 4: millimetres
		t.extent(page)
	})
	t.section("CLASSES", func() {})
	t.section("TABLES", func() { t.tables(page, layers, model, paper) })
	t.section("BLOCKS", func() {
		t.block("*Model_Space", model)
		t.block("*Paper_Space", paper)
	})
	t.section("ENTITIES", func() {
		for _, l := range layers {
			for _, p := range l.lines {
				t.put(0, "LWPOLYLINE", 5, t.next(), 330, model, 100, "AcDbEntity", 8, l.name,
					100, "AcDbPolyline", 90, len(p.vertices), 70, flag(p.closed), 43, 0.0)
				for _, v := range p.vertices {
					t.put(10, v.X, 20, v.Y)
					if v.Bulge != 0 {
						t.put(42, v.Bulge)
					}
				}
			}
		}
	})
	t.section("OBJECTS", func() {
		t.put(0, "DICTIONARY", 5, root, 330, 0, 100, "AcDbDictionary", 281, 1, 3, "ACAD_GROUP", 350, groups)
		t.put(0, "DICTIONARY", 5, groups, 330, root, 100, "AcDbDictionary", 281, 1)
	})
	t.put(0, "EOF")
	return t.b.Flush()
}

// spareHandles is more than a file has of them besides those of layers and lines:
// the first that is free may be any above all others.
const spareHandles = 64

func (t *tags) tables(page *cutfile.Page, layers []layer, model, paper string) {
	table := func(name string, n int, write func(owner string)) {
		owner := t.next()
		t.put(0, "TABLE", 2, name, 5, owner, 330, 0, 100, "AcDbSymbolTable", 70, n)
		write(owner)
		t.put(0, "ENDTAB")
	}
	record := func(kind, owner, class, name string) {
		t.put(0, kind, 5, t.next(), 330, owner, 100, "AcDbSymbolTableRecord", 100, class, 2, name, 70, 0)
	}
	none := func(string) {}
	table("VPORT", 1, func(o string) { // the whole page is seen
		record("VPORT", o, "AcDbViewportTableRecord", "*ACTIVE")
		w, h := page.Width.MM(), page.Height.MM()
		t.put(10, 0.0, 20, 0.0, 11, 1.0, 21, 1.0, 12, w/2, 22, h/2, 13, 0.0, 23, 0.0, 14, 10.0, 24, 10.0, 15, 10.0, 25, 10.0,
			16, 0.0, 26, 0.0, 36, 1.0, 17, 0.0, 27, 0.0, 37, 0.0, 40, h, 41, w/h, 42, 50.0, 43, 0.0, 44, 0.0, 50, 0.0, 51, 0.0,
			71, 0, 72, 1000, 73, 1, 74, 3, 75, 0, 76, 0, 77, 0, 78, 0)
	})
	table("LTYPE", 3, func(o string) {
		for _, name := range []string{"ByBlock", "ByLayer", "Continuous"} {
			record("LTYPE", o, "AcDbLinetypeTableRecord", name)
			t.put(3, "", 72, 65, 73, 0, 40, 0.0)
		}
	})
	table("LAYER", len(layers)+1, func(o string) {
		record("LAYER", o, "AcDbLayerTableRecord", "0")
		t.put(62, 7, 6, "Continuous")
		for _, l := range layers {
			record("LAYER", o, "AcDbLayerTableRecord", l.name)
			t.put(62, l.colour, 6, "Continuous")
		}
	})
	table("STYLE", 1, func(o string) {
		record("STYLE", o, "AcDbTextStyleTableRecord", "Standard")
		t.put(40, 0.0, 41, 1.0, 50, 0.0, 71, 0, 42, 2.5, 3, "txt", 4, "")
	})
	table("VIEW", 0, none)
	table("UCS", 0, none)
	table("APPID", 1, func(o string) { record("APPID", o, "AcDbRegAppTableRecord", "ACAD") })
	table("DIMSTYLE", 1, func(o string) {
		t.put(100, "AcDbDimStyleTable", 71, 0)
		t.put(0, "DIMSTYLE", 105, t.next(), 330, o, 100, "AcDbSymbolTableRecord", 100, "AcDbDimStyleTableRecord", 2, "Standard", 70, 0)
	})
	table("BLOCK_RECORD", 2, func(o string) {
		t.put(0, "BLOCK_RECORD", 5, model, 330, o, 100, "AcDbSymbolTableRecord", 100, "AcDbBlockTableRecord", 2, "*Model_Space")
		t.put(0, "BLOCK_RECORD", 5, paper, 330, o, 100, "AcDbSymbolTableRecord", 100, "AcDbBlockTableRecord", 2, "*Paper_Space")
	})
}

// block writes the beginning and the end of a block without contents: those of
// *Model_Space are in the section ENTITIES.
func (t *tags) block(name, record string) {
	t.put(0, "BLOCK", 5, t.next(), 330, record, 100, "AcDbEntity", 8, "0", 100, "AcDbBlockBegin", 2, name, 70, 0,
		10, 0.0, 20, 0.0, 30, 0.0, 3, name, 1, "")
	t.put(0, "ENDBLK", 5, t.next(), 330, record, 100, "AcDbEntity", 8, "0", 100, "AcDbBlockEnd")
}
