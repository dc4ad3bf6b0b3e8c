package words

import (
	"testing"
	"time"
)

func TestTime_IsSaidAsPeopleDo(t *testing.T) {
	zone := time.FixedZone("", 2*3600)
	now := time.Date(2026, time.March, 1, 9, 30, 0, 0, zone)
	for _, c := range []struct {
		at     time.Time
		en, de string
	}{
		{time.Date(2026, time.March, 1, 0, 5, 0, 0, zone), "today at 00:05", "heute um 00:05"},
		{time.Date(2026, time.February, 28, 23, 59, 0, 0, zone), "yesterday at 23:59", "gestern um 23:59"},
		// 22:30 in Greenwich is past midnight here.
		{time.Date(2026, time.February, 28, 22, 30, 0, 0, time.UTC), "today at 00:30", "heute um 00:30"},
		{time.Date(2026, time.February, 27, 14, 5, 0, 0, zone), "27 February 2026, 14:05", "27. Februar 2026, 14:05"},
		{time.Date(2025, time.December, 3, 14, 5, 0, 0, zone), "3 December 2025, 14:05", "3. Dezember 2025, 14:05"},
	} {
		if got := English().Time(c.at, now); got != c.en {
			t.Errorf("%v: %q, want %q", c.at, got, c.en)
		}
		if got := For("de").Time(c.at, now); got != c.de {
			t.Errorf("%v: %q, want %q", c.at, got, c.de)
		}
	}
}
