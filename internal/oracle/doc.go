// Package oracle holds the referees of the tests: a second SVG renderer and a
// second geometry engine, each in a process of its own, so that neither can
// bring a test down or link into the program. Nothing outside tests may import
// it; a test in package architecture holds that.
//
// What the referees need is fetched by ./run into .work. Where it is missing, a
// test that asks for one is skipped, unless ABUT_ORACLES=required is set, as
// ./run test does: then it fails.
package oracle

import (
	"os"
	"path/filepath"
	"testing"
)

// missing skips the test, or fails it when the referees are required.
func missing(tb testing.TB, format string, args ...any) {
	tb.Helper()
	if os.Getenv("ABUT_ORACLES") == "required" {
		tb.Fatalf(format, args...)
	}
	tb.Skipf(format, args...)
}

// Root returns the top folder of the project: the one with go.mod.
func Root(tb testing.TB) string {
	tb.Helper()
	dir, err := os.Getwd()
	if err != nil {
		tb.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			tb.Fatal("no go.mod above the working folder")
		}
		dir = up
	}
}

// Art returns the files of a package of open art that match a pattern, such as
// Art(tb, "flag-icons/flags/4x3/*.svg"), sorted by name.
func Art(tb testing.TB, pattern string) []string {
	tb.Helper()
	names, err := filepath.Glob(filepath.Join(modules(tb), filepath.FromSlash(pattern)))
	if err != nil {
		tb.Fatal(err)
	}
	if len(names) == 0 {
		missing(tb, "no open art %s: ./run test fetches it", pattern)
	}
	return names
}

// modules returns the folder with the packages of testdata/npm.
func modules(tb testing.TB) string {
	tb.Helper()
	dir := filepath.Join(Root(tb), ".work", "npm", "node_modules")
	if _, err := os.Stat(dir); err != nil {
		missing(tb, "no npm packages in .work: ./run test fetches them")
	}
	return dir
}
