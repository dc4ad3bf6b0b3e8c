package words

import (
	"strconv"

	"abut/internal/job"
)

// Fine is Length for what is thin: "0.45 mm", or inches with three decimals.
func Fine(v float64, u job.Units) string {
	if u == job.Inches {
		return trimZeros(strconv.FormatFloat(v/25.4, 'f', 3, 64)) + " in"
	}
	return trimZeros(strconv.FormatFloat(v, 'f', 2, 64)) + " mm"
}
