// Command bench pairs two revisions of Abut and tells how much faster or slower
// each pass of one is.
//
//	bench [-against HEAD~1] [-rounds 9] [-passes map,fit,…] [-tags TAGS] [-art DIR]
//
// The revision is checked out beside this tree, with this tree's internal/bench in
// it, so that both do the same work: it must have what internal/bench asks for. Of
// each set of art the smallest picture, the one in the middle and the heaviest are
// taken. Runs alternate, a new process for each; what other programs do meanwhile
// falls on both. A row gives the medians and the median of the paired ratios, with
// the half of them that lies in the middle: below 1, this tree is faster.
package main

import (
	"cmp"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"
)

// allPasses are those that internal/bench knows, in the order of the table.
const allPasses = "open,picture,map,fit,weak,mend,clearance,colours,write"

func main() {
	b := bench{out: os.Stdout}
	flag.StringVar(&b.against, "against", "HEAD~1", "the other revision")
	flag.IntVar(&b.rounds, "rounds", 9, "how many pairs of runs")
	flag.StringVar(&b.tags, "tags", "", "build tags")
	flag.StringVar(&b.art, "art", filepath.Join(".work", "npm", "node_modules"), "where the open art is")
	flag.DurationVar(&b.limit, "limit", time.Minute, "how long one run may take; a longer one is told, and not repeated")
	passes := flag.String("passes", allPasses, "which passes")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := b.run(ctx, strings.Split(*passes, ",")); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

type bench struct {
	against, tags, art string
	rounds             int
	limit              time.Duration
	out                io.Writer
	mine, theirs       string // the programs
}

// sets of art, by how they are found.
var sets = []struct{ name, pattern string }{
	{"flag", "flag-icons/flags/4x3/*.svg"},
	{"emoji", "@twemoji/svg/*.svg"},
}

func (b *bench) run(ctx context.Context, passes []string) error {
	dir, err := os.MkdirTemp("", "abut-bench")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if err := b.build(ctx, dir); err != nil {
		return err
	}
	t := tabwriter.NewWriter(b.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(t, "pass\tpicture\tthis\t%s\tratio\tmiddle half\t\n", b.against)
	for _, pass := range passes {
		for _, set := range sets {
			files, err := bySize(filepath.Join(b.art, filepath.FromSlash(set.pattern)))
			if err != nil {
				return err
			}
			for _, at := range []struct {
				name string
				file string
			}{{"small", files[0]}, {"median", files[len(files)/2]}, {"heaviest", files[len(files)-1]}} {
				row, err := b.pair(ctx, pass, at.file)
				if err != nil {
					return err
				}
				fmt.Fprintf(t, "%s\t%s %s (%s)\t%s\t\n", pass, at.name, set.name, strings.TrimSuffix(filepath.Base(at.file), ".svg"), row)
			}
		}
	}
	return t.Flush()
}

// build builds this tree's program and the other revision's.
func (b *bench) build(ctx context.Context, dir string) error {
	b.mine, b.theirs = filepath.Join(dir, "mine"), filepath.Join(dir, "theirs")
	tree := filepath.Join(dir, "tree")
	do := func(in string, args ...string) error {
		cmd := exec.CommandContext(ctx, args[0], args[1:]...)
		cmd.Dir, cmd.Stderr = in, os.Stderr
		return cmd.Run()
	}
	if err := do("", "go", "build", "-tags", b.tags, "-o", b.mine, "./internal/bench"); err != nil {
		return err
	}
	if err := do("", "git", "worktree", "add", "--quiet", "--detach", tree, b.against); err != nil {
		return err
	}
	defer func() { _ = do("", "git", "worktree", "remove", "--force", tree) }() // it is in a folder that goes away
	there := filepath.Join(tree, "internal", "bench")
	if err := os.RemoveAll(there); err != nil {
		return err
	}
	if err := os.CopyFS(there, os.DirFS(filepath.Join("internal", "bench"))); err != nil {
		return err
	}
	if err := do(tree, "go", "build", "-tags", b.tags, "-o", b.theirs, "./internal/bench"); err != nil {
		return fmt.Errorf("%s does not have what is timed: %w", b.against, err)
	}
	return nil
}

// bySize returns the files of a pattern, the smallest first.
func bySize(pattern string) ([]string, error) {
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		return nil, fmt.Errorf("no art: %s (./run install fetches it), %w", pattern, err)
	}
	size := map[string]int64{}
	for _, f := range files {
		info, err := os.Stat(f)
		if err != nil {
			return nil, err
		}
		size[f] = info.Size()
	}
	slices.SortFunc(files, func(a, b string) int { return cmp.Or(cmp.Compare(size[a], size[b]), cmp.Compare(a, b)) })
	return files, nil
}

// pair runs a pass of both in turns and returns the rest of a row.
func (b *bench) pair(ctx context.Context, pass, file string) (string, error) {
	var mine, theirs, ratios []float64
	for round := range b.rounds {
		programs, times := []string{b.mine, b.theirs}, [2]float64{}
		for k := range programs {
			i := (k + round) % 2 // who is first takes turns
			ms, err := b.once(ctx, programs[i], pass, file)
			if errors.Is(err, context.DeadlineExceeded) {
				return fmt.Sprintf("%s: more than %v", []string{"this", b.against}[i], b.limit), nil
			}
			if err != nil {
				return "", fmt.Errorf("%s of %s: %w", pass, file, err)
			}
			times[i] = ms
		}
		mine, theirs, ratios = append(mine, times[0]), append(theirs, times[1]), append(ratios, times[0]/times[1])
	}
	low, high := quartiles(ratios)
	return fmt.Sprintf("%.2f ms\t%.2f ms\t%.3f\t%.3f – %.3f", median(mine), median(theirs), median(ratios), low, high), nil
}

// once returns how many milliseconds a pass takes.
func (b *bench) once(ctx context.Context, program, pass, file string) (float64, error) {
	limited, cancel := context.WithTimeout(ctx, b.limit)
	defer cancel()
	cmd := exec.CommandContext(limited, program, pass, file)
	var said strings.Builder
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		if limited.Err() != nil {
			return 0, limited.Err()
		}
		return 0, fmt.Errorf("%w: %s", err, said.String())
	}
	ns, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	return ns / 1e6, err
}

func median(list []float64) float64 {
	s := slices.Sorted(slices.Values(list))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

// quartiles are the ends of the half that lies in the middle.
func quartiles(list []float64) (low, high float64) {
	s := slices.Sorted(slices.Values(list))
	n := len(s)
	return s[n/4], s[n-1-n/4]
}
