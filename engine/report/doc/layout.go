package doc

// This file lays text out for a page of 80 columns.

import (
	"bytes"
	"regexp"
	"strings"
	"unicode"

	"github.com/clipperhouse/displaywidth"
)

// Columns is how wide a page of text is.
const Columns = 80

// Width is how many columns a text takes.
func Width(s string) int { return displaywidth.String(s) }

// Shorten cuts a text that takes more than n columns, n at least 1, and ends it in dots.
func Shorten(s string, n int) string { return displaywidth.TruncateString(s, n, "…") }

func blanks(dst []byte, n int) []byte {
	for range n {
		dst = append(dst, ' ')
	}
	return dst
}

// endLine ends a line without the blanks at its end.
func endLine(dst []byte) []byte { return append(bytes.TrimRight(dst, " "), '\n') }

// wrap appends text indented by first, its further lines by rest.
func wrap(dst []byte, text string, first, rest int) []byte {
	return flow(blanks(dst, first), first, text, rest)
}

// glue is a blank at which no line ends.
const glue = "\u00a0"

// Glued is a text that stays on one line.
func Glued(s string) string { return strings.ReplaceAll(s, " ", glue) }

// figures are numbers with their fractions and units, which stay on one line.
var figures = regexp.MustCompile(`(?:\+/- )?\d+(?: \d+/\d+)?(?: (?:in|mm|cm|deg|pts|g|oz|cpm)\b)?`)

// flow appends the words of a text to a line that has a number of columns already, each line within the page; further
// lines are indented by under. A word that is too long for a line is broken.
func flow(dst []byte, at int, text string, under int) []byte {
	text = figures.ReplaceAllStringFunc(text, Glued)
	start := true
	breaks := func(c rune) bool { return unicode.IsSpace(c) && string(c) != glue }
	for word := range strings.FieldsFuncSeq(text, breaks) {
		word = strings.ReplaceAll(word, glue, " ")
		if n := Width(word); n > Columns-under {
			if at > under {
				dst = blanks(endLine(dst), under)
			}
			for at, start = under, true; n > Columns-under; n = Width(word) {
				piece := displaywidth.TruncateString(word, Columns-under, "")
				if piece == "" {
					break
				}
				dst = blanks(append(append(dst, piece...), '\n'), under)
				word = word[len(piece):]
			}
		}
		n := Width(word)
		switch {
		case start && at+n > Columns && at > under, !start && at+1+n > Columns:
			dst = blanks(endLine(dst), under)
			at = under
		case !start:
			dst = append(dst, ' ')
			at++
		}
		dst = append(dst, word...)
		at, start = at+n, false
	}
	return endLine(dst)
}

// facts appends facts in three aligned columns, indented; notes are wrapped. A long label has a line of its own, and a
// long amount is part of its note.
func facts(dst []byte, indent int, list []Fact) []byte {
	const longestLabel, longestAmount, roomBehind = 26, 24, 30
	labels, amounts := indent, 0
	for _, f := range list {
		if n := Width(f.Label) + 2*f.Level; n <= longestLabel {
			labels = max(labels, indent+n)
		}
		if n := Width(f.Amount); n <= longestAmount {
			amounts = max(amounts, n)
		}
	}
	for _, f := range list {
		if Width(f.Amount) > longestAmount {
			f.Amount, f.Note = "", f.Amount+" "+f.Note
		}
		in := indent + 2*f.Level
		at := in + Width(f.Label)
		alone := f.Amount == "" && f.Note == ""
		if alone || at > Columns-roomBehind {
			dst, at = wrap(dst, f.Label, in, in+2), 0
		} else {
			dst = append(blanks(dst, in), f.Label...)
		}
		if alone {
			continue
		}
		to := max(labels, at) + 2
		dst, at = blanks(dst, to-at), to
		if f.Amount != "" {
			dst = append(dst, f.Amount...)
			to = max(labels+2+amounts, at+Width(f.Amount)) + 2
			dst, at = blanks(dst, to-at-Width(f.Amount)), to
		}
		dst = flow(dst, at, f.Note, below(at, indent))
	}
	return dst
}

// below is where a note goes on that begins in a column: below itself, or further to the left where little room is
// left.
func below(at, indent int) int {
	const room = 24
	if Columns-at < room {
		return min(at, indent+4)
	}
	return at
}

// ends appends left and right at the two ends of a line, or on lines of their own where they do not fit on one.
func ends(dst []byte, left, right string) []byte {
	n := Width(right)
	if gap := Columns - Width(left) - n; right != "" && gap >= 2 {
		return append(append(blanks(append(dst, left...), gap), right...), '\n')
	}
	in := len(left) - len(strings.TrimLeft(left, " "))
	dst = wrap(dst, left, in, in+2)
	if right == "" {
		return dst
	}
	return wrap(dst, right, max(2, Columns-n), 2)
}
