package packing

import (
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// instance is a published problem whose optimum is known; see testdata/ORIGIN.md.
type instance struct {
	name          string
	across, along float64
	items         []Rectangle
	optimum       float64
}

func instances(tb testing.TB, prefix string) []*instance {
	tb.Helper()
	f, err := os.Open(filepath.Join("testdata", "rectangles.csv"))
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		tb.Fatal(err)
	}
	var out []*instance
	for _, row := range rows[1:] {
		if !strings.HasPrefix(row[0], prefix) {
			continue
		}
		var v [7]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i+1], 64); err != nil {
				tb.Fatal(err)
			}
		}
		if len(out) == 0 || out[len(out)-1].name != row[0] {
			out = append(out, &instance{name: row[0], across: v[0], along: v[1], optimum: v[6]})
		}
		in := out[len(out)-1]
		for range int(v[4]) {
			// Along the roll is up in the strips.
			in.items = append(in.items, Rectangle{Width: v[3], Height: v[2], Value: v[5]})
		}
	}
	if len(out) == 0 {
		tb.Fatalf("no instance begins with %q", prefix)
	}
	return out
}

// strip is the problem to find the shortest roll.
func (in *instance) strip(turns bool) ([]Rectangle, Options) {
	items := append([]Rectangle(nil), in.items...)
	for i := range items {
		items[i].Turns, items[i].Value = turns, 0
	}
	return items, Options{Sheets: []Sheet{{Height: in.across}}, Seed: 1}
}

// knapsack is the problem to find what is worth most on one sheet.
func (in *instance) knapsack() ([]Rectangle, Options) {
	return in.items, Options{Sheets: []Sheet{{Width: in.along, Height: in.across, Count: 1}}, Seed: 1}
}

func (in *instance) value(p Packing) float64 {
	v := 0.0
	for _, x := range p.Placed {
		v += in.items[x.Item].Value
	}
	return v
}

// BenchmarkStrips reports how long a roll the published strips take within the
// seconds that ABUT_PACKING says (10), as multiples of the optimum.
func BenchmarkStrips(b *testing.B) {
	for _, turns := range []bool{true, false} {
		for _, in := range instances(b, "C") {
			b.Run(in.name+map[bool]string{true: "/turned", false: "/fixed"}[turns], func(b *testing.B) {
				items, o := in.strip(turns)
				for b.Loop() {
					p := timed(b, func(ctx context.Context) (Packing, error) { return Rectangles(ctx, items, o) })
					b.ReportMetric(p.Sheets[0].Extent.X/in.optimum, "×optimum")
				}
			})
		}
	}
}

// BenchmarkKnapsacks reports values likewise.
func BenchmarkKnapsacks(b *testing.B) {
	for _, in := range instances(b, "ngcut") {
		b.Run(in.name, func(b *testing.B) {
			items, o := in.knapsack()
			for b.Loop() {
				p := timed(b, func(ctx context.Context) (Packing, error) { return Rectangles(ctx, items, o) })
				b.ReportMetric(in.value(p)/in.optimum, "×optimum")
			}
		})
	}
}

func timed(b *testing.B, pack func(context.Context) (Packing, error)) Packing {
	b.Helper()
	seconds := 10.0
	if s := os.Getenv("ABUT_PACKING"); s != "" {
		var err error
		if seconds, err = strconv.ParseFloat(s, 64); err != nil {
			b.Fatal(err)
		}
	}
	ctx, stop := context.WithTimeout(b.Context(), time.Duration(seconds*float64(time.Second)))
	defer stop()
	p, err := pack(ctx)
	if err != nil {
		b.Fatal(err)
	}
	return p
}
