// Package story drives the real program on a screen of its own, with pointer
// and keys, as a newcomer would: it looks at pixels to find what to press, and
// waits for what it expects to see. Its tests need Xvfb, xdotool and
// ImageMagick's import; without them they are skipped, unless ABUT_STORY is
// set. With ABUT_PICTURES set to a folder they keep what was on screen. What documents
// show of it is compared with what is on screen now or, with ABUT_RENEW set, taken anew.
package story
