// Command mutants tries whether tests can fail. It changes one operator of the
// packages named, chosen by a seed, runs their quick tests and those of their
// nearest users, and tells whether any test noticed; then the next. Changes
// are laid over the files (go test -overlay), which stay as they are.
//
//	mutants [-n 60] [-seed 1] [-tags TAGS] [-alone] PACKAGE…
//
// The nearest users of a package have tests, import it, and depend on no other
// such user. They are asked only where its own tests noticed nothing, and with
// -alone not at all. A test that hangs has noticed. What moves a mere
// boundary, `<` to `<=`, is counted apart.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"time"
)

func main() {
	n := flag.Int("n", 60, "how many changes that build")
	seed := flag.Uint64("seed", 1, "the same seed is the same choice, as long as the files are the same")
	tags := flag.String("tags", "", "build tags")
	alone := flag.Bool("alone", false, "run the package's own tests only")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	b := bench{tags: *tags, alone: *alone, slack: 10 * time.Second}
	if err := b.try(ctx, flag.Args(), *n, *seed, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

// A bench is where changes are tried.
type bench struct {
	module, tags string
	alone        bool
	slack        time.Duration // more than five times as long as usual, before tests count as hanging
	slowest      time.Duration // of the tests of one package, unchanged
}

// A goPackage is part of what `go list` tells of one.
type goPackage struct {
	Dir, ImportPath                  string
	GoFiles, CgoFiles, Imports, Deps []string
	TestGoFiles, XTestGoFiles        []string
}

// What becomes of a change.
const caught, survived, unbuilt = "caught", "survived", "did not build"

// try makes n changes that build and prints what becomes of each, then totals.
func (b *bench) try(ctx context.Context, names []string, n int, seed uint64, out io.Writer) error {
	places, asked, err := b.places(ctx, names)
	if err != nil {
		return err
	}
	if err := b.unchanged(ctx, asked, out); err != nil {
		return err
	}
	r := rand.New(rand.NewPCG(seed, 0))
	r.Shuffle(len(places), func(i, k int) { places[i], places[k] = places[k], places[i] })
	counts := map[[2]string]int{} // by class and fate
	for tried := 0; tried < n && len(places) > 0; places = places[1:] {
		c := places[0][r.IntN(len(places[0]))]
		of := asked[filepath.Dir(c.file)]
		fate, by, err := b.one(ctx, c, of)
		if ctx.Err() != nil {
			break
		}
		if err != nil {
			return err
		}
		if fate != unbuilt {
			tried++
		}
		counts[[2]string{c.class, fate}]++
		fmt.Fprintf(out, "%-13s %s:%d: %q to %q (%s) in: %s%s\n", fate, path.Join(of[0], filepath.Base(c.file)), c.line, c.old, c.new, c.class, c.source, by)
	}
	report(counts, seed, out)
	return ctx.Err()
}

// places returns all that can be changed in the packages named, and by folder
// whose tests are run.
func (b *bench) places(ctx context.Context, names []string) (places [][]change, asked map[string][]string, err error) {
	chosen, err := b.list(ctx, names...)
	if err != nil {
		return nil, nil, err
	}
	all, err := b.list(ctx, "./...")
	if err != nil {
		return nil, nil, err
	}
	asked = map[string][]string{}
	for _, p := range chosen {
		asked[p.Dir] = []string{p.ImportPath}
		if !b.alone {
			asked[p.Dir] = append(asked[p.Dir], nearest(p.ImportPath, all)...)
		}
		for _, f := range slices.Concat(p.GoFiles, p.CgoFiles) {
			of, err := changes(filepath.Join(p.Dir, f))
			if err != nil {
				return nil, nil, err
			}
			places = append(places, of...)
		}
	}
	return places, asked, nil
}

// unchanged runs the tests of everything asked: they must pass, and how long
// they take tells when one hangs.
func (b *bench) unchanged(ctx context.Context, asked map[string][]string, out io.Writer) error {
	for _, p := range slices.Concat(slices.Collect(maps.Values(asked))...) {
		start := time.Now()
		if said, err := b.command(ctx, "test", "-short", "-count=1", "-vet=off", p).CombinedOutput(); err != nil {
			return fmt.Errorf("the tests of %s do not pass unchanged: %w\n%s", p, err, said)
		}
		b.slowest = max(b.slowest, time.Since(start))
		fmt.Fprintf(out, "%s unchanged: %v\n", p, time.Since(start).Round(100*time.Millisecond))
	}
	return nil
}

var whoFailed = regexp.MustCompile(`--- FAIL: \S+|panic: test timed out|fatal error: .*`)

// one tries a change with the tests of the packages asked, its own first, and
// tells who noticed.
func (b *bench) one(ctx context.Context, c change, asked []string) (fate, by string, err error) {
	dir, err := os.MkdirTemp("", "mutants-")
	if err != nil {
		return "", "", err
	}
	defer os.RemoveAll(dir)
	overlay, err := lay(c, dir)
	if err != nil {
		return "", "", err
	}
	if b.command(ctx, "build", "-overlay", overlay, "-o", os.DevNull, asked[0]).Run() != nil {
		return unbuilt, "", nil
	}
	limit := 5*b.slowest + b.slack
	for _, p := range asked {
		said, err := b.command(ctx, "test", "-short", "-failfast", "-vet=off", "-timeout", limit.String(), "-overlay", overlay, p).CombinedOutput()
		if err != nil {
			return caught, fmt.Sprintf(" · by %s: %s", p, whoFailed.FindString(string(said))), nil
		}
	}
	return survived, "", nil
}

// lay writes the changed file into a folder, and the overlay that puts it in
// the place of the one that stays.
func lay(c change, dir string) (overlay string, err error) {
	changed, overlay := filepath.Join(dir, "changed.go"), filepath.Join(dir, "overlay.json")
	text, err := json.Marshal(map[string]map[string]string{"Replace": {c.file: changed}})
	return overlay, errors.Join(err, os.WriteFile(overlay, text, 0o600),
		os.WriteFile(changed, slices.Concat(c.src[:c.at], []byte(c.new), c.src[c.at+len(c.old):]), 0o600))
}

func (b *bench) command(ctx context.Context, verb string, args ...string) *exec.Cmd {
	c := exec.CommandContext(ctx, "go", append([]string{verb, "-tags", b.tags}, args...)...)
	c.Dir = b.module
	return c
}

func (b *bench) list(ctx context.Context, names ...string) ([]goPackage, error) {
	c := b.command(ctx, "list", append([]string{"-json"}, names...)...)
	c.Stderr = os.Stderr
	said, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	var out []goPackage
	for in := json.NewDecoder(bytes.NewReader(said)); in.More(); {
		var p goPackage
		if err := in.Decode(&p); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// nearest returns the nearest users of a package.
func nearest(name string, all []goPackage) (out []string) {
	users := map[string][]string{} // what each depends on
	for _, p := range all {
		if slices.Contains(p.Imports, name) && len(p.TestGoFiles)+len(p.XTestGoFiles) > 0 {
			users[p.ImportPath] = p.Deps
		}
	}
	for _, u := range slices.Sorted(maps.Keys(users)) {
		if !slices.ContainsFunc(users[u], func(d string) bool { return users[d] != nil }) {
			out = append(out, u)
		}
	}
	return out
}

// report prints totals by class, and how many of those that move no mere
// boundary were caught.
func report(counts map[[2]string]int, seed uint64, out io.Writer) {
	fmt.Fprintf(out, "\n%-20s %8s %10s %14s\n", "", caught, survived, unbuilt)
	var noticed, missed int
	for _, s := range swaps {
		c, m := counts[[2]string{s.class, caught}], counts[[2]string{s.class, survived}]
		fmt.Fprintf(out, "%-20s %8d %10d %14d\n", s.class, c, m, counts[[2]string{s.class, unbuilt}])
		if s.class != boundary {
			noticed, missed = noticed+c, missed+m
		}
	}
	if of := noticed + missed; of > 0 {
		fmt.Fprintf(out, "seed %d: %d of %d that move no mere boundary are caught (%d %%)\n", seed, noticed, of, 100*noticed/of)
	}
}
