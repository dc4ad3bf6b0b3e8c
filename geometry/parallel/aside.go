package parallel

import "context"

// Aside returns what work does, or the context's error as soon as that ends, for
// work that cannot be interrupted or looks at the context seldom. It then ends in
// the background, so it must change nothing that others see. A panic in it comes
// up here.
func Aside[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type outcome struct {
		v     T
		err   error
		panic any
	}
	done := make(chan outcome, 1)
	go func() {
		var o outcome
		defer func() {
			o.panic = recover()
			done <- o
		}()
		o.v, o.err = work()
	}()
	select {
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	case o := <-done:
		if o.panic != nil {
			panic(o.panic) // where the caller can deal with it
		}
		return o.v, o.err
	}
}
