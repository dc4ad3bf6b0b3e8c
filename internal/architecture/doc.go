// Package architecture has no code: its tests hold the directions in which
// packages may import one another, and who may use which foreign module.
package architecture
