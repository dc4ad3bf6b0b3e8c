// Package watched lets tests count how often work looks at its context, stop it at
// any of these looks, and measure what it makes in between: memory that is asked
// for is a measure of work in which no other process has a part.
package watched

import (
	"context"
	"runtime/metrics"
	"sync"
)

// Context ends when it is looked at for the n-th time.
type Context struct {
	context.Context
	end context.CancelFunc

	mu           sync.Mutex
	n, looks     int
	before, most uint64 // asked for until the last look, and the most between two
	atEnd        uint64
}

// New returns a context that ends at its n-th look.
func New(n int) *Context {
	c := &Context{n: n, before: Allocated()}
	c.Context, c.end = context.WithCancel(context.Background())
	return c
}

func (c *Context) look() {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := Allocated()
	c.most, c.before = max(c.most, now-c.before), now
	if c.looks++; c.looks == c.n {
		c.atEnd = now
		c.end()
	}
}

// Err and Done look.
func (c *Context) Err() error { c.look(); return c.Context.Err() }

// Done looks, as Err does.
func (c *Context) Done() <-chan struct{} { c.look(); return c.Context.Done() }

// Looks is how often it was looked at.
func (c *Context) Looks() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.looks
}

// MostBytes is the most that was asked for between two looks.
func (c *Context) MostBytes() uint64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.most
}

// BytesSince is what was asked for since it ended.
func (c *Context) BytesSince() uint64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return Allocated() - c.atEnd
}

// Allocated is how many bytes of memory this process asked for so far.
func Allocated() uint64 {
	s := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(s)
	return s[0].Value.Uint64()
}
