package window

import (
	"slices"
	"testing"

	"abut/internal/job"
	"abut/ui/theme"
)

func TestSelection_GrowsToTheGroupsOfTheFile(t *testing.T) {
	s := newStage(t, usual, theme.AlwaysLight)
	s.svg(`<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="60mm" viewBox="0 0 90 60"><rect id="Ground" y="50" width="90" height="10" fill="#20a040"/>
		<g id="bird"><g id="wing"><rect x="20" width="9" height="9" fill="#d03020"/><rect x="22" y="2" width="9" height="9" fill="#2040c0"/></g><circle cx="60" cy="20" r="9" fill="#e0a010"/></g></svg>`)
	s.session.Select([]job.LayerID{2})
	s.tap(say("ui-select-group", "name", "Wing"))
	if got := s.session.Selection(); !slices.Equal(got, []job.LayerID{2, 3}) {
		t.Errorf("selected %v", got)
	}
	if s.commands.Label("select-group") != say("ui-select-group", "name", "Bird") {
		t.Errorf("the menu offers %q", s.commands.Label("select-group"))
	}
	s.run("select-group")
	s.settle()
	if got := s.session.Selection(); !slices.Equal(got, []job.LayerID{2, 3, 4}) {
		t.Errorf("selected %v", got)
	}
	if s.commands.Get("select-group").Enabled() || s.inPanel(say("ui-select-group", "name", "Bird")) != nil {
		t.Error("there is a larger group, it is said")
	}
}
