package system

import (
	"os"
	"syscall"
)

// AttachConsole has what the program says go to the console that it was started from,
// unless it was sent elsewhere. A program that opens a window has none on Windows, or a
// black one would stand behind it.
func AttachConsole() {
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
