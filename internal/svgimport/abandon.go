package svgimport

import "context"

// unlessCancelled does work that cannot be interrupted and returns as soon as
// its context ends; the work then ends in the background, so it must change
// nothing that others see. A panic in it comes up here.
func unlessCancelled[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type result struct {
		v     T
		err   error
		panic any
	}
	done := make(chan result, 1)
	go func() {
		var r result
		defer func() {
			r.panic = recover()
			done <- r
		}()
		r.v, r.err = work()
	}()
	select {
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	case r := <-done:
		if r.panic != nil {
			panic(r.panic) // where the caller can deal with it
		}
		return r.v, r.err
	}
}
