// Package controls holds the small widgets that the window is made of: labelled
// actions, icon toggles with a hint, a switch between views, swatches, texts.
// They have callbacks and no business logic, follow the theme at every refresh
// and work by pointer and by keyboard.
package controls
