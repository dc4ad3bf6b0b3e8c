package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"abut/internal/words"
)

// What packages bring along for the command line is made from the parser's own
// model, so that it cannot fall behind: the page of the manual, and what shells
// complete.

type manualCommand struct{}

// Run writes the page of the manual, for man.
func (*manualCommand) Run(k *kong.Context, s streams) error {
	m := manual{out: s.out}
	m.line(".TH ABUT 1 \"\" %s", roffWord(version()))
	m.line(".SH NAME") // what indexes of manuals look for, in any language
	m.text("abut - " + k.Kong.Model.Help)
	m.line(".SH %s", roffWord(words.Say("cli-manual-synopsis")))
	for _, c := range shown(k.Kong.Model.Node) {
		m.line(".B abut")
		m.text(strings.TrimPrefix(c.Summary(), "abut "))
		m.line(".br")
	}
	for _, c := range shown(k.Kong.Model.Node) {
		m.line(".SH ABUT %s", strings.ToUpper(c.Name))
		m.text(c.Help)
		if c.Detail != "" {
			m.line(".PP")
			m.text(c.Detail)
		}
		for _, a := range c.Positional {
			m.entry(a.Summary(), a.Help)
		}
		for _, f := range c.Flags {
			if !f.Hidden {
				m.entry(f.String(), f.Help)
			}
		}
	}
	return m.err
}

// shown are the commands that help lists.
func shown(n *kong.Node) []*kong.Node {
	return slices.DeleteFunc(slices.Clone(n.Children), func(c *kong.Node) bool { return c.Hidden })
}

// manual writes a page in the language of man(7).
type manual struct {
	out io.Writer
	err error
}

func (m *manual) line(format string, args ...any) {
	if m.err == nil {
		_, m.err = fmt.Fprintf(m.out, format+"\n", args...)
	}
}

// text writes running text: its lines stay lines, those that are set in are examples.
func (m *manual) text(s string) {
	for line := range strings.Lines(s) {
		switch line = strings.TrimRight(line, "\n"); {
		case line == "":
			m.line(".PP")
		case strings.HasPrefix(line, "  "):
			m.line(".br\n\\ \\ %s", roff(strings.TrimSpace(line)))
		default:
			m.line("%s", roff(line))
		}
	}
}

func (m *manual) entry(name, about string) {
	m.line(".TP\n.B %s", roff(name))
	m.text(about)
}

// roff has man take a line as it is.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}

// roffWord is one argument.
func roffWord(s string) string { return `"` + strings.ReplaceAll(roff(s), `"`, `\(dq`) + `"` }

type completionCommand struct {
	Shell string `arg:"" enum:"bash,zsh,fish" help:"cli-help-completion"`
}

// Run writes what a shell completes: commands, then flags and their values, else files.
func (c *completionCommand) Run(k *kong.Context, s streams) error {
	var b strings.Builder
	commands := shown(k.Kong.Model.Node)
	var names []string
	for _, n := range commands {
		names = append(names, n.Name)
	}
	if c.Shell == "fish" {
		for _, n := range commands {
			fmt.Fprintf(&b, "complete -c abut -n __fish_use_subcommand -a %s -d %s\n", n.Name, quoted(firstLine(n.Help)))
			for _, f := range flagsOf(n) {
				fmt.Fprintf(&b, "complete -c abut -n '__fish_seen_subcommand_from %s' -l %s", n.Name, f.Name)
				if f.Short != 0 {
					fmt.Fprintf(&b, " -s %c", f.Short)
				}
				if !f.IsBool() {
					fmt.Fprint(&b, " -r")
				}
				if f.Enum != "" {
					fmt.Fprintf(&b, " -a %s", quoted(strings.Join(f.EnumSlice(), " ")))
				}
				fmt.Fprintf(&b, " -d %s\n", quoted(firstLine(f.Help)))
			}
		}
		_, err := io.WriteString(s.out, b.String())
		return err
	}
	if c.Shell == "zsh" { // zsh reads what is made for bash
		b.WriteString("#compdef abut\nautoload -U +X bashcompinit && bashcompinit\n")
	}
	b.WriteString("_abut() {\n\tlocal word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n")
	fmt.Fprintf(&b, "\tif [ \"$COMP_CWORD\" = 1 ]; then\n\t\tCOMPREPLY=($(compgen -W %s -- \"$word\") $(compgen -f -- \"$word\"))\n\t\treturn\n\tfi\n", quoted(strings.Join(names, " ")))
	b.WriteString("\tcase ${COMP_WORDS[1]}:$before in\n")
	for _, n := range commands {
		for _, f := range flagsOf(n) {
			if f.Enum != "" && !f.IsBool() {
				fmt.Fprintf(&b, "\t%s:--%s) COMPREPLY=($(compgen -W %s -- \"$word\")); return ;;\n", n.Name, f.Name, quoted(strings.Join(f.EnumSlice(), " ")))
			}
		}
	}
	b.WriteString("\tesac\n\tcase ${COMP_WORDS[1]}:$word in\n")
	for _, n := range commands {
		var all []string
		for _, f := range flagsOf(n) {
			all = append(all, "--"+f.Name)
		}
		fmt.Fprintf(&b, "\t%s:-*) COMPREPLY=($(compgen -W %s -- \"$word\")); return ;;\n", n.Name, quoted(strings.Join(all, " ")))
	}
	b.WriteString("\tesac\n\tCOMPREPLY=($(compgen -f -- \"$word\"))\n}\ncomplete -o filenames -F _abut abut\n")
	_, err := io.WriteString(s.out, b.String())
	return err
}

// flagsOf are the flags of a command and those of all commands.
func flagsOf(n *kong.Node) (out []*kong.Flag) {
	for _, group := range n.AllFlags(true) {
		out = append(out, group...)
	}
	return out
}

func firstLine(s string) string {
	s, _, _ = strings.Cut(s, "\n")
	return s
}

// quoted is one word for a shell.
func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }
