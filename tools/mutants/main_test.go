package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestChanges_OneAtATimeByClass(t *testing.T) {
	src := `package p

import "math"

func f(a, b int, on bool, s string) (bool, int) {
	for i := 0; i < 9; i++ {
		if a%4 == 2 {
			continue
		}
	}
	a = -b
	b *= max(a, 3)
	_ = s + "text" + s
	return !on && math.Max(3, 4) >= 5 || true, a + b
}
`
	want := map[int][]string{
		6:  {"i := 1; constant", "i > 9 comparison", "i <= 9 boundary", "i-- arithmetic"},
		7:  {"a%4 != 2 comparison", "a*4 == 2 arithmetic"},
		8:  {"break branch"},
		11: {"_ = -b assignment skipped", "a = b arithmetic"},
		12: {"b /= max arithmetic", "min(a, 3) min and max"},
		14: {"return on && logic", "on || math logic", "math.Min(3, 4) min and max", "4) <= 5 comparison", "4) > 5 boundary", "5 && true logic", "|| false constant", "a - b arithmetic"},
	}
	file := filepath.Join(t.TempDir(), "p.go")
	if err := os.WriteFile(file, []byte(src), 0o600); err != nil {
		t.Fatal(err)
	}
	places, err := changes(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range slices.Concat(places...) {
		line := strings.Split(src[:c.at]+c.new+src[c.at+len(c.old):], "\n")[c.line-1]
		i := slices.IndexFunc(want[c.line], func(w string) bool {
			text, ok := strings.CutSuffix(w, " "+c.class)
			return ok && strings.Contains(line, text)
		})
		if i < 0 {
			t.Errorf("line %d became %q (%s)", c.line, line, c.class)
			continue
		}
		want[c.line] = slices.Delete(want[c.line], i, i+1)
	}
	for line, missing := range want {
		if len(missing) > 0 {
			t.Errorf("line %d: never became %q", line, missing)
		}
	}
}

// A module of three packages: what is changed, its nearest user, and a user of
// both, which is not asked.
func module(t *testing.T) string {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"go.mod": "module m\n\ngo 1.24\n",
		"low/low.go": `package low

func Known(a int) bool { return a == 1 }

func UserKnows(a int) int { return a - 7 }

func Unknown(a int) int { return a * 7 }

func Ends(a int) (n int) {
	for ; a < 40; a++ {
		n++
	}
	return n
}

func Word(a string, b string) string { return a + b }
`,
		"low/low_test.go": `package low

import "testing"

func TestKnown(t *testing.T) {
	if !Known(1) || Known(0) || Known(-1) {
		t.Fail()
	}
	if Ends(1) != 39 {
		t.Fail()
	}
}
`,
		"user/user.go": "package user\n\nimport \"m/low\"\n\nfunc Five() int { return low.UserKnows(12) }\n",
		"user/user_test.go": `package user

import "testing"

func TestFive(t *testing.T) {
	if Five() != 5 {
		t.Fail()
	}
}
`,
		"top/top.go":      "package top\n\nimport (\n\t\"m/low\"\n\t\"m/user\"\n)\n\nvar All = low.Unknown(user.Five())\n",
		"top/top_test.go": "package top\n\nimport \"testing\"\n\nfunc TestAll(t *testing.T) {\n\tif All != 35 {\n\t\tt.Fail()\n\t}\n}\n",
	} {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("GOWORK", "off")
	t.Setenv("GOFLAGS", "")
	return dir
}

func TestMutants_TellsWhatTestsNotice(t *testing.T) {
	var out strings.Builder
	b := bench{module: module(t), slack: time.Second}
	before, err := os.ReadFile(filepath.Join(b.module, "low/low.go"))
	if err != nil {
		t.Fatal(err)
	}
	if err := b.try(t.Context(), []string{"./low"}, 100, 3, &out); err != nil {
		t.Fatal(err)
	}
	said := out.String()
	for _, want := range []string{
		`caught        m/low/low.go:3: "==" to "!=" (comparison) in: func Known(a int) bool { return a == 1 } · by m/low: --- FAIL: TestKnown`,
		`caught        m/low/low.go:5: "-" to "+" (arithmetic) in: func UserKnows(a int) int { return a - 7 } · by m/user: --- FAIL: TestFive`,
		`survived      m/low/low.go:7: "*" to "/" (arithmetic) in: func Unknown(a int) int { return a * 7 }`,
		`caught        m/low/low.go:10: "++" to "--" (arithmetic) in: for ; a < 40; a++ { · by m/low: panic: test timed out`,
		`did not build m/low/low.go:16: "+" to "-" (arithmetic)`,
		"seed 3: ",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if t.Failed() {
		t.Log(said)
	}
	if after, err := os.ReadFile(filepath.Join(b.module, "low/low.go")); err != nil || string(after) != string(before) {
		t.Errorf("the file was touched: %v", err)
	}
}

func TestMutants_AloneAsksNoUsers(t *testing.T) {
	var out strings.Builder
	b := bench{module: module(t), alone: true, slack: time.Second}
	if err := b.try(t.Context(), []string{"./low"}, 1, 3, &out); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(out.String(), "m/user") {
		t.Errorf("said:\n%s", out.String())
	}
}

// The same seed is the same choice, another is another.
func TestMutants_SeedChooses(t *testing.T) {
	said := map[uint64]string{}
	b := bench{module: module(t), alone: true, slack: time.Second}
	for _, seed := range []uint64{1, 2, 1} {
		var out strings.Builder
		if err := b.try(t.Context(), []string{"./low"}, 2, seed, &out); err != nil {
			t.Fatal(err)
		}
		_, choice, _ := strings.Cut(out.String(), "\n") // past how long it took
		if before, ok := said[seed]; ok && before != choice {
			t.Errorf("seed %d:\n%s\nthen\n%s", seed, before, choice)
		}
		said[seed] = choice
	}
	if said[1] == said[2] {
		t.Errorf("both seeds:\n%s", said[1])
	}
}

func TestReport_CountsBoundariesApart(t *testing.T) {
	var out strings.Builder
	report(map[[2]string]int{
		{boundary, caught}: 1, {boundary, survived}: 6,
		{"logic", caught}: 3, {"logic", survived}: 1, {"logic", unbuilt}: 2,
		{"arithmetic", caught}: 6,
	}, 7, &out)
	if want := "seed 7: 9 of 10 that move no mere boundary are caught (90 %)\n"; !strings.HasSuffix(out.String(), want) {
		t.Errorf("%s", out.String())
	}
	for _, want := range []string{fmt.Sprintf("%-20s %8d %10d %14d\n", "boundary", 1, 6, 0), fmt.Sprintf("%-20s %8d %10d %14d\n", "logic", 3, 1, 2)} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
