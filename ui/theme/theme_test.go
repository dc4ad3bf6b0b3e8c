package theme

import (
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"abut/assets"
)

func TestContrast_KnownValues(t *testing.T) {
	black, white := hex(0), hex(0xffffff)
	if got := Contrast(black, white); got < 20.99 || got > 21.01 {
		t.Errorf("black on white is %.3f, want 21", got)
	}
	// WCAG's own borderline grey.
	if got := Contrast(hex(0x767676), white); got < 4.53 || got > 4.55 {
		t.Errorf("#767676 on white is %.3f, want 4.54", got)
	}
}

func TestPalettes_CanBeRead(t *testing.T) {
	for name, p := range map[string]Palette{"light": Light, "dark": Dark} {
		texts := map[string]color.NRGBA{"text": p.Text, "quiet": p.Quiet, "accent": p.Accent, "ready": p.Ready, "care": p.Care}
		grounds := map[string]color.NRGBA{"ground": p.Ground, "surface": p.Surface, "board": p.Board, "dialog": p.Dialog}
		for tn, text := range texts {
			for gn, ground := range grounds {
				want := 4.5
				if tn == "text" || tn == "quiet" {
					want = 5
				}
				if got := Contrast(text, ground); got < want {
					t.Errorf("%s: %s on %s has contrast %.2f, want %.1f", name, tn, gn, got, want)
				}
			}
		}
		for pn, pair := range map[string][2]color.NRGBA{
			"text on accent":          {p.OnAccent, p.Accent},
			"text on a button":        {p.Text, Mix(p.Text, p.Ground, 0.08)},
			"text on a selected row":  {p.Text, Mix(p.Accent, p.Surface, 0.16)},
			"quiet on a selected row": {p.Quiet, Mix(p.Accent, p.Surface, 0.16)},
		} {
			if got := Contrast(pair[0], pair[1]); got < 4.5 {
				t.Errorf("%s: %s has contrast %.2f, want 4.5", name, pn, got)
			}
		}
		for pn, pair := range map[string][2]color.NRGBA{
			"edge on ground": {p.Edge, p.Ground}, "edge on surface": {p.Edge, p.Surface},
			"accent on ground": {p.Accent, p.Ground}, "mark": {MarkLight, MarkDark},
		} {
			if got := Contrast(pair[0], pair[1]); got < 3 {
				t.Errorf("%s: %s has contrast %.2f, want 3", name, pn, got)
			}
		}
	}
}

// The keys in a menu, as the toolkit itself colours them, are the quiet colour;
// the labels are as ever.
func TestMenus_KeysAreAsLegibleAsLabels(t *testing.T) {
	app := test.NewTempApp(t)
	for mode, p := range map[Mode]Palette{AlwaysLight: Light, AlwaysDark: Dark} {
		app.Settings().SetTheme(&Theme{Mode: mode})
		item := fyne.NewMenuItem("Knock out", func() {})
		item.Shortcut = &desktop.CustomShortcut{KeyName: fyne.KeyK, Modifier: fyne.KeyModifierControl}
		colours := map[string]color.NRGBA{}
		textsOf(widget.NewMenu(fyne.NewMenu("", item)), colours)
		if len(colours) != 3 {
			t.Fatalf("%s: the menu shows %v", mode, colours)
		}
		for text, c := range colours {
			want := p.Quiet
			if text == "Knock out" {
				want = p.Text
			}
			if c != want {
				t.Errorf("%s: %q is %v, want %v", mode, text, c, want)
			}
			if got := Contrast(c, p.Surface); got < 4.5 {
				t.Errorf("%s: %q has contrast %.2f, want 4.5", mode, text, got)
			}
		}
	}
}

// textsOf collects the colours of all texts of a widget.
func textsOf(o fyne.CanvasObject, out map[string]color.NRGBA) {
	switch o := o.(type) {
	case *canvas.Text:
		out[o.Text] = color.NRGBAModel.Convert(o.Color).(color.NRGBA)
	case *fyne.Container:
		for _, x := range o.Objects {
			textsOf(x, out)
		}
	case fyne.Widget:
		for _, x := range test.WidgetRenderer(o).Objects() {
			textsOf(x, out)
		}
	}
}

func TestIcon_DrawsEveryIconInItsColour(t *testing.T) {
	c := color.NRGBA{0x6A, 0x3A, 0x7C, 255}
	for _, name := range assets.IconNames() {
		img := Icon(name, c, 48)
		full := 0
		for i := 0; i < len(img.Pix); i += 4 {
			if img.Pix[i+3] == 255 {
				full++
				if off(img.Pix[i], c.R) || off(img.Pix[i+1], c.G) || off(img.Pix[i+2], c.B) {
					t.Fatalf("%s: a pixel is %v, not %v", name, img.Pix[i:i+3], c)
				}
			}
		}
		if full < 40 {
			t.Errorf("%s: only %d full pixels", name, full)
		}
	}
}

// off allows for the rounding of premultiplied edges that meet.
func off(a, b uint8) bool { return int(a)-int(b) > 2 || int(b)-int(a) > 2 }
