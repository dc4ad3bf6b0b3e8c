// Package clip reads pictures of pixels off the desktop's clipboard, of which the
// toolkit gives only text.
package clip
