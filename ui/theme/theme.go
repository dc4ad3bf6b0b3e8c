// Package theme is the program's look: its two palettes, its four sizes of
// type, and its icons.
package theme

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	_ "abut/ui/locale" // before the toolkit looks
)

// Mode says which palette is used.
type Mode string

const (
	// System follows the desktop's setting.
	System Mode = ""
	// AlwaysLight is light whatever the desktop says.
	AlwaysLight Mode = "light"
	// AlwaysDark is dark whatever the desktop says.
	AlwaysDark Mode = "dark"
)

// Theme is a fyne.Theme of our palettes.
type Theme struct{ Mode Mode }

// The type's sizes, as SetTextScale left them.
var (
	Caption float32 = caption
	Body    float32 = body
	Heading float32 = heading
	// Title is for what stands over a dialog or a page.
	Title float32 = title
)

const (
	caption, body, heading, title = 12, 14, 16, 20
	// Grid is the unit that distances are multiples of.
	Grid = 8
)

// Scaled is a length that holds type: larger as type is.
func Scaled(v float32) float32 { return v * Body / body }

// SetTextScale makes all type larger, 1 being its usual size. What is on screen
// already keeps its size until it is built anew.
func SetTextScale(s float32) {
	Caption, Body, Heading, Title = caption*s, body*s, heading*s, title*s
}

var _ fyne.Theme = (*Theme)(nil)

// palette returns the colours for a variant of the desktop's setting.
func (t *Theme) palette(v fyne.ThemeVariant) *Palette {
	if t.Mode == AlwaysDark || t.Mode != AlwaysLight && v == theme.VariantDark {
		return &Dark
	}
	return &Light
}

// Current returns the palette in use. Ask at every refresh: it changes with the
// desktop's setting.
func Current() *Palette {
	app := fyne.CurrentApp()
	if app == nil {
		return &Light
	}
	if t, ok := app.Settings().Theme().(*Theme); ok {
		return t.palette(app.Settings().ThemeVariant())
	}
	return &Light
}

// Color implements fyne.Theme.
func (t *Theme) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	if of, ok := colours[n]; ok {
		return of(t.palette(v))
	}
	return theme.DefaultTheme().Color(n, v)
}

// colours is what the toolkit's names for colours are in a palette.
var colours = map[fyne.ThemeColorName]func(p *Palette) color.Color{
	theme.ColorNameHeaderBackground: func(p *Palette) color.Color { return p.Ground },
	// Most of the window is panels. What every frame begins with costs nothing,
	// while each of them drawn over it does.
	theme.ColorNameBackground:          func(p *Palette) color.Color { return p.Surface },
	theme.ColorNameOverlayBackground:   func(p *Palette) color.Color { return p.Dialog },
	theme.ColorNameMenuBackground:      func(p *Palette) color.Color { return p.Surface },
	theme.ColorNameInputBackground:     func(p *Palette) color.Color { return p.Surface },
	theme.ColorNameButton:              func(p *Palette) color.Color { return Mix(p.Text, p.Ground, 0.08) },
	theme.ColorNameDisabledButton:      func(p *Palette) color.Color { return Mix(p.Text, p.Ground, 0.08) },
	theme.ColorNameForeground:          func(p *Palette) color.Color { return foreground{p.Text, p.Quiet} },
	theme.ColorNamePlaceHolder:         func(p *Palette) color.Color { return p.Quiet },
	theme.ColorNameDisabled:            func(p *Palette) color.Color { return Mix(p.Quiet, p.Ground, 0.6) },
	theme.ColorNamePrimary:             func(p *Palette) color.Color { return p.Accent },
	theme.ColorNameHyperlink:           func(p *Palette) color.Color { return p.Accent },
	theme.ColorNameForegroundOnPrimary: func(p *Palette) color.Color { return p.OnAccent },
	theme.ColorNameFocus:               func(p *Palette) color.Color { return Faded(p.Accent, 0x66) },
	theme.ColorNameSelection:           func(p *Palette) color.Color { return Faded(p.Accent, 0x40) },
	theme.ColorNameHover:               func(p *Palette) color.Color { return Faded(p.Text, 0x14) },
	theme.ColorNamePressed:             func(p *Palette) color.Color { return Faded(p.Text, 0x28) },
	theme.ColorNameInputBorder:         func(p *Palette) color.Color { return p.Edge },
	theme.ColorNameSeparator:           func(p *Palette) color.Color { return p.Line },
	theme.ColorNameScrollBar:           func(p *Palette) color.Color { return Faded(p.Quiet, 0xaa) },
	theme.ColorNameScrollBarBackground: func(*Palette) color.Color { return color.Transparent },
	theme.ColorNameShadow:              func(p *Palette) color.Color { return p.Scrim },
	theme.ColorNameSuccess:             func(p *Palette) color.Color { return p.Ready },
	// Errors are words with a sign; red is kept for what stacks.
	theme.ColorNameWarning:             func(p *Palette) color.Color { return p.Care },
	theme.ColorNameError:               func(p *Palette) color.Color { return p.Care },
	theme.ColorNameForegroundOnSuccess: func(p *Palette) color.Color { return p.Ground },
	theme.ColorNameForegroundOnWarning: func(p *Palette) color.Color { return p.Ground },
	theme.ColorNameForegroundOnError:   func(p *Palette) color.Color { return p.Ground },
}

// foreground is the colour of text, and for the keys in menus the quiet one. The
// toolkit makes these of the foreground by keeping the low bytes of its sixteen-bit
// channels, with 95 % of its opacity: keys came out a fifth as strong as text. So
// the low bytes here are the quiet colour's, where all else looks at the high
// ones, and the opacity is the largest of which 95 % end in a byte of 255.
type foreground struct{ text, keys color.NRGBA }

// nearlyOpaque: 0.95 × 65482 is 62207.9, and 62207 is 0xF2FF.
const nearlyOpaque = 65482

// RGBA implements color.Color.
func (f foreground) RGBA() (r, g, b, a uint32) {
	both := func(high, low uint8) uint32 { return uint32(high)<<8 | uint32(low) }
	return both(f.text.R, f.keys.R), both(f.text.G, f.keys.G), both(f.text.B, f.keys.B), nearlyOpaque
}

// Font implements fyne.Theme: one family.
func (t *Theme) Font(s fyne.TextStyle) fyne.Resource { return theme.DefaultTheme().Font(s) }

// Icon implements fyne.Theme. Widgets of the toolkit keep their own small
// arrows and ticks.
func (t *Theme) Icon(n fyne.ThemeIconName) fyne.Resource { return theme.DefaultTheme().Icon(n) }

// Size implements fyne.Theme.
func (t *Theme) Size(n fyne.ThemeSizeName) float32 {
	switch n {
	case theme.SizeNameCaptionText:
		return Caption
	case theme.SizeNameText:
		return Body
	case theme.SizeNameSubHeadingText:
		return Heading
	case theme.SizeNameHeadingText:
		return Title
	case theme.SizeNamePadding:
		return Grid / 2
	case theme.SizeNameInnerPadding:
		return Grid
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 6
	case theme.SizeNameScrollBar:
		return 10
	case theme.SizeNameScrollBarSmall:
		return 4
	}
	return theme.DefaultTheme().Size(n)
}
