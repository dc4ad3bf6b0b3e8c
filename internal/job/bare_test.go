package job

import (
	"testing"

	"abut/internal/colour"
)

func TestLeavesBare_NearWhiteOnly(t *testing.T) {
	var auto BareRule
	if !auto.LeavesBare(colour.White) || !auto.LeavesBare(colour.RGB{R: 0xfe, G: 0xfe, B: 0xfe}) {
		t.Error("white is cut")
	}
	// A light grey that a person tells from white: ΔE 3.5.
	if auto.LeavesBare(colour.RGB{R: 0xf0, G: 0xf0, B: 0xf0}) {
		t.Error("light grey stays bare")
	}
}
