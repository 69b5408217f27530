package editor

// This file counts places as the protocol does.

import (
	"sort"
	"strings"
	"sync"
	"unicode/utf16"
	"unicode/utf8"

	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// byteOrderMark may start a text. It is not part of a source.File.
const byteOrderMark = "\ufeff"

// Text is the text of a file with the starts of its lines, which end in "\n", "\r\n" or "\r".
type Text struct {
	All     string // as the client has it, with a byte order mark
	mark    int    // bytes of that mark
	starts  []int
	clauses func() []parser.Clause // in a file without a name
}

// NewText returns a text.
func NewText(all string) *Text {
	t := &Text{All: all, starts: []int{0}}
	t.clauses = sync.OnceValue(func() []parser.Clause { return parser.Clauses(source.NewFile("", all)) })
	if strings.HasPrefix(all, byteOrderMark) {
		t.mark = len(byteOrderMark)
	}
	for i := 0; i < len(all); i++ {
		if all[i] == '\n' || all[i] == '\r' && !strings.HasPrefix(all[i+1:], "\n") {
			t.starts = append(t.starts, i+1)
		}
	}
	return t
}

// Position is the place of a byte of the text's source.File.
func (t *Text) Position(offset int) Position { return t.position(offset + t.mark) }

// position is the place of a byte of the whole text.
func (t *Text) position(offset int) Position {
	offset = max(0, min(offset, len(t.All)))
	line := sort.SearchInts(t.starts, offset+1) - 1
	units := 0
	for _, r := range t.All[t.starts[line]:offset] {
		units += utf16.RuneLen(r)
	}
	return Position{line, units}
}

// Range is where a span of the text's source.File is.
func (t *Text) Range(s source.Span) Range { return Range{t.Position(s.Start), t.Position(s.End)} }

// Offset is the byte of the text's source.File at a place. A place beyond its line is at the line's end.
func (t *Text) Offset(p Position) int { return max(0, t.at(p)-t.mark) }

// at is the byte of the whole text at a place.
func (t *Text) at(p Position) int {
	switch {
	case p.Line < 0:
		return 0
	case p.Line >= len(t.starts):
		return len(t.All)
	}
	offset, end := t.starts[p.Line], len(t.All)
	if p.Line+1 < len(t.starts) {
		end = t.starts[p.Line+1]
	}
	for units := p.Character; offset < end; {
		r, n := utf8.DecodeRuneInString(t.All[offset:end])
		if units -= utf16.RuneLen(r); units < 0 || r == '\n' || r == '\r' {
			break
		}
		offset += n
	}
	return offset
}

// With returns the text with another one in the place of a range.
func (t *Text) With(r Range, text string) *Text {
	start := t.at(r.Start)
	return NewText(t.All[:start] + text + t.All[max(start, t.at(r.End)):])
}

// edits change the text into another one: one edit of the lines that differ, none where none do.
func (t *Text) edits(into string) []TextEdit {
	if t.mark > 0 && !strings.HasPrefix(into, byteOrderMark) {
		into = byteOrderMark + into
	}
	if into == t.All {
		return nil
	}
	start := 0
	for start < min(len(t.All), len(into)) && t.All[start] == into[start] {
		start++
	}
	start = strings.LastIndexByte(into[:start], '\n') + 1
	end, stop := len(t.All), len(into)
	for end > start && stop > start && t.All[end-1] == into[stop-1] {
		end, stop = end-1, stop-1
	}
	if end > start && t.All[end-1] != '\n' { // to the end of its line
		line := len(t.All) - end
		if i := strings.IndexByte(t.All[end:], '\n'); i >= 0 {
			line = i + 1
		}
		end, stop = end+line, stop+line
	}
	return []TextEdit{{Range{t.position(start), t.position(end)}, into[start:stop]}}
}
