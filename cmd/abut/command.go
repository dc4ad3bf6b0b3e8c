package main

import (
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"abut/internal/words"
)

// askedHelp turns "help" and "help COMMAND" into --help, unless there is a file of that name.
func askedHelp(args []string) []string {
	n := first(args)
	if n == len(args) || args[n] != "help" || isThere(args[n]) {
		return args
	}
	return append(slices.Delete(slices.Clone(args), n, n+1), "--help")
}

// first is where the first word stands that is not about the language, len(args) for none.
func first(args []string) (n int) {
	for n < len(args) {
		switch {
		case args[n] == "--lang":
			n += 2
		case strings.HasPrefix(args[n], "--lang="):
			n++
		default:
			return n
		}
	}
	return len(args)
}

// unknownCommand says that a command line begins with a word that is neither a command nor
// a file. Without a command the first word is a picture, so the parser would take a
// misspelt command for one, and the window would look for it.
func unknownCommand(args []string, app *kong.Application) (sentence string, is bool) {
	n := first(args)
	if n == len(args) || args[n] == "" || strings.ContainsAny(args[n], `-./\`) || isThere(args[n]) {
		return "", false
	}
	word := args[n]
	near := ""
	for _, c := range app.Children {
		switch {
		case c.Name == word:
			return "", false
		case !c.Hidden && apart(strings.ToLower(word), c.Name) <= 2:
			near = c.Name
		}
	}
	sentence = words.Say("cli-unknown-command", "text", word)
	if near != "" {
		sentence = words.Say("cli-near", "text", sentence, "near", `"`+near+`"`)
	}
	return sentence, true
}

// isThere reports whether there is a file or folder of that name.
func isThere(name string) bool {
	_, err := os.Stat(name)
	return err == nil
}

// apart is how many letters must be put in, left out or changed to make b of a
// (Levenshtein's distance).
func apart(a, b string) int {
	row := make([]int, len(b)+1)
	for k := range row {
		row[k] = k
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for k := range len(b) {
			change := diagonal
			if a[i] != b[k] {
				change++
			}
			diagonal = row[k+1]
			row[k+1] = min(change, row[k]+1, row[k+1]+1)
		}
	}
	return row[len(b)]
}

// misspelt reports a command that there is not.
func (s streams) misspelt(sentence string) int {
	fmt.Fprintln(s.err, words.Say("cli-usage", "command", "abut", "detail", sentence))
	return exitUsage
}
