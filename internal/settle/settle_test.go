package settle

import "testing"

// What is handed over may begin more work, also when nothing was going on any more.
func TestAll_WaitsForWorkThatWorkBegan(t *testing.T) {
	queue, left, ran := make(chan func(), 10), 0, 0
	begin := func(then func()) {
		left++
		go func() { queue <- func() { left--; ran++; then() } }()
	}
	queue <- func() { // of no task: a timer, say
		begin(func() { begin(func() {}) })
	}
	All(t, queue, func() bool { return left > 0 })
	if left != 0 || ran != 2 {
		t.Errorf("%d still go on, %d ran", left, ran)
	}
}
