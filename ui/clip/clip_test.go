//go:build !windows && !darwin

package clip

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/jezek/xgb"
	"github.com/jezek/xgb/xproto"
)

// owner is a program that a picture was copied in: it has it as one kind, hands it
// over whole or in parts, or does not answer.
type owner struct {
	t      *testing.T
	conn   *xgb.Conn
	window xproto.Window
	kind   string
	file   []byte
	parts  int
	mute   bool
}

func (o *owner) atom(name string) xproto.Atom {
	r, err := xproto.InternAtom(o.conn, false, uint16(len(name)), name).Reply()
	if err != nil {
		o.t.Error(err)
		return 0
	}
	return r.Atom
}

// own takes the clipboard and serves it until the connection ends.
func (o *owner) own(t *testing.T) {
	t.Helper()
	conn, err := xgb.NewConn()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(conn.Close)
	o.t, o.conn = t, conn
	screen := xproto.Setup(conn).DefaultScreen(conn)
	if o.window, err = xproto.NewWindowId(conn); err != nil {
		t.Fatal(err)
	}
	xproto.CreateWindow(conn, 0, o.window, screen.Root, 0, 0, 1, 1, 0, xproto.WindowClassInputOnly, screen.RootVisual, 0, nil)
	if err := xproto.SetSelectionOwnerChecked(conn, o.window, o.atom("CLIPBOARD"), xproto.TimeCurrentTime).Check(); err != nil {
		t.Fatal(err)
	}
	go o.serve(o.atom(o.kind), o.atom("INCR"))
}

func (o *owner) serve(kind, incr xproto.Atom) {
	var left [][]byte
	var to xproto.SelectionRequestEvent
	put := func(of xproto.Atom, data []byte) {
		xproto.ChangeProperty(o.conn, xproto.PropModeReplace, to.Requestor, to.Property, of, 8, uint32(len(data)), data)
	}
	for {
		e, err := o.conn.WaitForEvent()
		if e == nil && err == nil {
			return
		}
		switch e := e.(type) {
		case xproto.SelectionRequestEvent:
			if o.mute {
				continue
			}
			answer := xproto.SelectionNotifyEvent{Requestor: e.Requestor, Selection: e.Selection, Target: e.Target, Property: e.Property}
			to = e
			switch {
			case e.Target != kind:
				answer.Property = xproto.AtomNone
			case o.parts == 0:
				put(kind, o.file)
			default:
				xproto.ChangeWindowAttributes(o.conn, e.Requestor, xproto.CwEventMask, []uint32{xproto.EventMaskPropertyChange})
				size := (len(o.file) + o.parts - 1) / o.parts
				for at := 0; at < len(o.file); at += size {
					left = append(left, o.file[at:min(at+size, len(o.file))])
				}
				left = append(left, nil)
				xproto.ChangeProperty(o.conn, xproto.PropModeReplace, e.Requestor, e.Property, incr, 32, 1, []byte{1, 0, 0, 0})
			}
			xproto.SendEvent(o.conn, false, e.Requestor, 0, string(answer.Bytes()))
		case xproto.PropertyNotifyEvent:
			if e.State == xproto.PropertyDelete && len(left) > 0 {
				put(kind, left[0])
				left = left[1:]
			}
		}
	}
}

// screen has a desktop of the test's own.
func screen(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("Xvfb"); err != nil {
		t.Skip("needs Xvfb")
	}
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	x := exec.Command("Xvfb", "-displayfd", "3", "-screen", "0", "64x64x24", "-nolisten", "tcp", "-noreset")
	x.ExtraFiles = []*os.File{w}
	if err := x.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = x.Process.Kill(); _ = x.Wait() })
	number, err := bufio.NewReader(r).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("DISPLAY", ":"+strings.TrimSpace(number))
}

func TestPicture_IsAsItWasCopied(t *testing.T) {
	screen(t)
	file := bytes.Repeat([]byte("0123456789"), 20_000)
	if got, err := Picture(context.Background()); len(got) > 0 || err != nil {
		t.Errorf("nothing was copied: %d bytes, %v", len(got), err)
	}
	for _, o := range []owner{
		{kind: "image/png", file: file},
		{kind: "image/png", file: file, parts: 7},
		{kind: "image/jpeg", file: file[:9]},
	} {
		t.Run(fmt.Sprintf("%s in %d parts", o.kind, o.parts), func(t *testing.T) {
			o.own(t)
			if got, err := Picture(context.Background()); err != nil || !bytes.Equal(got, o.file) {
				t.Errorf("%d bytes of %d, %v", len(got), len(o.file), err)
			}
		})
	}
	t.Run("text", func(t *testing.T) {
		o := owner{kind: "UTF8_STRING", file: file}
		o.own(t)
		if got, err := Picture(context.Background()); len(got) > 0 || err != nil {
			t.Errorf("%d bytes, %v", len(got), err)
		}
	})
}

// A program that hangs does not hang this one.
func TestPicture_GivesUpWhenAsked(t *testing.T) {
	screen(t)
	o := owner{kind: "image/png", mute: true}
	o.own(t)
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error)
	go func() {
		_, err := Picture(ctx)
		done <- err
	}()
	stop()
	if err := <-done; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestPicture_NoDesktopIsNoPicture(t *testing.T) {
	t.Setenv("DISPLAY", "")
	if got, err := Picture(context.Background()); got != nil || err != nil {
		t.Errorf("%d bytes, %v", len(got), err)
	}
}
