package docs

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// pages are all documents, by their paths from the top of the tree.
func pages(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, pattern := range []string{"*.md", "docs/*.md", "geometry/*/*.md", "testdata/*.md"} {
		files, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(pattern)))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: %d files, %v", pattern, len(files), err)
		}
		for _, file := range files {
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			out[strings.TrimPrefix(filepath.ToSlash(file), "../")] = string(b)
		}
	}
	return out
}

// prose is a page without its blocks of code and what stands in backticks.
func prose(page string) string {
	page = regexp.MustCompile("(?ms)^```.*?^```$").ReplaceAllString(page, "")
	page = regexp.MustCompile("(?m)^    .*$").ReplaceAllString(page, "")
	return regexp.MustCompile("`[^`\n]*`").ReplaceAllString(page, "")
}

// anchors are the headings of a page as links name them; a second one of a name ends
// in -1.
func anchors(page string) []string {
	var out []string
	seen := map[string]int{}
	page = regexp.MustCompile("(?ms)^```.*?^```$").ReplaceAllString(page, "")
	for _, m := range regexp.MustCompile(`(?m)^#+ (.*)$`).FindAllStringSubmatch(page, -1) {
		name := Anchor(m[1])
		seen[name]++
		if n := seen[name]; n > 1 {
			name += "-" + string(rune('0'+n-1))
		}
		out = append(out, name)
	}
	return out
}

var link = regexp.MustCompile(`\]\(([^)\s]+)\)`)

func TestLinks_LeadToFilesAndHeadingsThatAreThere(t *testing.T) {
	all, n := pages(t), 0
	for name, page := range all {
		for _, m := range link.FindAllStringSubmatch(prose(page), -1) {
			n++
			to, heading, _ := strings.Cut(m[1], "#")
			if strings.Contains(to, "://") {
				t.Errorf("%s leads out of the tree, where nobody can tell whether it is there: %s", name, m[1])
				continue
			}
			path := name
			if to != "" {
				path = filepath.ToSlash(filepath.Join(filepath.Dir(name), to))
			}
			if _, err := os.Stat(filepath.Join("..", path)); err != nil {
				t.Errorf("%s: %s: %v", name, m[1], err)
			}
			if heading != "" && !slices.Contains(anchors(all[path]), heading) {
				t.Errorf("%s: %s: no such heading; there are %q", name, m[1], anchors(all[path]))
			}
		}
	}
	if n < 50 {
		t.Errorf("only %d links were found", n)
	}
}

// Whoever begins at README finds every page, and every picture here is on one.
func TestPages_AreAllReached(t *testing.T) {
	all := pages(t)
	seen := map[string]bool{}
	var reach func(string)
	reach = func(name string) {
		if seen[name] {
			return
		}
		seen[name] = true
		for _, m := range link.FindAllStringSubmatch(prose(all[name]), -1) {
			to, _, _ := strings.Cut(m[1], "#")
			reach(filepath.ToSlash(filepath.Join(filepath.Dir(name), to)))
		}
	}
	reach("README.md")
	files, err := filepath.Glob("*.*")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if !strings.HasSuffix(file, ".go") && !seen["docs/"+file] {
			t.Errorf("nothing leads from README to docs/%s", file)
		}
	}
}

var goBlock = regexp.MustCompile("(?m)^<!-- go: (\\S+) -->\n```go\n((?s:.*?))^```$")

// Every block of Go says which file of the tree it would be, and compiles there.
func TestGo_Compiles(t *testing.T) {
	replace := map[string]string{}
	packages := map[string]bool{}
	top, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	for name, page := range pages(t) {
		found := goBlock.FindAllStringSubmatch(page, -1)
		if n := strings.Count(page, "```go\n"); n != len(found) {
			t.Errorf("%s has %d blocks of Go, of which %d say which file they are", name, n, len(found))
		}
		for _, m := range found {
			file := filepath.Join(t.TempDir(), "block.go")
			if err := os.WriteFile(file, []byte(m[2]), 0o600); err != nil {
				t.Fatal(err)
			}
			if out, err := exec.Command("gofmt", "-l", file).CombinedOutput(); err != nil || len(out) > 0 {
				t.Errorf("%s: %s is not formatted: %s%v", name, m[1], out, err)
			}
			replace[filepath.Join(top, filepath.FromSlash(m[1]))] = file
			packages["./"+filepath.ToSlash(filepath.Dir(m[1]))] = true
		}
	}
	if len(replace) == 0 {
		t.Fatal("no block of Go was found")
	}
	overlay, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(t.TempDir(), "overlay.json")
	if err := os.WriteFile(list, overlay, 0o600); err != nil {
		t.Fatal(err)
	}
	for p := range packages {
		c := exec.Command("go", "build", "-tags", "migrated_fynedo", "-overlay", list, p)
		c.Dir = top
		if out, err := c.CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", p, err, out)
		}
	}
}

// What one is told to type as ./run VERB is a verb of it.
func TestRun_KnowsTheVerbsThatPagesName(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "run"))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for name, page := range pages(t) {
		for _, m := range regexp.MustCompile(`\./run ([a-z-]+)`).FindAllStringSubmatch(page, -1) {
			n++
			if !regexp.MustCompile(`(?m)^([a-z-]+ \| )*` + m[1] + `( \| [a-z-]+)*\) `).Match(b) {
				t.Errorf("%s: ./run has no verb %s", name, m[1])
			}
		}
	}
	if n < 10 {
		t.Errorf("only %d were found", n)
	}
}

// What one is told to run with go names packages that are there.
func TestGoCommands_NamePackagesThatAreThere(t *testing.T) {
	for name, page := range pages(t) {
		for _, line := range regexp.MustCompile("(?m)\\bgo (?:test|build|vet) [^`\n]*").FindAllString(page, -1) {
			for _, p := range regexp.MustCompile(`(?:^|\s)(\./[\w/]+)`).FindAllStringSubmatch(line, -1) {
				if s, err := os.Stat(filepath.Join("..", filepath.FromSlash(p[1]))); err != nil || !s.IsDir() {
					t.Errorf("%s: %s: there is no package %s", name, line, p[1])
				}
			}
		}
	}
}
