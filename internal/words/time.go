package words

import (
	"strconv"
	"time"
)

// Time returns a moment for people, as one says it at now: "today at 14:05",
// "yesterday at 9:30", "27 November 2026, 14:05". Both are taken in now's place
// on Earth.
func (w *Words) Time(t, now time.Time) string {
	t = t.In(now.Location())
	args := map[string]string{"time": t.Format("15:04"), "year": strconv.Itoa(t.Year()), "day": strconv.Itoa(t.Day())}
	day := func(t time.Time) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, now.Location())
	}
	switch day(t) {
	case day(now):
		return w.Say("time-today", args)
	case day(now.AddDate(0, 0, -1)):
		return w.Say("time-yesterday", args)
	}
	args["month"] = w.Say("month-"+strconv.Itoa(int(t.Month())), nil)
	return w.Say("time-date", args)
}

// Time returns a moment as one says it now, in the chosen language; see
// Words.Time.
func Time(t time.Time) string { return Chosen().Time(t, time.Now()) }
