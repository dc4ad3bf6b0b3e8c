package weak

import "context"

// poll is how many places are asked between looks at the context: a
// millisecond, at the usual half a microsecond.
const poll = 2048

// pace counts what a pass asks, and looks at the context every so often.
type pace struct {
	ctx   context.Context
	asked int
}

// spend counts n places more. Its error is the context's.
func (p *pace) spend(n int) error {
	if p.asked += n; p.asked < poll {
		return nil
	}
	p.asked = 0
	return p.ctx.Err()
}
