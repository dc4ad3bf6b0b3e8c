package main

import (
	"os"
	"syscall"
)

// A program that opens a window has no console on Windows, or a black one would
// stand behind it. When it was started from one, what it says goes there, unless it
// was sent elsewhere.
func init() {
	const parent = ^uintptr(0) // ATTACH_PARENT_PROCESS
	if ok, _, _ := syscall.NewLazyDLL("kernel32.dll").NewProc("AttachConsole").Call(parent); ok == 0 {
		return
	}
	for _, f := range []**os.File{&os.Stdout, &os.Stderr} {
		if _, err := (*f).Stat(); err == nil {
			continue // sent into a file or to another program
		}
		if console, err := os.OpenFile("CONOUT$", os.O_RDWR, 0); err == nil {
			*f = console
		}
	}
	if _, err := os.Stdin.Stat(); err != nil {
		if console, err := os.OpenFile("CONIN$", os.O_RDONLY, 0); err == nil {
			os.Stdin = console
		}
	}
}
