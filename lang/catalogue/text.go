package catalogue

// This file compares texts: those of a property, marks, ids and names of sets.

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Key is what a text is known by: without case, with a hyphen, a blank and nothing alike, but between two
// digits, where they count: "Mid-size" and "mid size" are one text, "1-12" and "112" are two. A text of nothing
// but hyphens and blanks is its own.
func Key(s string) string {
	if plain(s) {
		return s
	}
	var b strings.Builder
	k := letters{rest: s}
	for r, ok := k.next(); ok; r, ok = k.next() {
		b.WriteRune(r)
	}
	if b.Len() == 0 {
		return s
	}
	return b.String()
}

// Same reports whether two texts are one.
func Same(a, b string) bool {
	if a == b {
		return true
	}
	x, y := letters{rest: a}, letters{rest: b}
	for some := false; ; some = true {
		r, more := x.next()
		q, other := y.next()
		if r != q || more != other {
			return false
		}
		if !more {
			return some
		}
	}
}

// Listed reports whether a text is on a list.
func Listed(list []string, text string) bool {
	return slices.ContainsFunc(list, func(t string) bool { return Same(t, text) })
}

// plain reports whether a text is its own key.
func plain(s string) bool {
	for i := range len(s) {
		if c := s[i]; (c < 'a' || c > 'z') && (c < '0' || c > '9') {
			return false
		}
	}
	return true
}

// letters gives the characters of a text's key, one by one.
type letters struct {
	rest  string
	digit bool // the last one was a digit
}

func (k *letters) next() (rune, bool) {
	if k.rest != "" && k.rest[0] >= 'a' && k.rest[0] <= 'z' { // most are
		r := rune(k.rest[0])
		k.rest, k.digit = k.rest[1:], false
		return r, true
	}
	mark := rune(0) // the hyphen or the blank that was passed over
	for len(k.rest) > 0 {
		r, n := utf8.DecodeRuneInString(k.rest)
		switch {
		case r == '-' || r >= 0x80 && unicode.Is(unicode.Pd, r):
			mark = '-'
		case r == ' ' || r == '\t' || r >= 0x80 && unicode.Is(unicode.Zs, r):
			if mark == 0 {
				mark = ' '
			}
		default:
			digit := r >= '0' && r <= '9'
			if mark != 0 && k.digit && digit {
				k.digit = false
				return mark, true
			}
			k.rest, k.digit = k.rest[n:], digit
			return unicode.ToLower(r), true
		}
		k.rest = k.rest[n:]
	}
	return 0, false
}
