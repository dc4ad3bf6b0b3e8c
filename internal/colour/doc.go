// Package colour is colours as sheets and art have them: opaque sRGB, what those of other spaces are in it, how far
// two of them look apart (CIEDE2000), which few of many come nearest to all, and
// the plain word for one.
//
// It works CIEDE2000 out by itself: a library that goes by way of RGB decides
// hues that are exactly opposite by rounding, and misses one of the 34 published
// pairs by 0.04.
package colour
