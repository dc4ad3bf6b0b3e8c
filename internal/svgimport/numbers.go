package svgimport

import (
	"math"
	"strconv"
)

// scanner reads SVG's micro-syntaxes: numbers, separators, words.
type scanner struct {
	s string
	i int
}

func isSpace(b byte) bool { return b == ' ' || b == '\t' || b == '\n' || b == '\r' || b == '\f' }

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

func isLetter(b byte) bool { return b|0x20 >= 'a' && b|0x20 <= 'z' }

func (s *scanner) done() bool { return s.i >= len(s.s) }

func (s *scanner) spaces() {
	for s.i < len(s.s) && isSpace(s.s[s.i]) {
		s.i++
	}
}

// separator skips white space with at most one comma in it, and reports
// whether there was a comma.
func (s *scanner) separator() bool {
	s.spaces()
	if s.i < len(s.s) && s.s[s.i] == ',' {
		s.i++
		s.spaces()
		return true
	}
	return false
}

// take skips the byte b if it comes next.
func (s *scanner) take(b byte) bool {
	if s.i < len(s.s) && s.s[s.i] == b {
		s.i++
		return true
	}
	return false
}

// word reads letters: a unit or a keyword.
func (s *scanner) word() string {
	from := s.i
	for s.i < len(s.s) && isLetter(s.s[s.i]) {
		s.i++
	}
	return s.s[from:s.i]
}

// number reads one number: sign, digits, fraction, exponent. An e that no
// digits follow belongs to what comes next (the unit em). A number too large
// for a float is infinite.
func (s *scanner) number() (float64, bool) {
	i := afterSign(s.s, s.i)
	end := afterDigits(s.s, i)
	digits := end - i
	if i = end; i < len(s.s) && s.s[i] == '.' {
		end = afterDigits(s.s, i+1)
		digits += end - i - 1
		i = end
	}
	if digits == 0 {
		return 0, false
	}
	if i < len(s.s) && s.s[i]|0x20 == 'e' {
		from := afterSign(s.s, i+1)
		if end := afterDigits(s.s, from); end > from {
			i = end
		}
	}
	v, err := strconv.ParseFloat(s.s[s.i:i], 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, false
	}
	s.i = i
	return v, true
}

// afterSign returns where a number goes on that may have a sign at i.
func afterSign(s string, i int) int {
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	return i
}

// afterDigits returns where digits that begin at i end.
func afterDigits(s string, i int) int {
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	return i
}

// maxNumbers bounds a list of numbers: more than two for each segment of the
// default budget.
const maxNumbers = 5_000_000

// numberList reads numbers divided by spaces or commas up to the end of s, and
// false when anything else stands there. It stops after maxNumbers.
func numberList(s string) ([]float64, bool) {
	out, ok, _ := polledList(s, nil)
	return out, ok
}

// polledList is numberList for long ones: full is polled with the count of
// numbers so far, and an error from it ends the reading.
func polledList(s string, full func(int) error) (out []float64, ok bool, err error) {
	sc := scanner{s: s}
	sc.spaces()
	for !sc.done() {
		v, ok := sc.number()
		if !ok || len(out) >= maxNumbers {
			return out, false, nil
		}
		out = append(out, v)
		if len(out)&0xfff == 0 && full != nil {
			if err := full(len(out)); err != nil {
				return nil, false, err
			}
		}
		sc.separator()
	}
	return out, true, nil
}
