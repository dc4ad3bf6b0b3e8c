package thing

import (
	"math"

	"abut/geometry"
)

// dotShare is how large the dot of a letter may become for the height of the highest letter: the dots of bold types are
// about a fifth of it (common practice), and a little more is still a dot. At 0.27 it was a block, by eye.
const dotShare = 0.23

// Dots returns which of the letters of a group are dots, or as small, such as accents, commas and full stops, that are to be
// larger than they are: as large as asked in their larger direction, in mm. Where the letters are too low for that, there are
// none. members are the group's indexes into outlines.
func Dots(outlines []geometry.Path, members []int, sizeMM float64) (dots []int) {
	high := 0.0
	for _, i := range members {
		size := outlines[i].Bounds().Longer()
		high = math.Max(high, size)
		if size > 0 && size < sizeMM {
			dots = append(dots, i)
		}
	}
	if sizeMM > dotShare*high {
		return nil
	}
	return dots
}

// Dotted returns a dot that is at least as large as asked, in mm, in its own shape and about its middle.
func Dotted(dot geometry.Path, sizeMM float64) geometry.Path {
	size := dot.Bounds().Longer()
	if size == 0 || size >= sizeMM {
		return dot
	}
	return dot.Transform(larger(dot.Bounds().Centre(), sizeMM/size))
}
