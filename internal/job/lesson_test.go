package job

import "testing"

func TestSetLesson_KeepsACopyWithoutEmptyCaptions(t *testing.T) {
	l := Lesson{Hidden: []string{"apart"}, Order: []string{"where"}, Captions: map[string]string{"picture": "Our boat", "press": " \t"}}
	j, err := SetLesson(Job{}, l)
	if err != nil {
		t.Fatal(err)
	}
	l.Hidden[0], l.Captions["picture"] = "picture", "Theirs"
	got := j.Settings.Lesson
	if got.Hidden[0] != "apart" || got.Captions["picture"] != "Our boat" {
		t.Errorf("the job shares what it was given: %+v", got)
	}
	if _, there := got.Captions["press"]; there {
		t.Error("a caption of spaces is kept")
	}
	if j, _ = SetLesson(j, Lesson{}); j.Settings.Lesson.Captions != nil || j.Settings.Lesson.Hidden != nil {
		t.Errorf("none leaves %+v", j.Settings.Lesson)
	}
}
