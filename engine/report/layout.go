package report

// This file lays text out for a page of 80 columns.

import (
	"strings"
)

const columns = 80

// entry is a line of a block: a label, an amount and what is said of it. Indent is
// in blanks.
type entry struct {
	label, amount, note string
	indent              int
	verbatim            bool // the label's blanks stay
}

// block lays entries out in three aligned columns, indented; notes are wrapped.
func block(indent int, entries []entry) string {
	const longestLabel, longestAmount = 26, 24
	var labels, amounts int
	for _, e := range entries {
		if n := width(e.label) + e.indent; n <= longestLabel && !e.verbatim {
			labels = max(labels, n)
		}
		if n := width(e.amount); n <= longestAmount {
			amounts = max(amounts, n)
		}
	}
	var b strings.Builder
	for _, e := range entries {
		left := pad(strings.Repeat(" ", e.indent)+e.label, labels)
		switch {
		case e.verbatim && indent+e.indent+width(e.label) <= columns:
			b.WriteString(strings.Repeat(" ", indent+e.indent) + e.label + "\n")
			continue
		case e.amount == "" && e.note == "":
			b.WriteString(wrap(e.label, indent+e.indent, indent+e.indent+2))
			continue
		case e.amount == "":
			b.WriteString(hang(indent, left, e.note))
			continue
		}
		left += "  " + e.amount
		if e.note == "" {
			b.WriteString(strings.Repeat(" ", indent) + strings.TrimRight(left, " ") + "\n")
			continue
		}
		b.WriteString(hang(indent, pad(left, labels+2+amounts), e.note))
	}
	return b.String()
}

func pad(s string, n int) string {
	if missing := n - width(s); missing > 0 {
		return s + strings.Repeat(" ", missing)
	}
	return s
}

// hang writes left, two blanks and note, wrapped so that it stands under itself;
// where too little room is left it goes on further to the left.
func hang(indent int, left, note string) string {
	const room = 24
	at := indent + width(left) + 2
	under := at
	if columns-at < room {
		under = min(at, indent+4)
	}
	return wrapFrom(strings.Repeat(" ", indent)+left+"  ", note, under)
}

// wrap writes text indented by first, its further lines by rest.
func wrap(text string, first, rest int) string {
	return wrapFrom(strings.Repeat(" ", first), strings.TrimLeft(text, " "), rest)
}

// wrapFrom writes lead and then the words of text, each line within the page;
// further lines are indented by under. A word that is too long stands by itself.
func wrapFrom(lead, text string, under int) string {
	var b strings.Builder
	b.WriteString(lead)
	at, start := width(lead), true
	for _, word := range strings.Fields(text) {
		n := width(word)
		switch {
		case start:
		case at+1+n > columns:
			b.WriteString("\n" + strings.Repeat(" ", under))
			at = under
		default:
			b.WriteByte(' ')
			at++
		}
		if start && at+n > columns && at > under {
			out := strings.TrimRight(b.String(), " ")
			b.Reset()
			b.WriteString(out + "\n" + strings.Repeat(" ", under))
			at = under
		}
		b.WriteString(word)
		at, start = at+n, false
	}
	return strings.TrimRight(b.String(), " ") + "\n"
}

// ends writes left and right at the two ends of a line, or on two lines where they
// do not fit on one.
func ends(left, right string) string {
	if right == "" {
		return left + "\n"
	}
	if gap := columns - width(left) - width(right); gap >= 2 {
		return left + strings.Repeat(" ", gap) + right + "\n"
	}
	return left + "\n" + strings.Repeat(" ", max(0, columns-width(right))) + right + "\n"
}
