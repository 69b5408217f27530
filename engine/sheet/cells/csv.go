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

// Ahead returns the cells of the next row that is not blank, whatever divides it, as comma divides them; false where a
// quote in it has no end.
func (s *CSV) Ahead(comma byte) ([]Cell, bool) {
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
	text := s.buf[s.lo:s.hi]
	end, _, f, _ := rowEnd(text, comma, s.eol)
	return split(nil, string(trimEOL(text[:end])), comma, Sound), f == Sound
}

// Next returns the next row that is not blank, with all its cells but empty ones beyond its width. Of a row that breaks
// off the cells before that are given.
func (s *CSV) Next() *Row {
	for s.record() {
		row := &s.cut
		if row.Flaw == Sound && blank(row.text, s.Comma) {
			continue
		}
		s.cells()
		return row
	}
	return nil
}

// cells gives the row in hand its cells.
func (s *CSV) cells() {
	row := &s.cut
	row.Cells = split(row.Cells[:0], string(row.text), s.Comma, row.Flaw)
	for n := len(row.Cells) - 1; s.Width > 0 && n >= s.Width && row.Cells[n].Text == ""; n-- {
		row.Cells = row.Cells[:n]
	}
}

// record cuts the next row, blank or not; false at the end. A row with a flaw is its first line.
func (s *CSV) record() bool {
	size, ok := s.peek()
	if !ok {
		return false
	}
	row := &s.cut
	if size <= MaxRow && bytes.IndexByte(s.buf[s.lo:s.lo+size], '"') >= 0 {
		row.text, row.Flaw = s.quotedRow(size)
	} else if row.text, row.Flaw = s.line(size); row.Flaw != Sound { // what is left of the last cell is not a cell
		row.text = row.text[:max(0, bytes.LastIndexByte(row.text, s.Comma))]
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

// split appends the cells of a row. Quotes mean nothing in one that breaks off; it has no cells from the first on that
// begins with one.
func split(cells []Cell, s string, comma byte, f Flaw) []Cell {
	for n := 0; ; n++ {
		end, _, last := cellEnd(s, 0, comma, comma)
		if f != Sound {
			if end = strings.IndexByte(s, comma); end < 0 {
				end = len(s)
			}
			if last = end == len(s); strings.HasPrefix(strings.TrimSpace(s[:end]), `"`) {
				return cells
			}
		}
		cells = append(cells, Cell{Column: n, Text: unquoted(s[:end])})
		if last {
			return cells
		}
		s = s[end+1:]
	}
}

// unquoted is a cell without its quotes and the blanks around it.
func unquoted(s string) string {
	s = strings.TrimSpace(s)
	if n := len(s); n >= 2 && s[0] == '"' && s[n-1] == '"' {
		s = strings.ReplaceAll(strings.TrimSpace(s[1:n-1]), `""`, `"`)
	}
	return s
}
