// Package fit works out what follows from a job: which places stack, what is
// cut from which sheet, the base and the frame. Compute is a pure function of
// the job; the same job gives the same plan, byte for byte.
//
// All layers are laid over each other once (package planar). Each face of that
// map is a place with one list of covering layers, and rules decide from the
// list alone who claims the place (claim.go). Two colours that claim one place
// stack there. A separation is every place that its colour claims, so a layer
// that does not knock out leaves what lies beneath it whole: that is what would
// be cut, and why it is shown as stacked.
package fit
