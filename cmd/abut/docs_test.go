package main

import (
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"abut/internal/workshop"
)

// docs/command-line.md tells of every option, every field of job.json and of what
// check says as JSON, and of no option that there is not.
func TestDocs_TellOfEveryOptionAndField(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "docs", "command-line.md"))
	if err != nil {
		t.Fatal(err)
	}
	text := string(b)
	flag := regexp.MustCompile(`--[a-z][a-z-]*`)
	there := map[string]bool{"--clearance": true} // understood, no longer told by help
	for _, command := range []string{"check", "cut", "mark-cut", "trace", "class", "demo"} {
		for _, f := range flag.FindAllString(must(t, command, "--help"), -1) {
			there[f] = true
		}
	}
	told := map[string]bool{"--help": true}
	for _, f := range flag.FindAllString(text, -1) {
		if told[f] = true; !there[f] {
			t.Errorf("there is no %s", f)
		}
	}
	for f := range there {
		if !told[f] {
			t.Errorf("%s is not told", f)
		}
	}
	for _, v := range []any{workshop.Manifest{}, checkReport{}} {
		for _, field := range fieldsOf(reflect.TypeOf(v)) {
			if !strings.Contains(text, "`"+field+"`") {
				t.Errorf("%T: the field %s is not told", v, field)
			}
		}
	}
}

// fieldsOf lists the names in JSON of all fields of a struct, and of what it holds.
func fieldsOf(t reflect.Type) (out []string) {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if !f.IsExported() {
			continue
		}
		if !f.Anonymous {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			out = append(out, name)
		}
		out = append(out, fieldsOf(f.Type)...)
	}
	return out
}
