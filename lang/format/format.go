// Package format writes a rule book in its standard layout. Clauses are indented by two blanks, and their words are
// padded to one column. There is a blank line between declarations and one blank between words. Long clauses are broken
// where the language lets them go on. Comments, quantities and the order of everything stay as written.
package format

import (
	"strings"
	"unicode/utf8"

	"ferrule/lang/ast"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

const (
	indent   = "  "
	deeper   = "    " // of the lines that go on a clause
	maxWidth = 100    // columns above which a clause is broken
)

// Format returns the text of a book that was parsed without a mistake. Its tokens are those of the book, in their
// order; only blanks, line ends and the place of comments change. Formatting that text again changes nothing.
func Format(b *ast.Book) string {
	f := &formatter{file: b.File, comments: b.Comments}
	for _, c := range parser.Clauses(b.File) {
		if c.Starts {
			f.first(c)
		} else {
			f.clause(c)
		}
	}
	f.outside(len(b.File.Text), "")
	return f.text()
}

// line is a line of the result.
type line struct {
	cells   []string // more than one: to be aligned with neighbours
	kind    string   // neighbouring lines of one kind are aligned
	text    string   // of a line without cells
	comment string   // at the end of the line
	own     bool     // nothing but a comment
}

type formatter struct {
	file     *source.File
	comments []ast.Comment // those not yet written
	lines    []line
	before   string // the previous declaration's word
	last     int    // the source line on which the last thing written ended; 0 for none
}

// sourceLine is the line of the source at a byte.
func (f *formatter) sourceLine(at int) int {
	return source.Span{File: f.file, Start: at, End: at}.Line()
}

// blank ends a paragraph of the result.
func (f *formatter) blank() {
	if n := len(f.lines); n > 0 && (f.lines[n-1].text != "" || f.lines[n-1].cells != nil) {
		f.lines = append(f.lines, line{})
	}
}

// commentsBefore writes the comments on lines of their own that come before a byte of the source. Within sets a blank
// line before one on a source line, where that is due, and reports whether the comment is part of a declaration.
func (f *formatter) commentsBefore(at int, within func(c ast.Comment, n int) bool) {
	for len(f.comments) > 0 && f.comments[0].Span.Start < at {
		c := f.comments[0]
		n := f.sourceLine(c.Span.Start)
		text := c.Text
		if within(c, n) {
			text = indent + text
		}
		f.lines = append(f.lines, line{text: text, own: true})
		f.comments = f.comments[1:]
		f.last = n
	}
}

// outside writes the comments before a byte of the source, where the declaration of the word next starts; empty at the
// book's end.
func (f *formatter) outside(at int, next string) {
	f.commentsBefore(at, func(c ast.Comment, n int) bool {
		body := f.last > 0 && n == f.last+1 && c.Span.Pos().Column > 1 && !oneLine(f.before)
		if !body {
			f.paragraph(n, next)
		}
		return body
	})
}

// paragraph sets a blank line before source line n, outside declarations,
// where one is due.
func (f *formatter) paragraph(n int, next string) {
	if len(f.lines) == 0 {
		return
	}
	apart := n > f.last+1
	if last := f.lines[len(f.lines)-1]; !last.own || last.text != strings.TrimLeft(last.text, " ") {
		// After a declaration, and not after a comment that leads on to the next.
		apart = apart || !oneLine(f.before) || next != f.before
	}
	if apart {
		f.blank()
	}
}

// oneLine reports whether declarations of a word are one line, so that several may follow each other without a blank
// line.
func oneLine(word string) bool { return word != "" && ast.ClauseWords(word) == nil && word != "chart" }

// first writes the first line of a declaration.
func (f *formatter) first(c parser.Clause) {
	start := c.Place().Start
	f.outside(start, c.Declaration)
	f.paragraph(f.sourceLine(start), c.Declaration)
	f.piece(c, "", 0, c.Declaration)
	f.before = c.Declaration
}

// clause writes a clause of a declaration.
func (f *formatter) clause(c parser.Clause) {
	start := c.Place().Start
	f.commentsBefore(start, func(_ ast.Comment, n int) bool { f.spaced(n); return true })
	f.spaced(f.sourceLine(start))
	f.piece(c, indent, layouts[c.Declaration].word, "clause")
}

// spaced keeps a blank line before source line n inside a declaration.
func (f *formatter) spaced(n int) {
	if n > f.last+1 {
		f.blank()
	}
}

// piece writes a clause or a first line with the comments in and after it.
func (f *formatter) piece(c parser.Clause, margin string, column int, k string) {
	inside, place, parts := 0, c.Place(), cells(c)
	for inside < len(f.comments) && f.comments[inside].Span.Start < place.End {
		inside++
	}
	switch text := margin + joined(parts, column); {
	case inside > 0:
		// A clause with comments between its lines keeps these lines.
		f.comments = f.comments[inside:]
		f.asWritten(place, margin, column)
	case width(text) > maxWidth:
		f.broken(text, further(margin, column))
	default:
		parts[0] = margin + lead(parts[0], column)
		for i, part := range parts {
			parts[i] = blanks.Replace(part)
		}
		if column > 0 && len(parts) > 1 { // the word's column is fixed, the cells after it are aligned
			parts = append([]string{parts[0] + parts[1]}, parts[2:]...)
		}
		f.lines = append(f.lines, line{cells: parts, kind: k})
	}
	f.last = f.sourceLine(place.End)
	if len(f.comments) > 0 && f.sourceLine(f.comments[0].Span.Start) == f.last {
		f.lines[len(f.lines)-1].comment = f.comments[0].Text
		f.comments = f.comments[1:]
	}
}

// further is the margin of the lines that go on a clause.
func further(margin string, column int) string {
	if column == 0 {
		return margin + deeper
	}
	return margin + strings.Repeat(" ", column)
}

func pad(s string, column int) string {
	return s + strings.Repeat(" ", max(0, column-width(s)))
}

// lead is the word of a clause before what follows it, which starts in a column where the word leaves room for that.
func lead(word string, column int) string {
	if column > 0 {
		column = max(column, width(word)+1)
	}
	return pad(word, column)
}

func width(s string) int { return utf8.RuneCountInString(s) }

// joined is the cells on one line, the first padded to column.
func joined(cells []string, column int) string {
	if column == 0 {
		return strings.Join(cells, " ")
	}
	return lead(cells[0], column) + strings.Join(cells[1:], " ")
}

// asWritten writes the source lines of a clause, each trimmed and indented anew.
func (f *formatter) asWritten(place source.Span, margin string, column int) {
	for i, text := range strings.Split(place.Text(), "\n") {
		text = strings.TrimSpace(text)
		switch {
		case text == "":
			continue
		case i == 0 && column > 0:
			word := text[:max(0, strings.IndexAny(text, " \t"))] // none where the line is the word alone
			text = margin + lead(word, column) + strings.TrimLeft(text[len(word):], " \t")
		case i == 0:
			text = margin + text
		default:
			text = further(margin, column) + text
		}
		f.lines = append(f.lines, line{text: strings.TrimRight(text, " ")})
	}
}

// broken writes a long line over several, broken at its gaps.
func (f *formatter) broken(text, margin string) {
	var parts []string
	for _, part := range strings.Split(text, gap) {
		if width(part) <= maxWidth-width(margin) {
			parts = append(parts, strings.ReplaceAll(part, tightGap, " "))
			continue
		}
		parts = append(parts, strings.Split(part, tightGap)...)
	}
	current := parts[0]
	for _, part := range parts[1:] {
		if width(current)+1+width(part) <= maxWidth {
			current += " " + part
			continue
		}
		f.lines = append(f.lines, line{text: current})
		current = margin + part
	}
	f.lines = append(f.lines, line{text: current})
}

// text formats the lines: cells aligned, then the comments after lines.
func (f *formatter) text() string {
	for len(f.lines) > 0 && f.lines[len(f.lines)-1].text == "" && f.lines[len(f.lines)-1].cells == nil {
		f.lines = f.lines[:len(f.lines)-1]
	}
	for i := 0; i < len(f.lines); {
		j := i
		for j < len(f.lines) && f.lines[j].cells != nil && f.lines[j].kind == f.lines[i].kind {
			j++
		}
		align(f.lines[i:j])
		i = max(j, i+1)
	}
	var b strings.Builder
	for i := 0; i < len(f.lines); {
		j, column := i, 0
		for j < len(f.lines) && f.lines[j].comment != "" {
			column = max(column, width(f.lines[j].text))
			j++
		}
		if j == i {
			b.WriteString(f.lines[i].text + "\n")
			i++
			continue
		}
		for _, l := range f.lines[i:j] {
			b.WriteString(pad(l.text, column) + "  " + l.comment + "\n")
		}
		i = j
	}
	return b.String()
}

// align sets the text of neighbouring lines from their cells, padding
// these to common columns where that makes no line too long.
func align(lines []line) {
	var columns []int
	for _, l := range lines {
		for i, c := range l.cells[:len(l.cells)-1] {
			if i == len(columns) {
				columns = append(columns, 0)
			}
			columns[i] = max(columns[i], width(c))
		}
	}
	fits := true
	for i := range lines {
		l := &lines[i]
		l.text = l.cells[0]
		end := -1 // of the columns before the cell
		for n, c := range l.cells[1:] {
			end += columns[n] + 1
			l.text = pad(l.text, end) + " " + c
		}
		fits = fits && width(l.text) <= maxWidth
	}
	if fits {
		return
	}
	for i := range lines {
		lines[i].text = strings.Join(lines[i].cells, " ")
	}
}
