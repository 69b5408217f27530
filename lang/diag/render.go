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
	mark := strings.TrimLeft(marks, " \t")
	p.WriteString("    " + line + "\n    " + strings.TrimSuffix(marks, mark) + p.paint(style, mark) + "\n")
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

// cell is a character of a line as it is shown, with the mark below it.
type cell struct {
	shown, mark string
	width       int
}

// cells are the characters of a line, made visible, with marks below those from column to column, and the one that has
// the caret. A character is what a reader takes for one, so it may have several columns.
func cells(text string, from, to int) (all []cell, caret int) {
	clusters := displaywidth.StringGraphemes(text)
	caret = -1
	for column := 1; clusters.Next(); {
		c := cell{shown: Visible(clusters.Value())}
		c.width = displaywidth.String(c.shown)
		below, next := " ", column+utf8.RuneCountInString(clusters.Value())
		if c.shown == "\t" {
			below, c.width = "\t", 1
		}
		c.mark = strings.Repeat(below, c.width)
		if from < next && (column < to || column <= from) {
			c.mark = strings.Repeat("~", c.width)
			if caret < 0 {
				c.mark, caret = "^"+c.mark[min(1, c.width):], len(all)
			}
			if below == "\t" && column < to {
				c.shown = " " // within the mark a tab is as wide as the mark under it
			}
		}
		all, column = append(all, c), next
	}
	if caret < 0 { // after the end of the line
		return append(all, cell{"", "^", 1}), len(all)
	}
	return all, caret
}

// shownLine returns the line, made visible and cut around the mark to width, and the marks below it from column to
// column.
func shownLine(text string, from, to, width int) (line, marks string) {
	const most, least = 400, 20 // where no width is asked for, a line has an end even so
	if width <= 0 {
		width = most
	}
	all, caret := cells(text, from, to)
	total, room := 0, max(width, least)
	for _, c := range all {
		total += c.width
	}
	if total > room {
		room -= 2 // for the two ellipses
	}
	start, stop := 0, len(all)
	for total > room {
		if caret-start >= stop-caret {
			total -= all[start].width
			start++
		} else {
			stop--
			total -= all[stop].width
		}
	}
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
