package abutfile

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// docs/files.md tells of every field that a file may have. What geometry and colour
// spell by themselves it tells in a sentence.
func TestDocs_TellOfEveryField(t *testing.T) {
	b, err := os.ReadFile(filepath.Join("..", "..", "docs", "files.md"))
	if err != nil {
		t.Fatal(err)
	}
	seen := map[reflect.Type]bool{}
	fields := 0
	var look func(reflect.Type)
	look = func(v reflect.Type) {
		for v.Kind() == reflect.Slice || v.Kind() == reflect.Array || v.Kind() == reflect.Pointer || v.Kind() == reflect.Map {
			v = v.Elem()
		}
		if v.Kind() != reflect.Struct || seen[v] || strings.HasSuffix(v.PkgPath(), "/colour") || strings.HasSuffix(v.PkgPath(), "/geometry") && v.Name() != "Rect" {
			return
		}
		seen[v] = true
		for i := range v.NumField() {
			f := v.Field(i)
			if !f.IsExported() || f.Tag.Get("json") == "-" {
				continue
			}
			if fields++; !f.Anonymous && !strings.Contains(string(b), "`"+f.Name+"`") {
				t.Errorf("%v: the field %s is not told", v, f.Name)
			}
			look(f.Type)
		}
	}
	look(reflect.TypeFor[file]())
	for v := range Version {
		if !strings.Contains(string(b), fmt.Sprintf("\n| %d | ", v+1)) {
			t.Errorf("version %d is not told", v+1)
		}
	}
	if fields < 100 {
		t.Errorf("only %d fields were found", fields)
	}
}
