// Command abut prepares art for dye transfer sheets: colours that touch and
// never stack. Without a command it opens its window; check, cut, mark-cut, trace, class and demo
// do the same work without one.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"reflect"
	"runtime"
	"strconv"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"

	project "abut"
	"abut/internal/system"
	"abut/internal/words"
	"abut/internal/workshop"
)

// Exit statuses, as the help lists them.
const (
	exitOK      = 0
	exitFailed  = 1
	exitUsage   = 2
	exitStacked = 3
	exitStopped = 130 // as shells have it: 128 and the number of the signal that Ctrl+C sends
)

func main() {
	system.AttachConsole()
	tightenMemory()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	// The first signal asks to stop; a second one ends the process at once.
	context.AfterFunc(ctx, func() { signal.Reset(os.Interrupt, syscall.SIGTERM) })
	status := run(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr})
	stop()
	os.Exit(status)
}

// commands is the command line.
type commands struct {
	Window windowCommand `cmd:"" default:"withargs" help:"cli-help-window"`
	Check  checkCommand  `cmd:"" help:"cli-help-check"`
	Cut    cutCommand    `cmd:"" help:"cli-help-cut"`
	Mark   markCommand   `cmd:"" name:"mark-cut" help:"cli-help-mark"`
	Trace  traceCommand  `cmd:"" help:"cli-help-trace"`
	Class  classCommand  `cmd:"" help:"cli-help-class"`
	Demo   demoCommand   `cmd:"" help:"cli-help-demo"`

	Manual     manualCommand     `cmd:"" hidden:"" help:"cli-help-manual"`
	Completion completionCommand `cmd:"" hidden:"" help:"cli-help-completions"`

	Lang    lang             `placeholder:"en|de" help:"cli-help-lang"`
	Version kong.VersionFlag `help:"cli-help-version"`
}

// version says which program this is.
func version() string {
	return "abut " + project.Version() + " " + runtime.Version() + " " + runtime.GOOS + "/" + runtime.GOARCH
}

// lang chooses the language of what is said and written.
type lang string

// UnmarshalText reads a language's tag.
func (l *lang) UnmarshalText(text []byte) error {
	var have []string
	for _, k := range words.Languages() {
		if strings.EqualFold(k.Tag, string(text)) {
			*l = lang(k.Tag)
			return nil
		}
		have = append(have, k.Tag)
	}
	return wrong("cli-wrong-language", "text", string(text), "have", words.List(have))
}

// streams are what a command reads and where it writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// exited carries the status of kong's own exits (help) out of the parser.
type exited int

// run runs one command line and returns the exit status.
func run(ctx context.Context, args []string, s streams) (status int) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case exited:
			status = int(r)
		default:
			status = s.fail(fmt.Errorf("%v", r))
		}
	}()
	words.UseFor(system.Here().Language())
	if file, is := windowed(args); is {
		return s.ended((&windowCommand{File: file}).open(s, ""))
	}
	if l := lang(""); l.UnmarshalText([]byte(languageOf(args))) == nil {
		words.Use(words.For(string(l)))
	}
	var c commands
	parser, err := kong.New(&c,
		kong.Name("abut"), kong.Description(words.Say("cli-help")), kong.Writers(s.out, s.err), kong.Vars{"version": version()},
		kong.Exit(func(code int) { panic(exited(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
		kong.Help(printHelp),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(s, &c),
		kong.KindMapper(reflect.String, kong.MapperFunc(asTyped)),
	)
	if err == nil {
		err = translate(parser.Model)
	}
	if err != nil {
		panic(err) // the struct above is wrong
	}
	args = askedHelp(args)
	if sentence, is := unknownCommand(args, parser.Model); is {
		return s.misspelt(sentence)
	}
	k, err := parser.Parse(args)
	if err != nil {
		return s.usage(err)
	}
	return s.ended(k.Run())
}

// asTyped takes a value as it was typed, byte by byte. The parser's own way goes through
// JSON, so that a file whose name is in an old encoding was not found.
func asTyped(k *kong.DecodeContext, to reflect.Value) error {
	t, err := k.Scan.PopValue("string")
	if err == nil {
		to.SetString(t.String())
	}
	return err
}

// windowed reports whether a command line asks for the window alone: it says nothing, or
// names one file that is there and cannot be a command's name. Then nothing has to be
// parsed, which takes a twentieth of the time until the window is there.
func windowed(args []string) (file string, is bool) {
	switch {
	case len(args) == 0:
		return "", true
	case len(args) == 1 && !strings.HasPrefix(args[0], "-") && filepath.Ext(args[0]) != "" && isThere(args[0]):
		return args[0], true
	}
	return "", false
}

// ended says what went wrong, if anything did, and returns the exit status.
func (s streams) ended(err error) int {
	var status statusError
	switch {
	case errors.As(err, &status):
		return int(status)
	case err != nil:
		return s.fail(err)
	}
	return exitOK
}

// statusError ends a command with a status after it has said everything.
type statusError int

func (e statusError) Error() string { return fmt.Sprintf("status %d", int(e)) }

// fail reports why something could not be done, and what to do about it.
func (s streams) fail(err error) int { return s.failOf("", err) }

// failOf is fail for one file of several.
func (s streams) failOf(file string, err error) int {
	w, m := words.Chosen(), workshop.MessageOf(err)
	fmt.Fprintln(s.err, words.Say("cli-error", "file", file, "text", w.Message(m), "line", m.Args["line"], "detail", m.Args["detail"]))
	remedy := w.Remedy(m)
	if m.ID += "-cli"; w.Has(m.ID) { // the same remedy as flags
		remedy = w.Message(m)
	}
	if remedy != "" {
		fmt.Fprintln(s.err, remedy)
	}
	switch {
	case workshop.Is(err, workshop.ErrStacked):
		return exitStacked
	case workshop.Is(err, workshop.ErrStopped):
		return exitStopped
	}
	return exitFailed
}

// maxNotes is how many warnings are printed; job.json has them all.
const maxNotes = 12

// notes prints warnings.
func (s streams) notes(list []workshop.ManifestWarning) {
	for i, x := range list {
		if i == maxNotes {
			fmt.Fprintln(s.err, words.Say("cli-more-notes", "count", words.Count(len(list)-i)))
			return
		}
		remedy := x.Remedy
		if r := x.ID + "-cli"; words.Chosen().Has(r) { // the same remedy as flags
			remedy = words.Say(r)
		}
		line := "" // none
		if x.Line > 0 {
			line = strconv.Itoa(x.Line)
		}
		fmt.Fprintln(s.err, words.Say("cli-note", "text", x.Text, "remedy", remedy, "element", x.Element, "line", line))
	}
}

// say prints a sentence.
func (s streams) say(id string, pairs ...any) {
	fmt.Fprintln(s.out, words.Say(id, pairs...))
}
