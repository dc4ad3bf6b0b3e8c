package story

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"image"
	"io"
	"net"
	"net/url"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
)

// hangs is when a display that does not answer is given up.
const hangs = 30 * time.Minute

// source is a window that files can be dragged from: a bare client of the X
// protocol, as little of it as a drop takes. Numbers of requests and events are
// those of the X Window System Protocol, X Version 11; the messages those of
// the drag-and-drop protocol of freedesktop.org (Xdnd, version 5).
type source struct {
	t      *testing.T
	conn   net.Conn
	in     *bufio.Reader
	window uint32
	atoms  map[string]uint32
}

// window returns the number of the program's window.
func (s *screen) window() uint32 {
	s.t.Helper()
	search := exec.Command("xdotool", "search", "--onlyvisible", "--name", ".*")
	search.Env = append(search.Environ(), "DISPLAY="+s.display)
	out, err := search.Output()
	if err != nil {
		s.t.Fatal("no window: ", err)
	}
	ids := strings.Fields(string(out))
	id, err := strconv.ParseUint(ids[len(ids)-1], 10, 32)
	if err != nil {
		s.t.Fatal(err)
	}
	return uint32(id)
}

// drop lets files go over the program's window, at a place on the screen.
func (s *screen) drop(at image.Point, paths ...string) {
	s.t.Helper()
	c := connect(s.t, s.display)
	defer func() { _ = c.conn.Close() }()
	c.drop(s.window(), at, paths)
}

// closeWindow presses the cross of the program's window.
func (s *screen) closeWindow() {
	s.t.Helper()
	c := connect(s.t, s.display)
	defer func() { _ = c.conn.Close() }()
	c.close(s.window())
}

func connect(t *testing.T, display string) *source {
	t.Helper()
	conn, err := net.Dial("unix", "/tmp/.X11-unix/X"+strings.TrimPrefix(display, ":"))
	if err != nil {
		t.Fatal(err)
	}
	c := &source{t: t, conn: conn, in: bufio.NewReader(conn), atoms: map[string]uint32{}}
	if err := conn.SetDeadline(time.Now().Add(hangs)); err != nil {
		t.Fatal(err)
	}
	// 'l': the least significant byte first; version 11.0; no authorisation.
	c.send([]byte{'l', 0, 11, 0, 0, 0, 0, 0, 0, 0, 0, 0})
	head := c.read(8)
	if head[0] != 1 {
		t.Fatal("the display takes no clients")
	}
	body := c.read(4 * int(u16(head[6:])))
	vendor, formats := int(u16(body[16:])), int(body[21])
	root := u32(body[32+(vendor+3)/4*4+8*formats:])
	c.window = u32(body[4:])
	// CreateWindow of 1 × 1 pixel, all else as its parent.
	c.request(1, words32(c.window, root), []byte{0, 0, 0, 0, 1, 0, 1, 0, 0, 0, 0, 0}, words32(0, 0))
	return c
}

// close asks a window to close, as a window manager does for the cross in its
// title: ClientMessage of WM_PROTOCOLS (Inter-Client Communication Conventions
// Manual, 4.2.8).
func (c *source) close(target uint32) {
	c.message(target, "WM_PROTOCOLS", c.atom("WM_DELETE_WINDOW"), 0, 0, 0, 0)
	c.atom("UTF8_STRING") // answered once the message is on its way
}

func (c *source) drop(target uint32, at image.Point, paths []string) {
	var list strings.Builder
	for _, p := range paths {
		list.WriteString((&url.URL{Scheme: "file", Path: p}).String() + "\r\n")
	}
	// All names first: while one is asked for, events are passed over.
	for _, name := range []string{"XdndEnter", "XdndPosition", "XdndDrop", "XdndFinished", "XdndActionCopy"} {
		c.atom(name)
	}
	selection, kind := c.atom("XdndSelection"), c.atom("text/uri-list")
	c.request(22, words32(c.window, selection, 0)) // SetSelectionOwner
	c.message(target, "XdndEnter", c.window, 5<<24, kind, 0, 0)
	c.message(target, "XdndPosition", c.window, 0, uint32(at.X)<<16|uint32(at.Y), 0, c.atom("XdndActionCopy"))
	c.message(target, "XdndDrop", c.window, 0, 0, 0, 0)
	// The program asks for the files, and says when it has them.
	for {
		e := c.read(32)
		switch e[0] &^ 0x80 {
		case 30: // SelectionRequest
			stamp, requestor, property := u32(e[4:]), u32(e[12:]), u32(e[24:])
			data := []byte(list.String())
			pad := make([]byte, (4-len(data)%4)%4)
			c.request(18, words32(requestor, property, kind), []byte{8, 0, 0, 0}, words32(uint32(len(data))), data, pad) // ChangeProperty
			notify := append([]byte{31, 0, 0, 0}, words32(stamp, requestor, u32(e[16:]), u32(e[20:]), property, 0, 0)...)
			c.request(25, words32(requestor, 0), notify) // SendEvent
		case 33: // ClientMessage
			if u32(e[8:]) == c.atom("XdndFinished") {
				return
			}
		}
	}
}

// message sends a client message of five numbers.
func (c *source) message(to uint32, kind string, data ...uint32) {
	e := append([]byte{33, 32, 0, 0}, words32(to, c.atom(kind))...)
	c.request(25, words32(to, 0), append(e, words32(data...)...))
}

// atom returns a name's number.
func (c *source) atom(name string) uint32 {
	if a, ok := c.atoms[name]; ok {
		return a
	}
	n := []byte{byte(len(name)), 0, 0, 0}
	c.request(16, n, []byte(name), make([]byte, (4-len(name)%4)%4))
	for {
		if r := c.read(32); r[0] == 1 {
			c.atoms[name] = u32(r[8:])
			return c.atoms[name]
		}
	}
}

func (c *source) request(code byte, parts ...[]byte) {
	var all []byte
	for _, p := range parts {
		all = append(all, p...)
	}
	n := 1 + len(all)/4
	c.send(append([]byte{code, 0, byte(n), byte(n >> 8)}, all...))
}

func (c *source) send(b []byte) {
	c.t.Helper()
	if _, err := c.conn.Write(b); err != nil {
		c.t.Fatal("talking to the display: ", err)
	}
}

func (c *source) read(n int) []byte {
	c.t.Helper()
	b := make([]byte, n)
	if _, err := io.ReadFull(c.in, b); err != nil {
		c.t.Fatal("the display says nothing: ", err)
	}
	if n == 32 && b[0] == 0 {
		c.t.Fatal("the display refuses: ", fmt.Sprint(b))
	}
	return b
}

func u16(b []byte) uint16 { return binary.LittleEndian.Uint16(b) }
func u32(b []byte) uint32 { return binary.LittleEndian.Uint32(b) }

func words32(v ...uint32) []byte {
	var b []byte
	for _, x := range v {
		b = binary.LittleEndian.AppendUint32(b, x)
	}
	return b
}
