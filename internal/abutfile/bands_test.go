package abutfile

import (
	"context"
	"reflect"
	"strings"
	"testing"

	"abut/internal/job"
	"abut/internal/workshop"
)

// A gradient in bands is a decision: after saving, opening and resizing it can
// be taken back or made otherwise, and what comes is what would have come at
// once.
func TestRoundTrip_BandsCanStillBeTakenBack(t *testing.T) {
	const art = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><radialGradient id="g" fx=".4"><stop stop-color="#103080"/><stop offset="1" stop-color="#f0c040"/></radialGradient>
		<clipPath id="c"><circle cx="40" cy="40" r="39"/></clipPath><g clip-path="url(#c)" fill="url(#g)" opacity=".9"><rect width="80" height="40"/><rect y="50" width="30" height="40" transform="rotate(9)"/></g></svg>`
	plain, err := workshop.OpenSVG(context.Background(), "art.svg", strings.NewReader(art))
	if err != nil {
		t.Fatal(err)
	}
	five, err := job.SetBands(plain, plain.LayerIDs(), 5)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(five.LayerIDs()); n < 5 {
		t.Fatalf("%d bands", n)
	}
	kept := roundTrip(t, Document{Job: five}).Job
	if kept, err = workshop.Size(context.Background(), kept, 55, 0); err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{1, 3} {
		got, err := job.SetBands(kept, kept.LayerIDs(), n)
		if err != nil {
			t.Fatal(err)
		}
		want, err := job.SetBands(plain, plain.LayerIDs(), n)
		if err != nil {
			t.Fatal(err)
		}
		a, b := got.Items[0].Layers, want.Items[0].Layers
		if len(a) != len(b) {
			t.Fatalf("%d layers for %d bands, want %d", len(a), n, len(b))
		}
		for i := range a {
			a[i].ID, b[i].ID, a[i].Band.Of, b[i].Band.Of = 0, 0, 0, 0
			if !reflect.DeepEqual(a[i], b[i]) {
				t.Errorf("%d bands, layer %d:\ngot  %+v\nwant %+v", n, i, a[i], b[i])
			}
		}
	}
}
