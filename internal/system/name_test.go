package system

import (
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// refused are names that Windows cannot have: of each rule in Microsoft, Naming Files, Paths, and
// Namespaces, some.
var refused = []string{
	"con", "CON", "Con.svg", "nul.tar.gz", "NUL .txt", "aux", "prn.abut", "COM1", "com9.x", "LPT1", "lpt³", "COM¹.svg", "CONIN$", "conout$.x",
	"a<b", "a>b", `a"b`, "a:b", "C:", "a/b", `a\b`, "a|b", "what?", "all*", "tab\there", "line\nend", "zero\x00",
	"ends.", "ends ", "ends. .", "...", " ", "",
}

func TestTakes_KnowsTheRulesOfEachSystem(t *testing.T) {
	for _, name := range refused {
		if fake(windows, "", nil).Takes(name) {
			t.Errorf("Windows takes %q", name)
		}
	}
	for _, name := range []string{"console", "con-", "a.con", "common", "com10", "com", "lpt", "my.tar.gz", ".hidden", " begins", "Möwe & Boje", "ごはん", "..", "."} {
		if !fake(windows, "", nil).Takes(name) {
			t.Errorf("Windows does not take %q", name)
		}
	}
	for name, want := range map[string]bool{"con": true, "a:b": true, "ends. ": true, "a/b": false, "zero\x00": false, "": false, "..": true} {
		if fake(linux, "", nil).Takes(name) != want || fake(mac, "", nil).Takes(name) != want {
			t.Errorf("%q: not %v", name, want)
		}
	}
}

func TestFileName_KeepsWhatIsOne(t *testing.T) {
	for _, name := range []string{"puffin", "Tasse für Oma", "mug 2.0", "ごはん", "👩‍🚀 star", "-x-", "O'Neill & Söhne (neu)"} {
		if got := FileName(name, "art"); got != name {
			t.Errorf("%q became %q", name, got)
		}
	}
}

func TestFileName_ChangesNoMoreThanItMust(t *testing.T) {
	for name, want := range map[string]string{
		"Front/Back":      "Front-Back",
		`a:b*c?"<>|\`:     "a-b-c------",
		"Dr. ":            "Dr",
		".svg":            "svg",
		"...":             "art",
		"\t":              "art",
		"":                "art",
		"CON":             "CON-",
		"nul.one":         "nul-.one",
		"aux .x":          "aux-.x",
		"Com1":            "Com1-",
		"a\xffb":          "a-b",
		"Mo\u0308we":      "Möwe",
		"line\nend":       "line-end",
		"../../etc/hosts": "-..-etc-hosts",
	} {
		if got := FileName(name, "art"); got != want {
			t.Errorf("%q became %q, want %q", name, got, want)
		}
	}
}

// legal reports why a name made from another is none.
func legal(t *testing.T, name string) {
	t.Helper()
	got := FileName(name, "art")
	for _, kind := range []string{linux, mac, windows} {
		for _, n := range []string{got, got + ".abut", got + " sheets", got + "-2"} {
			if !fake(kind, "", nil).Takes(n) || strings.HasPrefix(n, ".") {
				t.Errorf("%q became %q, which %s does not take as %q", name, got, kind, n)
			}
		}
	}
	if len(got) > longestName || !utf8.ValidString(got) || !norm.NFC.IsNormalString(got) {
		t.Errorf("%q became %q", name, got)
	}
	if again := FileName(got, "art"); again != got {
		t.Errorf("%q became %q, and that %q", name, got, again)
	}
}

func TestFileName_IsOneOnEverySystem(t *testing.T) {
	for _, name := range append(refused, strings.Repeat("ä", 300), strings.Repeat("x", longestName-1)+" . yz", strings.Repeat("👩‍🚀", 99), "con."+strings.Repeat("y", 300), "con"+strings.Repeat(" ", 300)+"x") {
		legal(t, name)
	}
}

func FuzzFileName(f *testing.F) {
	for _, name := range refused {
		f.Add(name)
	}
	f.Fuzz(legal)
}

func TestSameFile_TellsWhatSomeSystemTakesForOne(t *testing.T) {
	for _, same := range [][2]string{{"Mug", "mUG"}, {"MÖWE", "mo\u0308we"}, {"Straße", "STRASSE"}, {"Σίσυφος", "ΣΊΣΥΦΟΣ"}} {
		if SameFile(same[0]) != SameFile(same[1]) {
			t.Errorf("%q and %q are told apart", same[0], same[1])
		}
	}
	if SameFile("mug") == SameFile("mugs") || SameFile("Möwe") == SameFile("Mowe") {
		t.Error("what differs is one")
	}
}
