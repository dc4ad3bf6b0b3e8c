package window

import (
	"os"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"abut/internal/oracle"
	"abut/ui/theme"
)

// Opening the heaviest flag of the open art: from the file to its first picture
// on the board (picture-ns), and to what stacks and the pieces, exactly.
func BenchmarkOpen_HeaviestFlag(b *testing.B) {
	heaviest, most := "", int64(0)
	for _, name := range oracle.Art(b, "flag-icons/flags/4x3/*.svg") {
		if f, err := os.Stat(name); err == nil && f.Size() > most {
			heaviest, most = name, f.Size()
		}
	}
	app := test.NewTempApp(b)
	app.Settings().SetTheme(&theme.Theme{Mode: theme.AlwaysLight})
	queue := make(chan func(), 100)
	win := test.NewTempWindow(b, nil)
	w := New(win, Options{Deliver: func(f func()) { queue <- f }, PaintNow: true, Home: b.TempDir(), Prefs: app.Preferences(), Version: "0"}, nil)
	win.Resize(fyne.NewSize(1440, 900))
	win.Canvas().Capture()
	var first time.Duration
	b.Logf("%s, %d bytes", heaviest, most)
	b.ResetTimer()
	for range b.N {
		start := time.Now()
		painted := false
		w.Open(heaviest)
		for w.session.Busy() || len(queue) > 0 {
			f := <-queue
			f()
			if !painted && w.session.Opened() {
				win.Canvas().Capture()
				first += time.Since(start)
				painted = true
			}
		}
		b.StopTimer()
		w.session.Close()
		b.StartTimer()
	}
	b.ReportMetric(float64(first.Nanoseconds())/float64(b.N), "picture-ns")
}
