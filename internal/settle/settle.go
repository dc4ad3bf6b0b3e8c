// Package settle lets tests wait until a session has nothing left to do: the test's
// goroutine is the one that the session belongs to.
package settle

import (
	"testing"
	"time"
)

// hangs is far longer than any work takes, on the slowest machine too: it only ends
// what would go on for ever.
const hangs = 20 * time.Minute

// All runs what background work hands over until the session is not busy and the
// queue is empty. What is run may begin more work, which is waited for as well.
func All(t testing.TB, queue <-chan func(), busy func() bool) {
	t.Helper()
	var deadline <-chan time.Time
	for {
		select {
		case f := <-queue:
			f()
			continue
		default:
		}
		if !busy() {
			return
		}
		if deadline == nil {
			deadline = time.After(hangs)
		}
		select {
		case f := <-queue:
			f()
		case <-deadline:
			t.Fatal("background work does not end")
		}
	}
}
