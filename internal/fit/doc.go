// Package fit works out what follows from a job: which places stack, what is
// cut from which sheet, the base and the frame. Compute is a pure function of
// the job; the same job gives the same plan, byte for byte.
//
// The work is done in rooms of their own. All layers are laid over each other
// once; each face of that map is a place with one list of covering layers, and
// rules decide from the list alone who claims it (package own). Two colours that
// claim one place stack there. A separation is every place that its colour claims,
// so a layer that does not knock out leaves what lies beneath it whole: that is
// what would be cut, and why it is shown as stacked. Mends change who owns the
// places of weak spots (package mend), and what is cut is put together (package
// assemble). Here that becomes a plan.
//
// In reading order: plan.go, extent.go, surround.go and parts.go (what covers how
// much), pen.go, drawn.go (lines for a pen), verdict.go, warnings.go, compute.go (a plan,
// and a memory of the last), overlap.go (what lies over what), things.go (what a person sees
// in the picture), clearance.go (the gap between neighbours), weak.go and weakthings.go (weak
// spots, and what they belong to).
package fit
