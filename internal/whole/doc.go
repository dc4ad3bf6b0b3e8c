// Package whole writes files all or not at all: a run that fails, is stopped or
// is killed leaves what was there before, or what the next run makes that of.
package whole
