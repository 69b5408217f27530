// Package source holds the text of a rule book and the places in it. A File has a Span for a piece of it, a Pos that a
// person reads as line and column, and the line of text that a message shows.
package source

import (
	"sort"
	"strings"
	"unicode/utf8"
)

// File is the text of one rule book. Offsets are bytes into Text. A byte order
// mark is not part of Text. The zero value is an empty file without a name.
type File struct {
	Name string // as messages show it
	Text string

	lines []int // offset of each line's first byte, filled by NewFile
}

// NewFile returns the file of that name and text. A byte order mark at the
// start of text is dropped.
func NewFile(name, text string) *File {
	f := &File{Name: name, Text: strings.TrimPrefix(text, "\ufeff")}
	f.lines = append(f.lines, 0)
	for i := 0; i < len(f.Text); i++ {
		if f.Text[i] == '\n' {
			f.lines = append(f.lines, i+1)
		}
	}
	return f
}

// Pos is a place as a person counts it: lines and columns from 1, a column
// being a character (a tab is one). The zero value is nowhere.
type Pos struct{ Line, Column int }

// Pos returns the place of a byte offset; an offset beyond the text is the
// text's end.
func (f *File) Pos(offset int) Pos {
	if f == nil {
		return Pos{}
	}
	offset = max(0, min(offset, len(f.Text)))
	line := f.line(offset)
	start := 0
	if len(f.lines) > 0 {
		start = f.lines[line-1]
	}
	return Pos{Line: line, Column: utf8.RuneCountInString(f.Text[start:offset]) + 1}
}

// line is the line of a byte offset, counted from 1.
func (f *File) line(offset int) int { return max(1, sort.SearchInts(f.lines, offset+1)) }

// Line returns the text of a line, counted from 1, without its line end; it is
// empty for a line that the file does not have.
func (f *File) Line(n int) string {
	if f == nil || n < 1 || n > len(f.lines) {
		return ""
	}
	end := len(f.Text)
	if n < len(f.lines) {
		end = f.lines[n] - 1
	}
	return strings.TrimSuffix(f.Text[f.lines[n-1]:end], "\r")
}

// Lines returns how many lines the file has; an empty file has one.
func (f *File) Lines() int { return len(f.lines) }

// Span is a piece of a file, from Start up to but without End, in bytes. The
// zero value is nowhere.
type Span struct {
	File       *File
	Start, End int
}

// IsZero reports whether the span is nowhere.
func (s Span) IsZero() bool { return s.File == nil }

// Pos returns the place of the span's first character.
func (s Span) Pos() Pos { return s.File.Pos(s.Start) }

// EndPos returns the place just after the span's last character.
func (s Span) EndPos() Pos { return s.File.Pos(s.End) }

// Line returns the line on which the span starts, counted from 1; 0 for no place.
func (s Span) Line() int {
	if s.File == nil {
		return 0
	}
	return s.File.line(max(0, min(s.Start, len(s.File.Text))))
}

// Text returns the text of the span.
func (s Span) Text() string {
	if s.File == nil || s.Start < 0 || s.End > len(s.File.Text) || s.Start > s.End {
		return ""
	}
	return s.File.Text[s.Start:s.End]
}

// OneLine returns the text of the span on one line, without comments.
func (s Span) OneLine() string {
	var words []string
	for line := range strings.Lines(s.Text()) {
		quoted := false
		for i, r := range line {
			if r == '"' {
				quoted = !quoted
			}
			if r == '#' && !quoted {
				line = line[:i]
				break
			}
		}
		words = append(words, strings.Fields(line)...)
	}
	return strings.Join(words, " ")
}

// To returns the span from the start of s to the end of t.
func (s Span) To(t Span) Span {
	if s.IsZero() {
		return t
	}
	if t.IsZero() {
		return s
	}
	return Span{File: s.File, Start: s.Start, End: max(s.End, t.End)}
}
