// Package parallel works through a list side by side. Whoever calls it need not
// know: what it returns, and how it panics, is as from a plain loop.
package parallel

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync/atomic"
)

// Workers is how many items are worked on at once: nearly every desktop has two
// cores, and the window wants some of the rest.
const Workers = 2

// Do calls f for 0 … n−1, in no particular order and at most Workers at a time,
// and returns when all calls have. No call begins once the context is done; then
// it returns the context's error.
//
// The caller works too. When f panics, no further call begins, and Do panics with a
// *Panic in the caller's goroutine.
func Do(ctx context.Context, n int, f func(i int)) error {
	if n <= 1 {
		if err := ctx.Err(); err != nil || n < 1 {
			return err
		}
		f(0)
		return nil
	}
	var next atomic.Int64
	var broken atomic.Pointer[Panic]
	work := func() {
		defer func() {
			if v := recover(); v != nil {
				broken.CompareAndSwap(nil, caught(v))
			}
		}()
		for broken.Load() == nil {
			i := int(next.Add(1)) - 1
			if i >= n || ctx.Err() != nil { // asked once for each, whoever comes to help
				return
			}
			f(i)
		}
	}
	var helpers [Workers - 1]*help
	for i := range min(Workers, n) - 1 {
		helpers[i] = ask(work)
	}
	work()
	for _, h := range helpers {
		if h != nil {
			h.end()
		}
	}
	if p := broken.Load(); p != nil {
		panic(p)
	}
	return ctx.Err()
}

// Ranges calls f for consecutive ranges that together are 0 … n−1, as many at a
// time as there are Workers and with the part's number, and returns the first
// range's error, if any. A list shorter than worth is one range: sharing costs half a
// microsecond, or some 25 where a core must be woken for it. Which item falls into which range depends on n
// alone, so results that are put together by part do too.
func Ranges(ctx context.Context, n, worth int, f func(part, lo, hi int) error) error {
	if n < worth {
		return f(0, 0, n)
	}
	var errs [Workers]error
	err := Do(ctx, Workers, func(part int) { errs[part] = f(part, n*part/Workers, n*(part+1)/Workers) })
	for _, e := range errs {
		if e != nil {
			return e
		}
	}
	return err
}

// Collect is Ranges for a function that finds something: it returns what f found in each range, by
// part, and the zero value for parts that there are none of.
func Collect[T any](ctx context.Context, n, worth int, f func(part, lo, hi int) (T, error)) (all [Workers]T, err error) {
	if n < worth {
		all[0], err = f(0, 0, n) // with no room on the heap, which is felt where a picture is small
		return all, err
	}
	return collected(ctx, n, f)
}

func collected[T any](ctx context.Context, n int, f func(part, lo, hi int) (T, error)) ([Workers]T, error) {
	var all [Workers]T
	err := Ranges(ctx, n, 0, func(part, lo, hi int) error {
		of, err := f(part, lo, hi)
		all[part] = of // once: what lies side by side goes to and fro between cores
		return err
	})
	return all, err
}

// Panic is what a worker panicked with.
type Panic struct {
	Value any
	// Stack is the worker's own.
	Stack []byte
}

func (p *Panic) Error() string { return fmt.Sprintf("%v\n\nin a worker:\n%s", p.Value, p.Stack) }

// Unwrap returns the value if it is an error.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// caught keeps the stack of the innermost worker.
func caught(v any) *Panic {
	if p, ok := v.(*Panic); ok {
		return p
	}
	return &Panic{v, debug.Stack()}
}
