//go:build !windows

package system

// AttachConsole does nothing: every program has its console here.
func AttachConsole() {}
