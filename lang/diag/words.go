package diag

// This file holds what messages are made of: quoted words and did-you-mean.

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Quote returns s in quotation marks as a message shows it: shortened where it
// is long, with tabs and characters that cannot be printed made visible.
func Quote(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) > most {
		s = string([]rune(s[:min(len(s), 4*most)])[:most-1]) + "…"
	}
	return `"` + strings.ReplaceAll(Visible(s), "\t", "<tab>") + `"`
}

// Visible returns s so that nothing in it reaches a terminal as a command. Control
// characters, invisible ones and bytes that are not text are written out as "<U+0007>"
// and "<byte FF>". Tabs stay.
func Visible(s string) string {
	if !strings.ContainsFunc(s, func(c rune) bool { return c == utf8.RuneError || hidden(c) }) {
		return s
	}
	var b strings.Builder
	for i, c := range s {
		switch _, n := utf8.DecodeRuneInString(s[i:]); {
		case c == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, "<byte %02X>", s[i])
		case hidden(c):
			fmt.Fprintf(&b, "<U+%04X>", c)
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// hidden reports whether c is a character that a terminal would act upon or not
// show, or that Unicode does not assign, such as U+FFFF, which XML does not allow.
func hidden(c rune) bool {
	return c != '\t' && (unicode.IsControl(c) || unicode.Is(unicode.Cf, c) || c == '\u2028' || c == '\u2029' ||
		c != ' ' && unicode.Is(unicode.Zs, c) || c >= '\ufdd0' && unicode.Is(unicode.Noncharacter_Code_Point, c))
}

// Nearest returns the candidate in from closest to word, or false if none is
// close. That is the one with the fewest typing slips: a letter wrong, missing, too
// many, or two swapped. There may be one for three letters. A candidate that
// begins with word, or that word begins with, is close too.
func Nearest(word string, from []string) (string, bool) {
	best, least := "", 1<<30
	w := []rune(strings.ToLower(word))
	if len(w) > 64 {
		return "", false
	}
	for _, candidate := range from {
		if candidate == word {
			continue
		}
		c := []rune(strings.ToLower(candidate))
		if len(c)-len(w) > 64 {
			continue
		}
		d := slips(w, c)
		near := d <= max(1, max(len(w), len(c))/3)
		if len(w) < 2 || len(c) < 2 {
			near = d == 0
		}
		if len(w) == 2 && len(c) == 2 {
			near = d <= 1 && (w[0] == c[0] || w[0] == c[1] && w[1] == c[0])
		}
		if !near && len(w) >= 3 && (strings.HasPrefix(string(c), string(w)) ||
			strings.HasPrefix(string(w), string(c)) && len(c) >= 3) {
			near, d = true, d+2
		}
		if near && d < least {
			best, least = candidate, d
		}
	}
	return best, best != ""
}

// slips counts the typing slips between a and b (Damerau and
// Levenshtein's distance, each pair of letters swapped at most once).
func slips(a, b []rune) int {
	before, row, next := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		next[0] = i + 1
		for j := range b {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			next[j+1] = min(row[j]+cost, row[j+1]+1, next[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				next[j+1] = min(next[j+1], before[j-1]+1)
			}
		}
		before, row, next = row, next, before
	}
	return row[len(b)]
}
