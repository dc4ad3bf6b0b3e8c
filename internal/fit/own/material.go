package own

import (
	"abut/internal/colour"
	"abut/internal/job"
)

// Material is what a separation is cut from: a sheet of the job, or with no
// sheet one of the art colour itself. It names the separation wherever parts of a
// plan refer to each other. The zero value is Bare.
type Material struct {
	Sheet  job.SheetID
	Colour colour.RGB // as pressed
	cut    bool
}

// Bare is what nothing is cut from: the blank shows.
var Bare Material

// SheetOf returns the material of one of the job's sheets.
func SheetOf(s job.Sheet) Material { return Material{s.ID, s.Pressed, true} }

// OwnSheet returns the material of an art colour that goes to no sheet of the
// job.
//
//nolint:revive // it is a sheet of its own, which the package's name does not say
func OwnSheet(c colour.RGB) Material { return Material{Colour: c, cut: true} }
