package svgimport

import (
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"testing"

	"abut/geometry"
	"abut/internal/colour"
	"abut/internal/job"
	"abut/internal/message"
)

// halves takes any file for a picture of 20 × 10 pixels, red on the left and blue on the right.
func halves(context.Context, []byte) (*Picture, error) {
	half := func(x float64, c string) job.Layer {
		rgb, _ := colour.Parse(c)
		return job.Layer{Colour: rgb, Content: job.Outlines{Shapes: []job.Shape{{Path: geometry.RectXYWH(x, 0, 10, 10).Path()}}}}
	}
	return &Picture{
		Canvas: geometry.RectXYWH(0, 0, 20, 10), Layers: []job.Layer{half(0, "#ff0000"), half(10, "#0000ff")},
		Warnings: []job.Warning{{Message: message.Of("trace-embedded", "count", "2")}},
	}, nil
}

const anyData = ` href="data:image/png;base64,AAAA"`

// Where the halves of a picture lie, as SVG 2 says it: 7.2 (automatic sizes) and 8.6
// (preserveAspectRatio).
func TestImage_LiesWhereItsFrameSays(t *testing.T) {
	for attrs, want := range map[string]string{
		`x="10" y="20"`:                                              "10 20 20 30, 20 20 30 30",
		`x="10" y="20" width="40"`:                                   "10 20 30 40, 30 20 50 40",
		`x="10" y="20" height="40"`:                                  "10 20 50 60, 50 20 90 60",
		`width="40" height="40"`:                                     "0 10 20 30, 20 10 40 30",
		`width="40" height="40" preserveAspectRatio="none"`:          "0 0 20 40, 20 0 40 40",
		`width="40" height="40" preserveAspectRatio="xMinYMax"`:      "0 20 20 40, 20 20 40 40",
		`width="40" height="40" transform="translate(5 5) scale(2)"`: "5 25 45 65, 45 25 85 65",
		`width="0" height="40"`:                                      "",
		`visibility="hidden"`:                                        "",
		`width="auto" height="20"`:                                   "0 0 20 20, 20 0 40 20",
	} {
		res, err := Import(context.Background(), strings.NewReader(page100(`<rect x="99" y="99" width="1" height="1"/><image `+attrs+anyData+`/>`)), Options{Picture: halves})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range shapes(res)[1:] {
			b := s.Path.Bounds()
			got = append(got, fmt.Sprintf("%g %g %g %g", b.Min.X, b.Min.Y, b.Max.X, b.Max.Y))
		}
		if s := strings.Join(got, ", "); s != want {
			t.Errorf("%s: %s, want %s", attrs, s, want)
		}
		if told := len(res.Warnings) == 1 && res.Warnings[0].ID == "trace-embedded" && res.Warnings[0].Element == "image"; told != (want != "") {
			t.Errorf("%s: %v", attrs, res.Warnings)
		}
	}
}

// One that is sliced is cut off at its frame; clips, masks and opacity are those of any element.
func TestImage_IsCutOffAtItsFrame(t *testing.T) {
	res, err := Import(context.Background(), strings.NewReader(page100(`<image x="30" y="10" width="40" height="40" preserveAspectRatio="xMidYMid slice" opacity=".5"`+anyData+`/>`)), Options{Picture: halves})
	if err != nil {
		t.Fatal(err)
	}
	for i, l := range res.Layers {
		s := l.Content.(job.Outlines).Shapes[0]
		if s.Clips[len(s.Clips)-1].Shapes[0].Path.Bounds() != geometry.RectXYWH(30, 10, 40, 40) || l.Alpha != .5 || l.Group == 0 {
			t.Errorf("layer %d: %+v", i, l)
		}
	}
}

// A picture is taken apart once, however often it is shown, and a picture that cannot be
// read, or one too many, is told.
func TestImage_IsTakenApartOnce(t *testing.T) {
	times := 0
	count := func(ctx context.Context, file []byte) (*Picture, error) {
		if times++; string(file) == "bad" {
			return nil, errors.New("no picture")
		}
		return halves(ctx, file)
	}
	bad := base64.StdEncoding.EncodeToString([]byte("bad"))
	inner := `<image` + anyData + `/><image y="50"` + anyData + `/><use href="#i"/><image id="i" x="50"` + anyData + `/><image id="w" href="data:image/png;base64,` + bad + `"/><image href="data:image/png;base64,` + bad + `"/>`
	res, err := Import(context.Background(), strings.NewReader(page100(inner)), Options{Picture: count})
	if err != nil || times != 2 || len(shapes(res)) != 8 {
		t.Errorf("%d times, %v", times, err)
	}
	left := 0
	for _, w := range res.Warnings {
		if w.ID == WarnImage {
			left++
		}
	}
	if left != 2 {
		t.Errorf("%v", res.Warnings)
	}
	var many strings.Builder
	for i := range maxPictures + 3 {
		fmt.Fprintf(&many, `<image href="data:image/png;base64,AA%02dAAAA"/>`, i)
	}
	times = 0
	if _, err := Import(context.Background(), strings.NewReader(page100(many.String())), Options{Picture: count}); err != nil || times != maxPictures {
		t.Errorf("%d times, %v", times, err)
	}
}

// The forms that programs write data URLs in (RFC 2397 and 4648).
func TestDataOf(t *testing.T) {
	for ref, want := range map[string]string{
		"data:image/png;base64,bGlnaHQ=":                   "light",
		"data:image/png;base64,bGlnaHQ":                    "light",
		"data:image/png;charset=utf-8;BASE64,bGln\n  aHQ=": "light",
		"data:;base64,bGlnaHQ%3D":                          "light",
		"data:image/svg+xml;utf8,a%20b+c":                  "a b+c",
		"data:,a b":                                        "a b",
		"data:image/png;base64,b?":                         "",
		"data:image/png;base64,%zz":                        "",
		"data:image/png;base64":                            "",
	} {
		if got, ok := dataOf(ref); string(got) != want || ok != (want != "") {
			t.Errorf("%q: %q", ref, got)
		}
	}
}
