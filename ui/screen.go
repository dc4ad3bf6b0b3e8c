package ui

import (
	"fyne.io/fyne/v2"
	"github.com/go-gl/glfw/v3.3/glfw"
)

// titleBar is about the height of a window's title on all systems, in the toolkit's
// units: what the screen leaves to windows is to hold it too.
const titleBar = 40

// withinScreen makes a window that is on screen no larger than what the screen leaves
// to windows. The toolkit does not ask, and not every system does: on a small laptop
// the window's lower end, which says where one stands, would lie below the screen.
func withinScreen(win fyne.Window) {
	m := glfw.GetPrimaryMonitor()
	if m == nil {
		return
	}
	_, _, w, h := m.GetWorkarea()
	title := titleBar
	if all := m.GetVideoMode(); all != nil && w == all.Width && h == all.Height {
		title = 0 // a desktop without panels, whose windows have the whole screen
	}
	room := roomFor(w, h, title, win.Canvas().Scale())
	if size := win.Canvas().Size(); room.Width > 0 && (size.Width > room.Width || size.Height > room.Height) {
		win.Resize(size.Min(room))
	}
}

// roomFor returns the largest size of a window's content, in the toolkit's units, where
// the screen leaves w by h of its own to it and a title, and draws a unit scale large; zero
// where the screen does not tell.
func roomFor(w, h, title int, scale float32) fyne.Size {
	if w <= 0 || h <= 0 || scale <= 0 {
		return fyne.Size{}
	}
	return fyne.NewSize(float32(w)/scale, max(float32(h)/scale-float32(title), 1))
}
