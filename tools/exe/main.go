// Command exe reads a program for Windows back from its file and says what is wrong
// with it: a library that Windows 10 does not come with, an icon or a version that is
// not there, a console that would stand behind the window.
//
//	exe -version v0.1.0 abut.exe
package main

import (
	"bytes"
	"debug/pe"
	"encoding/binary"
	"errors"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"unicode/utf16"
)

func main() {
	version := flag.String("version", "", "what the resources are to say")
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	found, err := read(flag.Arg(0))
	if err == nil {
		err = found.check(*version)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "exe:", err)
		os.Exit(1)
	}
	fmt.Printf("exe: %d libraries, all of Windows 10: %s; icon of %v; version %s\n",
		len(found.libraries), strings.Join(found.libraries, " "), found.icons, found.strings["FileVersion"])
}

// ofWindows10 are libraries that every Windows 10 has in its folder system32, of those
// that a window toolkit and the C library of mingw ask for.
var ofWindows10 = []string{"advapi32.dll", "comdlg32.dll", "gdi32.dll", "imm32.dll", "kernel32.dll", "msvcrt.dll", "ntdll.dll", "ole32.dll", "oleaut32.dll", "opengl32.dll", "setupapi.dll", "shell32.dll", "shlwapi.dll", "user32.dll", "version.dll", "winmm.dll", "ws2_32.dll"}

// sizes are those that Windows shows, from lists to the desktop at its largest.
var sizes = []int{16, 24, 32, 48, 256}

// program is what a file says of itself.
type program struct {
	libraries []string
	window    bool // it opens no console
	icons     []int
	strings   map[string]string // of its version
	manifest  string
}

func (p program) check(version string) error {
	var errs []error
	wrong := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	for _, l := range p.libraries {
		if !slices.Contains(ofWindows10, strings.ToLower(l)) {
			wrong("it wants %s, which Windows 10 need not have", l)
		}
	}
	if len(p.libraries) == 0 {
		wrong("it says of no library that it wants it")
	}
	if !p.window {
		wrong("a console would stand behind its window")
	}
	for _, s := range sizes {
		if !slices.Contains(p.icons, s) {
			wrong("its icon has no picture of %d × %d", s, s)
		}
	}
	for name, want := range map[string]string{"FileVersion": version, "ProductVersion": version, "ProductName": "Abut", "OriginalFilename": "abut.exe"} {
		if p.strings[name] != want {
			wrong("its %s is %q, not %q", name, p.strings[name], want)
		}
	}
	for _, word := range []string{"longPathAware", "PerMonitorV2", "UTF-8"} {
		if !strings.Contains(p.manifest, word) {
			wrong("its manifest does not say %s", word)
		}
	}
	return errors.Join(errs...)
}

// Types of resources: Microsoft, Resource Types.
const (
	typeIconGroup = 14
	typeVersion   = 16
	typeManifest  = 24
)

func read(file string) (program, error) {
	f, err := pe.Open(file)
	if err != nil {
		return program{}, err
	}
	defer f.Close()
	header, ok := f.OptionalHeader.(*pe.OptionalHeader64)
	if !ok {
		return program{}, errors.New("it is no program of 64 bits")
	}
	p := program{window: header.Subsystem == pe.IMAGE_SUBSYSTEM_WINDOWS_GUI, strings: map[string]string{}}
	symbols, err := f.ImportedSymbols() // ImportedLibraries lists none
	if err != nil {
		return program{}, err
	}
	for _, s := range symbols {
		if _, library, ok := strings.Cut(s, ":"); ok && !slices.Contains(p.libraries, library) {
			p.libraries = append(p.libraries, library)
		}
	}
	slices.Sort(p.libraries)
	section := f.Section(".rsrc")
	if section == nil {
		return p, nil
	}
	data, err := section.Data()
	if err != nil {
		return program{}, err
	}
	r := resources{data, section.VirtualAddress}
	for _, b := range r.of(typeIconGroup) {
		p.icons = append(p.icons, iconSizes(b)...)
	}
	for _, b := range r.of(typeVersion) {
		for _, name := range []string{"FileVersion", "ProductVersion", "ProductName", "OriginalFilename"} {
			p.strings[name] = versionString(b, name)
		}
	}
	for _, b := range r.of(typeManifest) {
		p.manifest = string(b)
	}
	return p, nil
}

// resources is the section of that name: tables of entries, by type, name and language
// (Microsoft, PE Format, The .rsrc Section).
type resources struct {
	data []byte
	base uint32 // its address
}

// inner marks an entry that leads to another table.
const inner = 1 << 31

// of returns the resources of a type.
func (r resources) of(kind uint32) [][]byte {
	for _, e := range r.table(0) {
		if e[0] == kind && e[1]&inner != 0 {
			return r.below(e[1] &^ inner)
		}
	}
	return nil
}

// table lists the entries of a table: an id, and where it leads.
func (r resources) table(at uint32) (out [][2]uint32) {
	if int(at)+16 > len(r.data) {
		return nil
	}
	n := uint32(binary.LittleEndian.Uint16(r.data[at+12:])) + uint32(binary.LittleEndian.Uint16(r.data[at+14:]))
	for i := range n {
		e := at + 16 + 8*i
		if int(e)+8 > len(r.data) {
			return out
		}
		out = append(out, [2]uint32{binary.LittleEndian.Uint32(r.data[e:]), binary.LittleEndian.Uint32(r.data[e+4:])})
	}
	return out
}

// below returns all data in a table and those that it leads to.
func (r resources) below(at uint32) (out [][]byte) {
	for _, e := range r.table(at) {
		if e[1]&inner != 0 {
			out = append(out, r.below(e[1]&^inner)...)
			continue
		}
		if int(e[1])+8 > len(r.data) {
			continue
		}
		from := binary.LittleEndian.Uint32(r.data[e[1]:]) - r.base
		to := from + binary.LittleEndian.Uint32(r.data[e[1]+4:])
		if from <= to && int(to) <= len(r.data) {
			out = append(out, r.data[from:to])
		}
	}
	return out
}

// iconSizes reads the directory of an icon: six bytes, and fourteen for each picture, of
// which the first is its width; 0 is 256.
func iconSizes(b []byte) (out []int) {
	for at := 6; at+14 <= len(b); at += 14 {
		w := int(b[at])
		if w == 0 {
			w = 256
		}
		out = append(out, w)
	}
	return out
}

// versionString finds a value of a version's StringFileInfo: the name in UTF-16, zeros to
// the next place that four divides, and the value up to a zero.
func versionString(b []byte, name string) string {
	i := bytes.Index(b, wide(name+"\x00"))
	if i < 0 {
		return ""
	}
	i = (i + 2*len(name) + 2 + 3) &^ 3
	var out []uint16
	for ; i+2 <= len(b); i += 2 {
		u := binary.LittleEndian.Uint16(b[i:])
		if u == 0 {
			break
		}
		out = append(out, u)
	}
	return string(utf16.Decode(out))
}

func wide(s string) (out []byte) {
	for _, u := range utf16.Encode([]rune(s)) {
		out = binary.LittleEndian.AppendUint16(out, u)
	}
	return out
}
