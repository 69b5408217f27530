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

// csvSource is the source of a sheet of text.
type csvSource struct {
	in      io.Reader
	buf     []byte // buf[lo:hi] is read and not yet cut
	lo, hi  int
	ended   bool
	failed  error
	eol     byte // '\n', or '\r' in a file that has no '\n'
	comma   byte // what divides the cells
	row     int
	head    *head
	reader  *Reader
	lastSet []byte // the last name of a set that was found good
}

func newCSV(r *Reader, in io.Reader) *csvSource {
	return &csvSource{in: in, buf: make([]byte, 4*maxRow), eol: '\n', reader: r}
}

// fill reads more, making room for at least maxRow bytes.
func (s *csvSource) fill() {
	if s.lo > 0 {
		copy(s.buf, s.buf[s.lo:s.hi])
		s.hi -= s.lo
		s.lo = 0
	}
	for tries := 0; s.hi < len(s.buf); tries++ {
		n, err := s.in.Read(s.buf[s.hi:])
		s.hi += n
		if err != nil || tries == 100 {
			s.ended = true
			if err != io.EOF {
				s.failed = err
				if err == nil {
					s.failed = io.ErrNoProgress
				}
			}
			return
		}
		if n > 0 {
			return
		}
	}
}

func (s *csvSource) columns() *head { return s.head }

func (s *csvSource) problem() *Problem { return readProblem(s.failed, s.row) }

// record cuts the next row, blank or not; false at the end. A row with a flaw is its first line.
func (s *csvSource) record() (text []byte, f flaw, ok bool) {
	from := 0
	for {
		i := bytes.IndexByte(s.buf[s.lo+from:s.hi], s.eol)
		size := s.hi - s.lo
		switch {
		case i >= 0:
			size = from + i
		case s.ended && size == 0:
			return nil, 0, false
		case !s.ended && size <= maxRow:
			from = size
			s.fill()
			continue
		}
		if size > maxRow {
			return s.long(size), oversize, true
		}
		text = s.buf[s.lo : s.lo+size]
		if bytes.IndexByte(text, '"') < 0 {
			s.take(size)
			return trimEOL(text), sound, true
		}
		end, cells, f, more := walk(s.buf[s.lo:s.hi], s.comma, s.eol)
		if more && !s.ended && s.hi-s.lo <= maxRow {
			from = 0
			s.fill()
			continue
		}
		switch {
		case more && s.ended && f == sound:
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
}

// take steps over a row of size bytes and its line end.
func (s *csvSource) take(size int) {
	s.lo = min(s.lo+size+1, s.hi)
	s.row++
}

// long steps over a row that is too long, of which the first size bytes are here; it returns its start.
func (s *csvSource) long(size int) []byte {
	start := bytes.Clone(s.buf[s.lo : s.lo+maxRow])
	s.row++
	for s.lo += size; ; s.lo = s.hi {
		if i := bytes.IndexByte(s.buf[s.lo:s.hi], s.eol); i >= 0 {
			s.lo += i + 1
			return start
		}
		if s.ended {
			s.lo = s.hi
			return start
		}
		s.lo = s.hi
		s.fill()
	}
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

func trimEOL(b []byte) []byte {
	if n := len(b); n > 0 && b[n-1] == '\r' {
		return b[:n-1]
	}
	return b
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
	file, schema := s.reader.file, s.reader.opts.Schema
	for !s.ended && s.hi < maxRow {
		s.fill()
	}
	if s.failed != nil {
		return s.problem()
	}
	if bytes.HasPrefix(s.buf[:s.hi], []byte("\ufeff")) {
		s.lo = len("\ufeff")
	}
	if bytes.IndexByte(s.buf[:s.hi], '\n') < 0 && bytes.IndexByte(s.buf[:s.hi], '\r') >= 0 {
		s.eol = '\r'
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
	best, headings := -1, []column(nil)
	for _, comma := range []byte{',', ';', '\t'} {
		end, _, f, more := walk(s.buf[s.lo:s.hi], comma, s.eol)
		if more && f == sound {
			end = s.hi - s.lo
		} else if f != sound {
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
	case f != sound || headings == nil:
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
		if h.set >= 0 {
			l.set, ok = nthCell(text, h.set, s.comma, f)
			if !ok || f == oversize && len(l.set)+1 >= len(text) {
				l.set, l.noSet = nil, true
			} else if !bytes.Equal(l.set, s.lastSet) {
				if l.noSet = unprintable(l.set); !l.noSet {
					s.lastSet = append(s.lastSet[:0], l.set...)
				}
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

// nthCell returns a cell of a row, trimmed and without its quotes; false where the row does not reach
// so far. In a row with a flaw, quotes are text.
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
