package main

import (
	"strings"
	"testing"
)

func TestTally_CountsAndShowsWhatFailed(t *testing.T) {
	in := `{"Action":"start","Package":"a"}
{"Action":"output","Package":"a","Test":"TestOne","Output":"    one_test.go:3: figures: 12 pieces\n"}
{"Action":"pass","Package":"a","Test":"TestOne"}
{"Action":"output","Package":"a","Test":"TestTwo","Output":"    two_test.go:9: wrong\n"}
{"Action":"fail","Package":"a","Test":"TestTwo"}
{"Action":"output","Package":"a","Test":"TestThree","Output":"    three_test.go:4: no cat here\n"}
{"Action":"output","Package":"a","Test":"TestThree","Output":"--- SKIP: TestThree (0.00s)\n"}
{"Action":"skip","Package":"a","Test":"TestThree"}
{"Action":"fail","Package":"a","Elapsed":0.5}
{"Action":"build-output","ImportPath":"b","Output":"b.go:1: no such thing\n"}
{"Action":"build-fail","ImportPath":"b"}
{"Action":"output","Package":"b","Output":"FAIL\tb [build failed]\n"}
{"Action":"fail","Package":"b"}
go: a message of another kind
`
	var out strings.Builder
	total, err := tally(strings.NewReader(in), &out)
	if err != nil {
		t.Fatal(err)
	}
	if want := (counts{passed: 1, failed: 2, skipped: 1}); total != want {
		t.Errorf("%+v, want %+v", total, want)
	}
	for _, want := range []string{"TestOne: 12 pieces", "two_test.go:9: wrong", "skip  a TestThree: three_test.go:4: no cat here", "FAIL  a  2 tests", "b.go:1: no such thing", "a message of another kind"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in:\n%s", want, out.String())
		}
	}
}
