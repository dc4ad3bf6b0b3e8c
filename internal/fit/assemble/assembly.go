package assemble

import (
	"abut/geometry"
	"abut/geometry/planar"
	"abut/internal/fit/own"
	"abut/internal/job"
)

// Assemble puts separations together that have neither name nor place yet, in
// the order in which the art met them; those without pieces are left out. rules
// know their sheets.
func Assemble(seps []Separation, j job.Job, rules *own.Rules, extent geometry.Rect) Assembly {
	a := Assembly{Extent: extent, Page: extent, Separations: seps}
	if len(seps) == 0 {
		return a
	}
	s := j.Settings
	b := &bench{Assembly: &a, settings: s, rules: rules}
	b.nameAll(j)
	base, reason := b.chooseBase()
	a.BaseReason = reason
	sortForAssembly(a.Separations, base)
	a.Frame, a.FrameReason = b.framer(a.Separations).frame()
	if a.Frame != nil {
		a.Page = a.Frame.Bounds
	}
	if s.Marks {
		a.Marks = kites(a.Page)
		a.Page = planar.OnGrid(a.Page.Grow(marksReachMM))
	}
	a.SetCarry()
	b.addBeyond()
	return a
}

// bench is where an assembly is put together.
type bench struct {
	*Assembly
	settings job.Settings
	rules    *own.Rules
}
