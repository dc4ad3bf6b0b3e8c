package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/alecthomas/kong"

	"abut/internal/words"
)

// The parser speaks English. Help texts in the struct tags are the ids of
// sentences, and what the parser itself says is put into the language here, by
// what it looks like: it has no types for it. What it may say that is not known
// here is said as it is.

// wrong is the error of a flag's value.
func wrong(id string, pairs ...any) error { return errors.New(words.Say(id, pairs...)) }

// languageOf is the language that a command line asks for, empty where it asks
// for none: it has to be known before anything else is read.
func languageOf(args []string) string {
	for i, a := range args {
		if v, ok := strings.CutPrefix(a, "--lang="); ok {
			return v
		}
		if a == "--lang" && i+1 < len(args) {
			return args[i+1]
		}
		if a == "--" {
			break
		}
	}
	return ""
}

// translate puts the sentences into the places of their ids.
func translate(app *kong.Application) error {
	app.HelpFlag.Help = "cli-help-help"
	return kong.Visit(app, func(v kong.Visitable, next kong.Next) error {
		var help *string
		switch x := v.(type) {
		case *kong.Command:
			help = &x.Help
		case *kong.Flag:
			help = &x.Help
		case *kong.Value:
			help = &x.Help
		}
		if help != nil && words.Chosen().Has(*help) { // a flag of several commands comes by more than once
			*help = words.Say(*help, "blanks", blankNames())
		}
		return next(nil)
	})
}

// titles are the lines that the parser sets over the parts of its help.
var titles = map[string]string{
	"Arguments:": "cli-title-arguments", "Flags:": "cli-title-flags", "Commands:": "cli-title-commands",
	`Run "abut <command> --help" for more information on a command.`: "cli-title-more",
}

// printHelp prints the parser's help with its titles in the language of the run.
func printHelp(o kong.HelpOptions, ctx *kong.Context) error {
	out := ctx.Stdout
	var text bytes.Buffer
	ctx.Stdout = &text
	err := kong.DefaultHelpPrinter(o, ctx)
	ctx.Stdout = out
	if err != nil {
		return err
	}
	for line := range strings.Lines(text.String()) {
		line = strings.TrimSuffix(line, "\n")
		if id, ok := titles[line]; ok {
			line = words.Say(id, "command", "abut")
		} else if command, ok := strings.CutPrefix(line, "Usage: "); ok {
			line = words.Say("cli-title-usage", "command", command)
		}
		if _, err := io.WriteString(out, line+"\n"); err != nil {
			return err
		}
	}
	return nil
}

// parserSays are the parser's mistakes that a command line can make, with the
// sentence for each and the names of what is found in them.
var parserSays = []struct {
	pattern *regexp.Regexp
	id      string
	names   []string
}{
	{regexp.MustCompile(`^unknown flag (-\S+?)(?:, did you mean .*)?$`), "cli-unknown-flag", []string{"flag"}},
	{regexp.MustCompile(`^unexpected argument (.*?)(?:, did you mean .*)?$`), "cli-unknown-argument", []string{"text"}},
	{regexp.MustCompile(`^missing flags: (.*)$`), "cli-missing-flag", []string{"flag"}},
	{regexp.MustCompile(`^expected "(.*)"$`), "cli-missing-argument", []string{"argument"}},
	{regexp.MustCompile(`^(--\S+) and (--\S+) can't be used together$`), "cli-either", []string{"one", "other"}},
	{regexp.MustCompile(`^(--\S+?)(?:=\S*)? must be one of (.*) but got "(.*)"$`), "cli-one-of", []string{"flag", "choices", "text"}},
	{regexp.MustCompile(`^(--\S+?)(?:=\S*)?: expected .* value but got (?:"EOL"|".*" \(.* flag\)).*$`), "cli-no-value", []string{"flag"}},
	{regexp.MustCompile(`^(--\S+?)(?:=\S*)?: missing value, .*$`), "cli-no-value", []string{"flag"}},
	{regexp.MustCompile(`^(--\S+?)(?:=\S*)?: bool value must be .*$`), "cli-no-bool", []string{"flag"}},
}

var didYouMean = regexp.MustCompile(`, did you mean (?:one of )?(.*)\?$`)

// mistake is what is wrong with a command line, as a sentence.
func mistake(err error) string {
	text := err.Error()
	for _, p := range parserSays {
		found := p.pattern.FindStringSubmatch(text)
		if found == nil {
			continue
		}
		var pairs []any
		for i, name := range p.names {
			pairs = append(pairs, name, found[i+1])
		}
		said := words.Say(p.id, pairs...)
		if near := didYouMean.FindStringSubmatch(text); near != nil {
			said = words.Say("cli-near", "text", said, "near", near[1])
		}
		return said
	}
	return text
}

// usage reports a command line that was not understood.
func (s streams) usage(err error) int {
	command := "abut"
	var parse *kong.ParseError
	if errors.As(err, &parse) && parse.Context != nil {
		if n := parse.Context.Selected(); n != nil && n.Name != "window" {
			command += " " + n.Name
		}
	}
	fmt.Fprintln(s.err, words.Say("cli-usage", "command", command, "detail", mistake(err)))
	return exitUsage
}
