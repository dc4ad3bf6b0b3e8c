package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"

	"abut/internal/abutfile"
	"abut/internal/message"
	"abut/internal/system"
	"abut/internal/whole"
	"abut/internal/words"
	"abut/internal/workshop"
)

// standardInput stands for a picture that is read from standard input.
const standardInput = "-"

// stdin is what such a picture is called.
const stdin = "stdin"

// pictures are the files that a command is to work on.
type pictures []string

// source is where one of them is read from.
func (s streams) source(file string) workshop.Source {
	if file == standardInput {
		return workshop.Source{Path: stdin, Art: s.in}
	}
	return workshop.Source{Path: file}
}

// saved is source for a file that may be a job that Abut saved.
func (s streams) saved(file string) (workshop.Source, error) {
	source := s.source(file)
	if filepath.Ext(file) != abutfile.Extension {
		return source, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return source, &workshop.Error{Message: message.Of("file-unreadable", "path", file, "detail", whole.Cause(err)), Err: err}
	}
	defer f.Close()
	d, err := abutfile.Read(f)
	source.Saved = &d.Job
	return source, err
}

// headroom counts as live memory, so that the collector lets the heap grow by twice as much before it looks. Nobody
// writes to it: it takes none. The heap of a small picture was gone over a dozen times, which was a sixth of what cutting it
// took; that of a large one grows beyond by itself.
const headroom = 16 << 20

// each does something with the picture i of all. What fails is reported and keeps
// no other from being done; only a signal does. It returns the files that failed,
// and the status of all: 1 where one failed, else 3 where colours of one stack.
func (s streams) each(files pictures, do func(i int, file string) error) (failed []string, status int) {
	defer runtime.KeepAlive(make([]byte, headroom))
	for i, file := range files {
		err, now := do(i, file), exitOK
		if said := statusError(0); errors.As(err, &said) { // it has told all
			now = int(said)
		} else if err != nil {
			name := "" // where there is no other
			if len(files) > 1 {
				name = file
			}
			now = s.failOf(name, err)
			failed = append(failed, file)
		}
		if now == exitStopped {
			return append(failed, files[i+1:]...), now
		}
		if status != exitFailed && now != exitOK {
			status = now
		}
	}
	return failed, status
}

// ended is the status as a command's error.
func ended(status int) error {
	if status == exitOK {
		return nil
	}
	return statusError(status)
}

// folders are where the files of each picture go: dir itself for one, else a
// folder in it that is called like the picture and differs from the others on
// every system.
func (p pictures) folders(dir string) []string {
	if len(p) == 1 {
		return []string{dir}
	}
	var out []string
	taken := map[string]bool{}
	for _, file := range p {
		name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
		if file == standardInput {
			name = stdin
		}
		name = system.FileName(name, "picture") // instead: as of a file that is called .svg
		try := name
		for n := 2; taken[system.SameFile(try)]; n++ {
			try = name + "-" + strconv.Itoa(n)
		}
		taken[system.SameFile(try)] = true
		out = append(out, filepath.Join(dir, try))
	}
	return out
}

// heading names a picture where there are several.
func (s streams) heading(all pictures, i int) {
	if len(all) > 1 {
		if i > 0 {
			fmt.Fprintln(s.out)
		}
		fmt.Fprintln(s.out, all[i]+":")
	}
}

// summary says at the end what became of several pictures.
func (s streams) summary(id string, all pictures, failed []string, dir string) {
	if len(all) == 1 {
		return
	}
	fmt.Fprintln(s.out)
	s.say(id, "done", words.Count(len(all)-len(failed)), "count", words.Count(len(all)), "dir", dir)
	if len(failed) > 0 {
		s.say("cli-failed", "files", words.List(failed))
	}
}
