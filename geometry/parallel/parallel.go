// Package parallel does independent work side by side.
package parallel

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// workers is how many run at once: nearly every desktop has two cores, and the
// window wants some of the rest.
const workers = 2

// Do calls do for 0 … n−1, in no particular order, until all are done or the
// context is, whose error it returns. A panic in do becomes one of the caller,
// with the stack that it came from in its text.
func Do(ctx context.Context, n int, do func(i int)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	var once sync.Once
	broken := ""
	for range min(workers, n) {
		wg.Go(func() {
			defer func() {
				if v := recover(); v != nil {
					once.Do(func() { broken = fmt.Sprintf("%v\n\n%s", v, debug.Stack()) })
					next.Store(int64(n)) // nobody begins anything more
				}
			}()
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
	if broken != "" {
		panic(broken)
	}
	return ctx.Err()
}
