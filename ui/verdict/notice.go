package verdict

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"abut/ui/controls"
	"abut/ui/theme"
)

// Notice is a strip above the bar that tells what has come up beside the work, such as a
// picture that another program changed, with what can be done about it. It waits, and lies
// over nothing.
type Notice struct {
	Object *fyne.Container

	icon    string
	text    *controls.Line
	answers *fyne.Container
}

// NewNotice returns a strip that is not shown yet.
func NewNotice() *Notice {
	n := &Notice{text: controls.NewLine("", controls.Text), answers: container.NewHBox()}
	n.text.Shrinks, n.text.Wraps, n.text.Smaller = true, true, theme.Caption
	sign := controls.NewIcon(24, func() string { return n.icon }, func() color.NRGBA { return theme.Current().Accent })
	high := container.NewGridWrap(fyne.NewSize(1, theme.Scaled(42)))
	row := controls.NewDock(nil, nil, container.NewCenter(sign), container.NewCenter(n.answers), container.New(&controls.Inset{X: 14}, container.NewStack(high, n.text)))
	n.Object = container.NewStack(controls.NewFill(controls.Ground), controls.NewDock(controls.NewRule(), nil, nil, nil, container.New(&controls.Inset{X: 16, Y: 4}, row)))
	n.Object.Hide()
	return n
}

// Show shows the strip with a text and what can be answered, the usual answer last.
func (n *Notice) Show(icon, text string, answers ...*controls.Press) {
	n.icon = icon
	n.text.SetText(text)
	n.answers.RemoveAll()
	for _, a := range answers {
		n.answers.Add(a)
	}
	n.Object.Show()
	n.Object.Refresh()
}

// Text returns what the strip says, empty while it is not shown.
func (n *Notice) Text() string {
	if n.Object.Hidden {
		return ""
	}
	return n.text.Text()
}
