package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The page of the manual names every command and flag that help lists, and man
// takes all of it.
func TestManual_NamesEveryFlag(t *testing.T) {
	page := must(t, "--lang", "en", "manual")
	plain := strings.ReplaceAll(page, `\-`, "-")
	for _, command := range []string{"check", "cut", "trace", "demo"} {
		for _, line := range strings.Split(must(t, "--lang", "en", command, "--help"), "\n") {
			flag, _, _ := strings.Cut(strings.TrimSpace(line), " ")
			flag, _, _ = strings.Cut(flag, "=")
			if strings.HasPrefix(flag, "--") && flag != "--help" && flag != "--lang" && flag != "--version" && !strings.Contains(plain, ".B "+flag) {
				t.Errorf("%s %s is not in it", command, flag)
			}
		}
	}
	if strings.Contains(plain, "cli-") {
		t.Error("an id stands in the place of its sentence")
	}
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("no groff here to set it")
	}
	c := exec.Command(groff, "-man", "-Tutf8", "-Kutf8", "-ww")
	c.Stdin = strings.NewReader(page)
	if out, err := c.CombinedOutput(); err != nil || strings.Contains(string(out), "warning:") {
		t.Errorf("groff: %v\n%.600s", err, out)
	}
}

// A shell completes commands, flags and what a flag may be; else files.
func TestCompletion_InBash(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash here")
	}
	dir := t.TempDir()
	script := filepath.Join(dir, "abut.bash")
	if err := os.WriteFile(script, []byte(must(t, "completion", "bash")), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "boat.svg"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for typed, want := range map[string]string{
		"abut tr": "trace", "abut cut --knock": "--knockout", "abut cut --knockout n": "none", "abut cut bo": "boat.svg", "abut bo": "boat.svg",
	} {
		words := strings.Fields(typed)
		quotedWords := "'" + strings.Join(words, "' '") + "'"
		c := exec.Command(bash, "-c", `. ./abut.bash; COMP_WORDS=(`+quotedWords+`); COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _abut; echo "${COMPREPLY[@]}"`)
		c.Dir = dir
		out, err := c.Output()
		if got := strings.TrimSpace(string(out)); err != nil || got != want {
			t.Errorf("%s: %q, want %q (%v)", typed, got, want, err)
		}
	}
	for _, shell := range []string{"zsh", "fish"} {
		if out := must(t, "completion", shell); !strings.Contains(out, "knockout") {
			t.Errorf("%s learns nothing", shell)
		}
	}
	if status, _, _ := abut("completion", "csh"); status != exitUsage {
		t.Error("a shell that is not known is taken")
	}
}
