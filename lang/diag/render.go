package diag

// This file shows diagnostics to a person.

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/clipperhouse/displaywidth"

	"ferrule/lang/source"
)

// RenderOptions says how diagnostics are shown. The zero value shows them
// without colour, unwrapped.
type RenderOptions struct {
	Width  int  // columns for prose and source lines; 0 or less for no limit
	Colour bool // emphasise with terminal colours what the text says anyway
}

// Render writes each diagnostic of l as a paragraph: the place with the message, the
// line of the book with a caret under the place, what was expected, the nearest
// right thing, other places and notes. Nothing of the book reaches w that a
// terminal would act upon.
func Render(w io.Writer, l List, o RenderOptions) error {
	var b strings.Builder
	for i, d := range l {
		if i > 0 {
			b.WriteByte('\n')
		}
		p := page{&b, o}
		p.diagnostic(d)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

type page struct {
	*strings.Builder
	o RenderOptions
}

const (
	bold  = "\x1b[1m"
	red   = "\x1b[1;31m"
	amber = "\x1b[1;33m"
	plain = "\x1b[0m"
)

func (p page) paint(style, s string) string {
	if !p.o.Colour || s == "" {
		return s
	}
	return style + s + plain
}

func (p page) diagnostic(d Diagnostic) {
	style := red
	if d.Severity == Warning {
		style = amber
	}
	place := ""
	if !d.Span.IsZero() {
		place = position(d.Span) + ": "
	}
	// The place and the severity are never wrapped: they stay on the first line.
	prefix := place + d.Severity.String() + ": "
	lines := p.wrapped(Visible(d.Message)+" ["+string(d.Code)+"]", displaywidth.String(prefix), 4)
	p.WriteString(p.paint(bold, place) + p.paint(style, d.Severity.String()) + ": " + lines[0] + "\n")
	for _, line := range lines[1:] {
		p.WriteString("    " + line + "\n")
	}
	p.excerpt(d.Span, style)
	p.labelled("expected", d.Expected)
	p.labelled("write", d.Hint)
	for _, r := range d.Related {
		p.labelled("see", strings.TrimSpace(position(r.Span)+" "+r.Text))
		p.excerpt(r.Span, bold)
	}
	for _, n := range d.Notes {
		p.labelled("note", n)
	}
	if len(d.Shown) > 0 {
		p.WriteString("  " + p.paint(bold, "shown by") + ":\n")
		for _, line := range d.Shown {
			p.WriteString("    " + Visible(line) + "\n")
		}
	}
	if d.Says != "" {
		p.WriteString("    " + strings.Join(p.wrapped(Visible(d.Says), 4, 6), "\n      ") + "\n")
	}
}

func position(s source.Span) string {
	if s.IsZero() {
		return ""
	}
	at := s.Pos()
	return Visible(s.File.Name) + ":" + strconv.Itoa(at.Line) + ":" + strconv.Itoa(at.Column)
}

// labelled writes "  label: text", wrapped.
func (p page) labelled(label, text string) {
	if strings.TrimSpace(text) == "" {
		return
	}
	const margin = "  "
	head := margin + label + ": "
	lines := p.wrapped(Visible(text), len(head), len(head))
	p.WriteString(margin + p.paint(bold, label) + ": " + lines[0] + "\n")
	for _, line := range lines[1:] {
		p.WriteString(strings.Repeat(" ", len(head)) + line + "\n")
	}
}

// wrapped cuts text at blanks into lines that fit, where the first starts after
// first columns and the others after rest. There is at least one.
func (p page) wrapped(text string, first, rest int) []string {
	if p.o.Width <= 0 {
		return []string{text}
	}
	var lines []string
	line, room := "", p.o.Width-first
	for _, word := range strings.Split(text, " ") {
		switch {
		case line == "" && len(lines) == 0 && room >= displaywidth.String(word), line == "" && len(lines) > 0:
			line = word
		case line != "" && displaywidth.String(line)+1+displaywidth.String(word) <= room:
			line += " " + word
		default:
			lines = append(lines, line)
			line, room = word, p.o.Width-rest
		}
	}
	return append(lines, line)
}

// excerpt writes the line of the book that s starts on and marks s under it: a
// caret under its first character, tildes under the others on that line.
func (p page) excerpt(s source.Span, style string) {
	if s.IsZero() {
		return
	}
	at, end := s.Pos(), s.EndPos()
	text := s.File.Line(at.Line)
	if strings.TrimSpace(text) == "" {
		return
	}
	to := utf8.RuneCountInString(text) + 1
	if end.Line == at.Line {
		to = end.Column
	}
	text, cut := around(text, at.Column)
	line, marks := shownLine(text, at.Column-cut, to-cut, p.o.Width-4)
	p.WriteString("    " + line + "\n    " + leading(marks) + p.paint(style, strings.TrimLeft(marks, " \t")) + "\n")
}

// around cuts a very long line to some hundred characters on either side of a column, and
// returns how many it left out before them.
func around(text string, column int) (string, int) {
	const side = 500
	start, stop, at := 0, len(text), 1
	for i := range text {
		if at == column-side {
			start = i
		}
		if at == column+side {
			stop = i
			break
		}
		at++
	}
	return text[start:stop], max(0, column-side-1)
}

func leading(marks string) string {
	return marks[:len(marks)-len(strings.TrimLeft(marks, " \t"))]
}

// cell is a character of a line as it is shown, with the mark below it.
type cell struct {
	shown, mark string
	width       int
}

// cells are the characters of a line, made visible, with marks below those from column to column, and the one that has
// the caret.
func cells(text string, from, to int) (all []cell, caret int) {
	clusters := displaywidth.StringGraphemes(Visible(text))
	at, end := 0, 0 // bytes of what is shown: of the characters, and of the clusters whose width is counted
	for i, c := range text {
		_, n := utf8.DecodeRuneInString(text[i:])
		column := len(all) + 1
		shown, below, columns := Visible(text[i:i+n]), " ", 0
		for at += len(shown); end < at && clusters.Next(); end += len(clusters.Value()) {
			columns += clusters.Width()
		}
		if c == '\t' {
			below, columns = "\t", 1
		}
		mark := strings.Repeat(below, columns)
		if column >= from && column < to || column == from {
			mark = strings.Repeat("~", columns)
			if column == from {
				mark, caret = "^"+mark[min(1, columns):], len(all)
			}
			if c == '\t' && column < to {
				shown = " " // within the mark a tab is as wide as the mark under it
			}
		}
		all = append(all, cell{shown, mark, columns})
	}
	if from > len(all) { // after the end of the line
		return append(all, cell{"", "^", 1}), len(all)
	}
	return all, caret
}

// window is the part of a line around the caret that fits into width: what is before the caret and after it by turns.
func window(all []cell, caret, width int) (start, stop int) {
	total := 0
	for _, c := range all {
		total += c.width
	}
	if total <= width {
		return 0, len(all)
	}
	room := width - 2 // for the two ellipses
	start, stop = caret, caret
	for grown := true; grown; {
		grown = false
		if stop < len(all) && all[stop].width <= room {
			room -= all[stop].width
			stop++
			grown = true
		}
		if start > 0 && all[start-1].width <= room {
			start--
			room -= all[start].width
			grown = true
		}
	}
	return start, stop
}

// shownLine returns the line, made visible and cut around the mark to width, and the marks below it from column to
// column.
func shownLine(text string, from, to, width int) (line, marks string) {
	const most, least = 400, 20 // where no width is asked for, a line has an end even so
	if width <= 0 {
		width = most
	}
	all, caret := cells(text, from, to)
	start, stop := window(all, caret, max(width, least))
	if start > 0 {
		line, marks = "…", " "
	}
	for _, c := range all[start:stop] {
		line += c.shown
		marks += c.mark
	}
	if stop < len(all) {
		line += "…"
	}
	return strings.TrimRight(line, " \t"), strings.TrimRight(marks, " \t")
}

// String renders one diagnostic on one line: its place, its severity, its
// message and its code.
func (d Diagnostic) String() string {
	place := position(d.Span)
	if place != "" {
		place += ": "
	}
	return fmt.Sprintf("%s%s: %s [%s]", place, d.Severity, Visible(d.Message), d.Code)
}
