// Command tally reads the output of `go test -json` and prints what a person
// wants to see of it: a line a package, the output of what failed, why a test
// was skipped, lines that tests mark with "figures: ", and at the very end
// how many tests there were. It exits 1 when anything failed or nothing ran.
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
)

type event struct {
	Action, Package, Test, Output, ImportPath string
	Elapsed                                   float64
}

type counts struct{ passed, failed, skipped int }

func main() {
	total, err := tally(os.Stdin, os.Stdout)
	if err != nil {
		fmt.Fprintln(os.Stderr, "tally:", err)
		total.failed++
	}
	line := fmt.Sprintf("%d passed, %d failed", total.passed, total.failed)
	if total.skipped > 0 {
		line += fmt.Sprintf(", %d skipped", total.skipped)
	}
	fmt.Println(line)
	if total.failed > 0 || total.passed == 0 {
		os.Exit(1)
	}
}

func tally(in io.Reader, out io.Writer) (total counts, err error) {
	output := map[string][]string{} // by package and test
	builds := map[string][]string{} // compiler output by import path
	failing := map[string]counts{}  // by package
	r := bufio.NewReader(in)
	for {
		line, readErr := r.ReadString('\n')
		if line != "" {
			var e event
			if json.Unmarshal([]byte(line), &e) != nil {
				fmt.Fprint(out, line) // not a test's: a message of the go command
			} else {
				one(e, &total, output, builds, failing, out)
			}
		}
		if readErr == io.EOF {
			return total, nil
		}
		if readErr != nil {
			return total, readErr
		}
	}
}

func one(e event, total *counts, output, builds map[string][]string, packages map[string]counts, out io.Writer) {
	key := e.Package + "\x00" + e.Test
	n := packages[e.Package]
	switch e.Action {
	case "build-output":
		builds[e.ImportPath] = append(builds[e.ImportPath], e.Output)
	case "build-fail":
		fmt.Fprintf(out, "does not build: %s\n%s", e.ImportPath, strings.Join(builds[e.ImportPath], ""))
	case "output":
		output[key] = append(output[key], e.Output)
		if _, figures, ok := strings.Cut(e.Output, "figures: "); ok {
			fmt.Fprintf(out, "      %s: %s", e.Test, figures)
		}
	case "pass", "fail", "skip":
		if e.Test == "" {
			if e.Action == "fail" && n.failed == 0 {
				total.failed++ // it did not build, or ended before its tests did
				fmt.Fprint(out, strings.Join(output[key], ""))
			}
			if e.Action != "skip" {
				fmt.Fprintf(out, "%-4s  %s  %d tests, %.1f s\n", map[string]string{"pass": "ok", "fail": "FAIL"}[e.Action], e.Package, n.passed+n.failed, e.Elapsed)
			}
			delete(output, key)
			return
		}
		switch e.Action {
		case "pass":
			n.passed++
			total.passed++
		case "fail":
			n.failed++
			total.failed++
			fmt.Fprint(out, strings.Join(output[key], ""))
		case "skip":
			n.skipped++
			total.skipped++
			fmt.Fprintf(out, "skip  %s %s", e.Package, reason(e.Test, output[key]))
		}
		packages[e.Package] = n
		delete(output, key)
	}
}

// reason returns the last thing that a skipped test said.
func reason(test string, lines []string) string {
	for i := len(lines) - 1; i >= 0; i-- {
		if l := strings.TrimSpace(lines[i]); l != "" && !strings.HasPrefix(l, "---") && !strings.HasPrefix(l, "===") {
			return test + ": " + l + "\n"
		}
	}
	return test + "\n"
}
