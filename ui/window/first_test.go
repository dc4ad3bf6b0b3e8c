package window

import (
	"strings"
	"testing"

	"abut/ui/inspect"
	"abut/ui/theme"
)

// What is asked of a picture that a window is opened with waits until the picture is on screen.
func TestOpened_AsksOnceTheFirstPictureIsThere(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	told := 0
	s.ready = func() {
		told++
		if s.desk.Open() {
			t.Error("a dialog was made before the first picture was there")
		}
	}
	s.details.Hold() // as with a file that the window is opened with
	s.session.OpenSVG("unsized", unsized())
	for told == 0 {
		s.settle()
		if n := len(inDetails[*inspect.Field](s)); n > 2 && told == 0 {
			t.Errorf("Details have %d fields before the picture is there", n)
		}
		s.sayReady() // as the frame with the picture does
	}
	s.settle()
	if !s.desk.Open() || told != 1 {
		t.Fatalf("the size is not asked for; told %d times", told)
	}
	if n := len(inDetails[*inspect.Field](s)); n < 6 {
		t.Errorf("Details have %d fields once the picture is there", n)
	}
	s.desk.Clear()
	s.session.OpenSVG("unsized", unsized())
	s.settle()
	if !s.desk.Open() || told != 1 {
		t.Errorf("the size of the next picture is not asked for; told %d times", told)
	}
}

func unsized() *strings.Reader {
	return strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="9" height="9" fill="#d03020"/></svg>`)
}
