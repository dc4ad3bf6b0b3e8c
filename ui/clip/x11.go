//go:build !windows && !darwin

package clip

import (
	"context"
	"io"

	"github.com/jezek/xgb"
	"github.com/jezek/xgb/xproto"

	"abut/geometry/parallel"
)

func init() { xgb.Logger.SetOutput(io.Discard) } // what goes wrong is returned

// kinds are the pictures that are asked for, the best first: what loses nothing.
var kinds = []string{"image/png", "image/bmp", "image/webp", "image/gif", "image/jpeg"}

// mostBytes is how much is taken: what is larger is no picture that could be traced.
const mostBytes = 1 << 30

// Picture returns the picture on the clipboard as the bytes of its file, nil where
// there is none or no clipboard. It asks whichever program has it by the X server's
// selections (Inter-Client Communication Conventions, 2), which other desktops keep
// in step with their own.
func Picture(ctx context.Context) ([]byte, error) {
	conn, err := xgb.NewConn()
	if err != nil {
		return nil, nil // no such desktop
	}
	// A program that does not answer is not waited for.
	stop := context.AfterFunc(ctx, conn.Close)
	defer func() {
		if stop() {
			conn.Close()
		}
	}()
	return parallel.Aside(ctx, func() ([]byte, error) { return ask(conn) })
}

// asked is a window of our own that answers are put onto, by the names of things.
type asked struct {
	conn   *xgb.Conn
	window xproto.Window
	atoms  map[string]xproto.Atom
}

func ask(conn *xgb.Conn) ([]byte, error) {
	screen := xproto.Setup(conn).DefaultScreen(conn)
	id, err := xproto.NewWindowId(conn)
	if err != nil {
		return nil, err
	}
	if err := xproto.CreateWindowChecked(conn, 0, id, screen.Root, 0, 0, 1, 1, 0, xproto.WindowClassInputOnly, screen.RootVisual,
		xproto.CwEventMask, []uint32{xproto.EventMaskPropertyChange}).Check(); err != nil {
		return nil, err
	}
	a := asked{conn, id, map[string]xproto.Atom{}}
	for _, kind := range kinds {
		if file, err := a.get(kind); err != nil || len(file) > 0 {
			return file, err
		}
	}
	return nil, nil
}

func (a *asked) atom(name string) (xproto.Atom, error) {
	if at, ok := a.atoms[name]; ok {
		return at, nil
	}
	r, err := xproto.InternAtom(a.conn, false, uint16(len(name)), name).Reply()
	if err != nil {
		return 0, err
	}
	a.atoms[name] = r.Atom
	return r.Atom, nil
}

// get returns what is on the clipboard as one kind, nil where it is not to be had.
func (a *asked) get(kind string) ([]byte, error) {
	var atoms [4]xproto.Atom
	for i, name := range [4]string{"CLIPBOARD", kind, "ABUT_PASTE", "INCR"} {
		var err error
		if atoms[i], err = a.atom(name); err != nil {
			return nil, err
		}
	}
	selection, target, onto, incr := atoms[0], atoms[1], atoms[2], atoms[3]
	xproto.ConvertSelection(a.conn, a.window, selection, target, onto, xproto.TimeCurrentTime)
	for {
		e, err := a.next()
		if e == nil {
			return nil, err
		}
		n, is := e.(xproto.SelectionNotifyEvent)
		if !is {
			continue
		}
		if n.Property == xproto.AtomNone {
			return nil, nil // nobody has it as that
		}
		of, file, err := a.take(onto)
		if err != nil || of != incr {
			return file, err
		}
		return a.parts(onto)
	}
}

// next waits for what happens next; nil when the connection is closed.
func (a *asked) next() (xgb.Event, error) {
	e, err := a.conn.WaitForEvent()
	if err != nil { // of a type of its own: not to be returned as it is when there is none
		return nil, err
	}
	return e, nil
}

// parts puts together what comes piece by piece (conventions, 2.7.2): each is there
// when the one before has been taken, and an empty one ends it.
func (a *asked) parts(onto xproto.Atom) (file []byte, err error) {
	for {
		e, err := a.next()
		if e == nil {
			return nil, err
		}
		n, is := e.(xproto.PropertyNotifyEvent)
		if !is || n.Atom != onto || n.State != xproto.PropertyNewValue {
			continue
		}
		_, part, err := a.take(onto)
		if err != nil || len(part) == 0 {
			return file, err
		}
		if file = append(file, part...); len(file) > mostBytes {
			return nil, nil
		}
	}
}

// take returns what was put onto the window, and of which type, and takes it away.
func (a *asked) take(onto xproto.Atom) (of xproto.Atom, all []byte, err error) {
	r, err := xproto.GetProperty(a.conn, true, a.window, onto, xproto.GetPropertyTypeAny, 0, mostBytes/4).Reply()
	if err != nil {
		return 0, nil, err
	}
	return r.Type, r.Value, nil
}
