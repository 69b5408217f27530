package cells

// This file cuts CSV into rows and cells. Cells are divided by a comma, a semicolon or a tab. A cell that starts with a
// quotation mark goes to the next single one, over line ends too, and holds two for one. Elsewhere the mark is an inch
// mark. A quote without an end costs its own line only.

import (
	"io"
	"math"
	"strings"
	"unicode/utf8"
)

// CSV is a sheet of text. Its rows can wait as text, which Cut cuts.
type CSV struct {
	lines
	Form

	cut Row // the last row
}

// Form says how the rows of CSV are cut.
type Form struct {
	Comma byte // what divides the cells; 0 of what is not CSV
	Width int  // how many cells a row has; 0 where that is not known
}

// NewCSV reads a sheet of text as CSV.
func NewCSV(in io.Reader) *CSV { return &CSV{lines: newLines(in), Form: Form{Comma: ','}} }

// Dividers are what may divide the cells of CSV.
var Dividers = []byte{',', ';', '\t'}

// Ahead returns the next row as comma would divide it, and does not step over it.
func (s *CSV) Ahead(comma byte) *Row {
	ahead := *s
	ahead.Comma, ahead.ended, ahead.cut = comma, true, Row{}
	return ahead.Next()
}

// Next returns the next row that is not blank, with its cells.
func (s *CSV) Next() *Row {
	row := s.NextText()
	if row != nil {
		row.Cells = row.Cells[:0]
		for i, text := range s.Cut(nil, row.Text, row.Flaw, All) {
			row.Cells = append(row.Cells, Cell{Column: i, Text: text})
		}
	}
	return row
}

// NextText returns the next row that is not blank, as text.
func (s *CSV) NextText() *Row {
	for s.record() {
		if s.cut.Flaw != Sound || !s.blank(s.cut.Text) {
			return &s.cut
		}
	}
	return nil
}

// record cuts the next row, blank or not; false at the end. A row with a flaw is its first line.
func (s *CSV) record() bool {
	size, ok := s.peek()
	if !ok {
		return false
	}
	row := &s.cut
	blank := s.Width == 0 && s.blank(s.rest[:size]) // a quote by itself above the headings begins no cell
	if size <= MaxRow && !blank && strings.IndexByte(s.rest[:size], '"') >= 0 {
		row.Text, row.Flaw = s.quotedRow(size)
	} else if row.Text, row.Flaw = s.line(size); row.Flaw != Sound { // what is left of the last cell is not a cell
		row.Text = row.Text[:max(0, strings.LastIndexByte(row.Text, s.Comma))]
	}
	row.Number = s.row
	return true
}

// quotedRow cuts a row that has quotes in its first line, which has size bytes.
func (s *CSV) quotedRow(size int) (string, Flaw) {
	end, cells, f, more := rowEnd(s.rest, s.Comma, s.eol)
	for more && !s.ended && len(s.rest) <= MaxRow {
		s.fill()
		end, cells, f, more = rowEnd(s.rest, s.Comma, s.eol)
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
	return s.take(end), f
}

// rowEnd finds where the first row of b ends, whose quotes may reach over several lines; with more, b ends before the
// row does.
func rowEnd(b string, comma, eol byte) (end, cells int, f Flaw, more bool) {
	for i := 0; ; i = end + 1 {
		cells++
		if end, f, more = cellEnd(b, i, comma, eol); f != Sound || more || b[end] == eol {
			return end, cells, f, more
		}
	}
}

// cellEnd finds where the cell that begins at s[i:] ends: at a comma, at the end of the line or, with more, with s.
func cellEnd(s string, i int, comma, eol byte) (end int, f Flaw, more bool) {
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

// blank reports whether a row has nothing in its cells. Above the headings nobody knows yet what divides them.
func (f Form) blank(row string) bool {
	for i := range len(row) {
		c := row[i]
		divides := c == f.Comma || f.Width == 0 && (c == ',' || c == ';')
		if !divides && c != ' ' && c != '\t' && c != '"' && c != '\r' && c != '\n' {
			return false
		}
	}
	return true
}

// All is for the cells of a row, however many there are.
const All = math.MaxInt

// Cut appends the cells of a row to cells, at most so many, without the empty ones beyond its width. Quotes mean
// nothing in a row that breaks off; it has no cells from the first on that begins with one.
func (f Form) Cut(cells []string, text string, flaw Flaw, most int) []string {
	quotes := strings.IndexByte(text, '"') >= 0
	for n := 0; n < most; n++ {
		end, cell, last := 0, "", false
		if quotes && !flaw.Broken() {
			end, _, last = cellEnd(text, 0, f.Comma, f.Comma)
			cell = unquoted(text[:end])
		} else {
			for end < len(text) && text[end] != f.Comma {
				end++
			}
			last = end == len(text)
			if cell = trim(text[:end]); quotes && strings.HasPrefix(cell, `"`) {
				break
			}
		}
		cells = append(cells, cell)
		if last {
			break
		}
		text = text[end+1:]
	}
	for n := len(cells) - 1; f.Width > 0 && n >= f.Width && cells[n] == ""; n-- {
		cells = cells[:n]
	}
	return cells
}

// Whole reports whether a sound row has as many cells as a row has.
func (f Form) Whole(text string) bool {
	if strings.IndexByte(text, '"') < 0 && strings.Count(text, string(f.Comma)) == f.Width-1 {
		return true
	}
	return len(f.Cut(nil, text, Sound, All)) == f.Width
}

// unquoted is a cell without its quotes and the blanks around it.
func unquoted(s string) string {
	s = trim(s)
	if n := len(s); n >= 2 && s[0] == '"' && s[n-1] == '"' {
		s = strings.ReplaceAll(trim(s[1:n-1]), `""`, `"`)
	}
	return s
}

// trim is strings.TrimSpace, quick where there is nothing to trim.
func trim(s string) string {
	solid := func(c byte) bool { return c > ' ' && c < utf8.RuneSelf }
	if n := len(s); n > 0 && solid(s[0]) && solid(s[n-1]) {
		return s
	}
	return strings.TrimSpace(s)
}
