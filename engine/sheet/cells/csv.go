package cells

// This file cuts CSV into rows and cells. Cells are divided by a comma, a semicolon or a tab; a
// cell that starts with a quotation mark goes to the next single one, over line ends too, and holds two
// for one; elsewhere the mark is an inch mark. A quote without an end costs its own line only.

import (
	"bytes"
	"io"
	"strings"
)

// CSV is a sheet of text whose cells are divided by Comma.
type CSV struct {
	lines
	Comma byte
	Width int // how many cells a row has; 0 where that is not known

	cut Row // the last row
}

// NewCSV reads a sheet of text as CSV.
func NewCSV(in io.Reader) *CSV { return &CSV{lines: newLines(in), Comma: ','} }

// Dividers are what may divide the cells of CSV.
var Dividers = []byte{',', ';', '\t'}

// SkipBlank steps over blank rows, whatever divides their cells.
func (s *CSV) SkipBlank() {
	for s.lo < s.hi {
		size := bytes.IndexByte(s.buf[s.lo:s.hi], s.eol)
		if size < 0 {
			size = s.hi - s.lo
		}
		if !blank(bytes.Trim(s.buf[s.lo:s.lo+size], ",;"), ',') {
			break
		}
		s.take(size)
	}
}

// Ahead returns the cells of the row to come, divided by comma; false where a quote in it has no end.
func (s *CSV) Ahead(comma byte) ([]string, bool) {
	text := s.buf[s.lo:s.hi]
	end, _, f, _ := rowEnd(text, comma, s.eol)
	if f != Sound {
		return nil, false
	}
	return Split(nil, string(trimEOL(text[:end])), comma, Sound), true
}

// Next returns the next row that is not blank.
func (s *CSV) Next() *Row {
	for s.record() {
		if s.cut.Flaw != Sound || !blank(s.cut.Text, s.Comma) {
			return &s.cut
		}
	}
	return nil
}

// Take returns the next row, blank or not; nil at the end.
func (s *CSV) Take() *Row {
	if !s.record() {
		return nil
	}
	return &s.cut
}

// Anew returns the rest of the sheet, cut as s is, read from what in holds from there on.
func (s *CSV) Anew(in io.ReaderAt) (*CSV, bool) {
	t := NewCSV(io.NewSectionReader(in, s.past+int64(s.lo), 1<<62))
	t.Comma, t.Width, t.eol, t.row = s.Comma, s.Width, s.eol, s.row
	return t, t.failed == nil
}

// record cuts the next row, blank or not; false at the end. A row with a flaw is its first line.
func (s *CSV) record() bool {
	size, ok := s.peek()
	if !ok {
		return false
	}
	row, long := &s.cut, size > MaxRow
	if row.quoted = long || bytes.IndexByte(s.buf[s.lo:s.lo+size], '"') >= 0; row.quoted && !long {
		row.Text, row.Flaw = s.quotedRow(size)
	} else {
		row.Text, row.Flaw = s.line(size)
	}
	if long { // what is left of the last cell is not a cell
		row.Text = row.Text[:max(0, bytes.LastIndexByte(row.Text, s.Comma))]
	}
	row.Number = s.row
	return true
}

// quotedRow cuts a row that has quotes in its first line, which has size bytes.
func (s *CSV) quotedRow(size int) ([]byte, Flaw) {
	end, cells, f, more := rowEnd(s.buf[s.lo:s.hi], s.Comma, s.eol)
	for more && !s.ended && s.hi-s.lo <= MaxRow {
		s.fill()
		end, cells, f, more = rowEnd(s.buf[s.lo:s.hi], s.Comma, s.eol)
	}
	switch {
	case more && f == Sound && s.ended:
	case more || f == Sound && end > MaxRow:
		f = Unclosed
	case f == Sound && end > size && s.Width > 0 && cells != s.Width: // it swallowed rows that are not its own
		f = Unclosed
	}
	if f != Sound {
		end = size
	}
	text := s.buf[s.lo : s.lo+end]
	s.take(end)
	return trimEOL(text), f
}

// rowEnd finds where the first row of b ends, whose quotes may reach over several lines; with more, b ends before the
// row does.
func rowEnd(b []byte, comma, eol byte) (end, cells int, f Flaw, more bool) {
	for i := 0; ; i = end + 1 {
		cells++
		if end, f, more = cellEnd(b, i, comma, eol); f != Sound || more || b[end] == eol {
			return end, cells, f, more
		}
	}
}

// cellEnd finds where the cell that begins at s[i:] ends: at a comma, at the end of the line or, with more, with s.
func cellEnd[T string | []byte](s T, i int, comma, eol byte) (end int, f Flaw, more bool) {
	for i < len(s) && s[i] == ' ' {
		i++
	}
	if i < len(s) && s[i] == '"' {
		for quoted := true; quoted; quoted = i < len(s) && s[i] == '"' { // two for one
			for i++; i < len(s) && s[i] != '"'; {
				i++
			}
			if i == len(s) {
				return i, Unclosed, true
			}
			i++
		}
		for i < len(s) && (s[i] == ' ' || s[i] == '\r' && i+1 < len(s) && s[i+1] == eol) {
			i++
		}
		if i < len(s) && s[i] != comma && s[i] != eol && !(s[i] == '\r' && i+1 == len(s)) {
			return i, AfterQuote, false
		}
	}
	for i < len(s) && s[i] != comma && s[i] != eol {
		i++
	}
	return i, Sound, i == len(s)
}

// blank reports whether a row has nothing in its cells.
func blank(b []byte, comma byte) bool {
	for _, c := range b {
		if c != comma && c != ' ' && c != '\t' && c != '"' && c != '\r' && c != '\n' {
			return false
		}
	}
	return true
}

// CellsOf is how many cells a sound row has, without empty ones beyond the width of the sheet.
func (s *CSV) CellsOf(row *Row) int {
	text := row.Text
	n := 1 + bytes.Count(text, []byte{s.Comma})
	if n != s.Width && row.quoted {
		_, n, _, _ = rowEnd(text, s.Comma, s.eol)
	}
	for n > s.Width {
		i := bytes.LastIndexByte(text, s.Comma)
		if i < 0 || len(bytes.Trim(text[i+1:], " \t\"")) > 0 {
			break
		}
		text = text[:i]
		n--
	}
	return n
}

// torn reports whether quotes in a row mean nothing: it breaks off, or they are at fault.
func (f Flaw) torn() bool { return f != Sound && f < Flaws }

// Cell returns the nth cell of a row, counted from 0, as Split gives it; false where the row does not reach so far, and
// in a row that breaks off where a quote opens before.
func (s *CSV) Cell(row *Row, n int) ([]byte, bool) {
	text, quotes, torn := row.Text, row.quoted, row.Flaw.torn()
	for ; ; n-- {
		end := bytes.IndexByte(text, s.Comma)
		last := end < 0
		if last {
			end = len(text)
		}
		switch {
		case quotes && !torn:
			end, _, last = cellEnd(text, 0, s.Comma, s.Comma)
		case quotes && bytes.HasPrefix(bytes.TrimSpace(text[:end]), []byte{'"'}):
			return nil, false
		}
		switch {
		case n == 0 && quotes && !torn:
			return []byte(unquoted(string(text[:end]))), true
		case n == 0:
			return bytes.TrimSpace(text[:end]), true
		case last:
			return nil, false
		}
		text = text[end+1:]
	}
}

// Split appends the cells of a row of CSV to cells.
func Split(cells []string, s string, comma byte, f Flaw) []string {
	quotes := !f.torn() && strings.IndexByte(s, '"') >= 0
	for {
		end := strings.IndexByte(s, comma)
		more := end >= 0
		if quotes {
			var last bool
			end, _, last = cellEnd(s, 0, comma, comma)
			more = !last
		}
		if !more {
			end = len(s)
		}
		if quotes {
			cells = append(cells, unquoted(s[:end]))
		} else {
			cells = append(cells, Trim(s[:end]))
		}
		if !more {
			return cells
		}
		s = s[end+1:]
	}
}

// unquoted is a cell without its quotes and the blanks around it.
func unquoted(s string) string {
	s = Trim(s)
	if n := len(s); n >= 2 && s[0] == '"' && s[n-1] == '"' {
		s = Trim(s[1 : n-1])
		if strings.IndexByte(s, '"') >= 0 {
			s = strings.ReplaceAll(s, `""`, `"`)
		}
	}
	return s
}

// Trim is strings.TrimSpace, quick where there is nothing to trim.
func Trim(s string) string {
	if n := len(s); n == 0 || s[0]-'!' < '~'-'!' && s[n-1]-'!' < '~'-'!' {
		return s
	}
	return strings.TrimSpace(s)
}
