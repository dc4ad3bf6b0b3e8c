package system

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// forbidden are the signs that Windows takes in no name: Microsoft, Naming Files, Paths, and
// Namespaces. Others forbid only the slash.
const forbidden = `<>:"/\|?*`

// devices are the names that Windows keeps for itself, whatever ending follows: from the
// same page, and the two that its console has besides.
var devices = func() []string {
	list := []string{"con", "prn", "aux", "nul", "conin$", "conout$"}
	for _, port := range []string{"com", "lpt"} {
		for _, n := range "0123456789¹²³" {
			list = append(list, port+string(n))
		}
	}
	return list
}()

// device reports whether Windows keeps a name for itself.
func device(name string) bool {
	stem, _, _ := strings.Cut(name, ".")
	return slices.Contains(devices, strings.ToLower(strings.TrimRight(stem, " ")))
}

// longestName leaves room for an ending, a number and what hidden names have around
// them in the 255 bytes that file systems take.
const longestName = 180

// FileName makes of a name one that a file or folder can have on every system, and that
// hides it on none: nearly the same for people, the same for what is such a name
// already. It may be put before an ending or a word. Of what leaves nothing it makes
// instead.
func FileName(name, instead string) string {
	name = norm.NFC.String(strings.TrimSpace(strings.ToValidUTF8(name, "-")))
	name = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || strings.ContainsRune(forbidden, r) {
			return '-'
		}
		return r
	}, name)
	bare := func(s string) string { return strings.Trim(s, ". ") } // Windows drops dots and spaces at the end; a dot in front hides
	name = bare(name)
	for device(name) || len(name) > longestName {
		if stem, rest, dot := strings.Cut(name, "."); device(name) {
			name = strings.TrimRight(stem, " ") + "-"
			if dot {
				name += "." + rest
			}
			continue
		}
		_, last := utf8.DecodeLastRuneInString(name)
		name = bare(name[:len(name)-last])
	}
	if name == "" {
		return instead
	}
	return name
}

// Takes reports whether this system can have a file or folder of this name. What it
// takes may fail all the same: file systems have rules of their own.
func (s System) Takes(name string) bool {
	if name == "" || strings.ContainsAny(name, "/\x00") {
		return false
	}
	if s.Kind != windows || name == "." || name == ".." {
		return true
	}
	odd := func(r rune) bool { return r < ' ' || strings.ContainsRune(forbidden, r) }
	return !strings.ContainsFunc(name, odd) && strings.TrimRight(name, ". ") == name && !device(name)
}

// SameFile makes of a name what two names have in common that some system takes for one:
// Windows and macOS do not tell large letters from small ones, and macOS not letters
// with an accent from letters and their accents.
func SameFile(name string) string { return norm.NFD.String(cases.Fold().String(norm.NFD.String(name))) }
