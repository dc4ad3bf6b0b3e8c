package workshop

import (
	"context"
	"errors"
	"testing"
)

func TestTogether_WhatFailsStopsTheOthersAndIsTheError(t *testing.T) {
	broken := errors.New("broken")
	waits := func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }
	fails := func(context.Context) error { return broken }
	if err := together(context.Background(), waits, fails); !errors.Is(err, broken) {
		t.Error(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := together(ctx, waits, waits); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	done := 0
	if err := together(context.Background(), func(context.Context) error { done++; return nil }); err != nil || done != 1 {
		t.Error(done, err)
	}
}
