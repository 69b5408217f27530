package sheet

// This file cuts CSV into rows. Cells are divided by a comma, a semicolon or a tab; a
// cell that starts with a quotation mark goes to the next single one, over line ends too, and holds two
// for one; elsewhere the mark is an inch mark. A quote without an end costs its own line only.

import (
	"bytes"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// csvSource is the source of a sheet of text with headings.
type csvSource struct {
	lines
	comma   byte // what divides the cells
	head    *head
	reader  *Reader
	lastSet []byte // the last name of a set that was found good
}

func newCSV(r *Reader, in io.Reader) *csvSource { return &csvSource{lines: newLines(in), reader: r} }

func (s *csvSource) columns() *head { return s.head }

// record cuts the next row, blank or not; false at the end. A row with a flaw is its first line.
func (s *csvSource) record() (text []byte, f flaw, ok bool) {
	size, ok := s.peek()
	if !ok || size > maxRow || bytes.IndexByte(s.buf[s.lo:s.lo+size], '"') < 0 {
		return s.line()
	}
	end, cells, f, more := walk(s.buf[s.lo:s.hi], s.comma, s.eol)
	for more && !s.ended && s.hi-s.lo <= maxRow {
		s.fill()
		end, cells, f, more = walk(s.buf[s.lo:s.hi], s.comma, s.eol)
	}
	switch {
	case more && f == sound && s.ended:
		end = s.hi - s.lo
	case more || f == sound && end > maxRow:
		f = unclosed
	case end > size && s.head != nil && cells != len(s.head.columns): // it swallowed rows that are not its own
		f = unclosed
	}
	if f != sound {
		end = size
	}
	text = s.buf[s.lo : s.lo+end]
	s.take(end)
	return trimEOL(text), f, true
}

// walk goes over the first row of b, whose quotes may reach over several lines: end is where its line end stands, more
// that b ends before the row does (with f unclosed inside a quote).
func walk(b []byte, comma, eol byte) (end, cells int, f flaw, more bool) {
	for i := 0; ; i++ {
		cells++
		for i < len(b) && b[i] == ' ' {
			i++
		}
		if i < len(b) && b[i] == '"' {
			for i++; ; i += 2 {
				j := bytes.IndexByte(b[i:], '"')
				if j < 0 {
					return 0, cells, unclosed, true
				}
				if i += j; i+1 >= len(b) || b[i+1] != '"' {
					break
				}
			}
			i++
			for i < len(b) && (b[i] == ' ' || b[i] == '\r' && i+1 < len(b) && b[i+1] == eol) {
				i++
			}
			if i < len(b) && b[i] != comma && b[i] != eol && !(b[i] == '\r' && i+1 == len(b)) {
				return 0, cells, afterward, false
			}
		}
		for i < len(b) && b[i] != comma && b[i] != eol {
			i++
		}
		if i == len(b) {
			return i, cells, sound, true
		}
		if b[i] == eol {
			return i, cells, sound, false
		}
	}
}

// blankRow reports whether the row has nothing in its cells.
func blankRow(b []byte, comma byte) bool {
	for _, c := range b {
		if c != comma && c != ' ' && c != '\t' && c != '"' && c != '\r' && c != '\n' {
			return false
		}
	}
	return true
}

// begin finds what divides the cells and the line ends, and reads the headings.
func (s *csvSource) begin() *Problem {
	file, schema := s.reader.name, s.reader.opts.Schema
	if s.ahead(); s.failed != nil {
		return s.problem()
	}
	for s.lo < s.hi { // rows above the headings may be blank
		size := bytes.IndexByte(s.buf[s.lo:s.hi], s.eol)
		if size < 0 {
			size = s.hi - s.lo
		}
		if !blankRow(bytes.Trim(s.buf[s.lo:s.lo+size], ",;"), ',') {
			break
		}
		s.take(size)
	}
	best, headings, broken := -1, []column(nil), false
	for _, comma := range []byte{',', ';', '\t'} {
		end, _, f, more := walk(s.buf[s.lo:s.hi], comma, s.eol)
		if more && f == sound {
			end = s.hi - s.lo
		} else if f != sound {
			broken = true
			continue
		}
		r := resolver{schema, comma != ','}
		known, columns := 0, []column(nil)
		for _, h := range splitCSV(nil, string(trimEOL(s.buf[s.lo:s.lo+end])), comma, sound) {
			c := r.column(h)
			columns = append(columns, c)
			if c.role != ignored {
				known++
			}
		}
		if known > best || known == best && len(columns) > len(headings) {
			best, headings, s.comma = known, columns, comma
		}
	}
	text, f, ok := s.record()
	switch {
	case !ok:
		return &Problem{Message: "the sheet is empty; expected a row that names the columns, then one club a row"}
	case f == oversize:
		return &Problem{Row: s.row, Message: "the first row is longer than 64 KiB; expected the names of the columns"}
	case f != sound || best <= 0 && broken:
		return &Problem{Row: s.row, Read: shown(string(text)), Message: "a quotation mark in the first row has no end; expected the names of the columns"}
	}
	s.head = newHead(file, headings, schema, s.comma, s.row)
	return nil
}

func (s *csvSource) next() (line, bool) {
	for {
		text, f, ok := s.record()
		if !ok {
			return line{}, false
		}
		if f == sound && blankRow(text, s.comma) {
			continue
		}
		l := line{row: s.row, text: text, fault: f}
		h := s.head
		if f == oversize {
			l.text = text[:max(0, bytes.LastIndexByte(text, s.comma))] // what is left of the last cell is no cell
		}
		if h.set >= 0 {
			l.set, ok = nthCell(l.text, h.set, s.comma, f)
			l.noSet = !ok || h.set > 0 && f == sound && s.width(text) != len(h.columns)
			if !l.noSet && len(l.set) > 0 && !bytes.Equal(l.set, s.lastSet) {
				if unprintable(l.set) {
					l.noSet = true
					l.flaw(oddSetName)
				} else {
					s.lastSet = append(s.lastSet[:0], l.set...)
				}
			}
			if l.noSet {
				l.set = nil
			}
		}
		if !s.reader.sawMethod && h.length >= 0 {
			cell, _ := nthCell(text, h.length, s.comma, f)
			l.length = len(cell) > 0
			if h.by >= 0 {
				cell, _ = nthCell(text, h.by, s.comma, f)
				l.method = len(cell) > 0
			}
		}
		return l, true
	}
}

// width is how many cells a sound row has, without empty ones beyond the headings.
func (s *csvSource) width(text []byte) int {
	n := 1 + bytes.Count(text, []byte{s.comma})
	if n != len(s.head.columns) && bytes.IndexByte(text, '"') >= 0 {
		_, n, _, _ = walk(text, s.comma, s.eol)
	}
	for n > len(s.head.columns) {
		i := bytes.LastIndexByte(text, s.comma)
		if i < 0 || len(bytes.Trim(text[i+1:], " \t\"")) > 0 {
			break
		}
		text = text[:i]
		n--
	}
	return n
}

// nthCell returns a cell of a row, trimmed and without its quotes; false where the row does not reach
// so far, and in a row with a flaw where a quote opens before.
func nthCell(text []byte, n int, comma byte, f flaw) ([]byte, bool) {
	quotes := f == sound && bytes.IndexByte(text, '"') >= 0
	for ; ; n-- {
		end := bytes.IndexByte(text, comma)
		if quotes {
			end = cellEnd(text, comma)
		}
		last := end < 0
		if last {
			end = len(text)
		}
		switch {
		case f != sound && bytes.HasPrefix(bytes.TrimSpace(text[:end]), []byte{'"'}):
			return nil, false
		case n == 0 && quotes:
			cell := bytes.TrimSpace(text[:end])
			if n := len(cell); n >= 2 && cell[0] == '"' && cell[n-1] == '"' {
				cell = cell[1 : n-1]
				if bytes.IndexByte(cell, '"') >= 0 {
					cell = bytes.ReplaceAll(cell, []byte(`""`), []byte(`"`))
				}
			}
			return bytes.TrimSpace(cell), true
		case n == 0:
			return bytes.TrimSpace(text[:end]), true
		case last:
			return nil, false
		}
		text = text[end+1:]
	}
}

// cellEnd is where the first cell of a sound row ends; -1 where it is the last.
func cellEnd[T string | []byte](s T, comma byte) int {
	i := 0
	for i < len(s) && s[i] == ' ' {
		i++
	}
	if i < len(s) && s[i] == '"' {
		for i++; i < len(s); i++ {
			if s[i] != '"' {
				continue
			}
			if i+1 == len(s) || s[i+1] != '"' {
				break
			}
			i++
		}
	}
	for ; i < len(s); i++ {
		if s[i] == comma {
			return i
		}
	}
	return -1
}

// unquoted is a cell without its quotes and the blanks around it.
func unquoted(s string) string {
	s = trimmed(s)
	if n := len(s); n >= 2 && s[0] == '"' && s[n-1] == '"' {
		s = trimmed(s[1 : n-1])
		if strings.IndexByte(s, '"') >= 0 {
			s = strings.ReplaceAll(s, `""`, `"`)
		}
	}
	return s
}

// splitCSV appends the cells of a row to cells.
func splitCSV(cells []string, s string, comma byte, f flaw) []string {
	quotes := f == sound && strings.IndexByte(s, '"') >= 0
	for {
		var i int
		if quotes {
			i = cellEnd(s, comma)
		} else {
			i = strings.IndexByte(s, comma)
		}
		cell := s
		if i >= 0 {
			cell = s[:i]
		}
		if quotes {
			cell = unquoted(cell)
		}
		cells = append(cells, trimmed(cell))
		if i < 0 {
			return cells
		}
		s = s[i+1:]
	}
}

// trimmed is strings.TrimSpace, quick where there is nothing to trim.
func trimmed(s string) string {
	if n := len(s); n == 0 || s[0]-'!' < '~'-'!' && s[n-1]-'!' < '~'-'!' {
		return s
	}
	return strings.TrimSpace(s)
}

// unprintable reports whether b is empty, no text, or holds a character that cannot be printed.
func unprintable(b []byte) bool {
	for i := 0; i < len(b); {
		c, n := rune(b[i]), 1
		if c >= utf8.RuneSelf {
			if c, n = utf8.DecodeRune(b[i:]); c == utf8.RuneError && n == 1 || unicode.Is(unicode.Cf, c) {
				return true
			}
		}
		if unicode.IsControl(c) {
			return true
		}
		i += n
	}
	return len(b) == 0
}
