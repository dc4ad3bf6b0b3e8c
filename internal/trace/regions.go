package trace

import "context"

// region is what hangs together of one ink, corners that touch included: a thin
// slanting line does no more than that.
type region struct {
	label uint8
	area  int
	// first is the pixel of it that is read first.
	first int32
}

// span is a part of a row that has one label.
type span struct {
	from, to int32 // to is the pixel after the last
	// root leads to the span that stands for all that hangs together.
	root int32
}

// spans are those of all rows so far, as they are read.
type spans []span

// root returns the span that stands for all that a span hangs together with.
func (s spans) root(k int32) int32 {
	for s[k].root != k {
		s[k].root = s[s[k].root].root
		k = s[k].root
	}
	return k
}

// join has the first stand for all: so numbers follow the order of reading.
func (s spans) join(a, b int32) {
	if p, q := s.root(a), s.root(b); p < q {
		s[q].root = p
	} else {
		s[p].root = q
	}
}

// regions divides the picture: spans of rows are joined with those above that they
// touch, corners included.
func (t *tracer) regions(ctx context.Context) error {
	var s spans
	above := 0 // where the spans of the row above begin
	for y := range t.pic.h {
		if y&63 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		row := len(s)
		s = t.appendRow(s, y)
		t.joinRow(s, above, row)
		above = row
	}
	if t.of == nil {
		t.of = make([]int32, len(t.labels))
	}
	t.list = t.list[:0]
	id := make([]int32, len(s))
	for k, x := range s {
		r := s.root(int32(k))
		if int(r) == k {
			id[k] = int32(len(t.list))
			t.list = append(t.list, region{label: t.labels[x.from], first: x.from})
		}
		n := id[r]
		t.list[n].area += int(x.to - x.from)
		for i := x.from; i < x.to; i++ {
			t.of[i] = n
		}
	}
	return nil
}

// appendRow adds the spans of a row.
func (t *tracer) appendRow(s spans, y int) spans {
	w := t.pic.w
	for i := y * w; i < (y+1)*w; {
		j, k := i+1, t.labels[i]
		for j < (y+1)*w && t.labels[j] == k {
			j++
		}
		s = append(s, span{int32(i), int32(j), int32(len(s))})
		i = j
	}
	return s
}

// joinRow joins the spans from row on with those of the row above that they touch.
func (t *tracer) joinRow(s spans, above, row int) {
	w, up := int32(t.pic.w), above
	for k := row; k < len(s); k++ {
		from, to := s[k].from-w-1, s[k].to-w+1
		for up < row && s[up].to <= from {
			up++
		}
		for a := up; a < row && s[a].from < to; a++ {
			if t.labels[s[a].from] == t.labels[s[k].from] {
				s.join(int32(a), int32(k))
			}
		}
	}
}
