package print

import (
	"bytes"
	"testing"
)

func BenchmarkDocument_OnePage(b *testing.B) {
	for b.Loop() {
		var out bytes.Buffer
		if err := sample(A4).Write(&out); err != nil {
			b.Fatal(err)
		}
	}
}
