package window

import (
	"testing"

	"fyne.io/fyne/v2/test"

	"abut/geometry"
	"abut/internal/job"
	"abut/ui/pick"
)

// TestPictures_Add draws what is to be seen while text and shapes are added, at
// two sizes and in both themes; see TestPictures.
func TestPictures_Add(t *testing.T) {
	looks(t, "add", func(s *stage, keep func(string)) {
		keep("0-start")
		s.askEmpty()
		keep("1-blank")
		s.desk.Clear()
		keep("2-empty")
		s.run("add")
		keep("3-menu")
		s.win.Canvas().Overlays().Top().Hide()
		s.add.Text()
		keep("4-text")
		test.Type(s.lettering(), "Lighthouse")
		s.focusBoard()
		s.settle()
		s.choose("ui-text-over")
		keep("5-arc")
		text, _ := s.only()
		s.add.Primitive(job.Star)
		s.do("ui-step-move", func(j job.Job) (job.Job, error) {
			return job.CentreOn(j, s.session.Selection(), geometry.RectXYWH(-20, -10, 40, 40))
		})
		star, _ := s.only()
		s.add.Recolour(pick.Palette[2])
		keep("6-star")
		s.session.Select([]job.LayerID{text.ID, star.ID})
		s.add.Surround()
		s.knockOut()
		keep("7-surround")
		s.showView(1)
		keep("8-fitted")
		s.showView(0)
		s.ask.Colour()
		keep("9-colour")
		s.desk.Clear()
		s.session.Select([]job.LayerID{text.ID})
		s.askFamily("Go", func(string) {}, func() {}, func() {})
		keep("a-fonts")
	})
}
