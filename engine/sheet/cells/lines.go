package cells

// This file reads text line by line, in constant memory.

import (
	"bytes"
	"errors"
	"io"
)

// lines is the text of a sheet as it comes in: buf[lo:hi] is read and not yet cut.
type lines struct {
	in     io.Reader
	buf    []byte
	lo, hi int
	ended  bool
	failed error
	eol    byte // '\n', or '\r' in a file that has no '\n'
	row    int  // of the line that was cut last
}

// newLines reads the start of the text, steps over its byte order mark and finds out how lines end.
func newLines(in io.Reader) lines {
	s := lines{in: in, buf: make([]byte, 4*MaxRow), eol: '\n'}
	for !s.ended && s.hi < MaxRow {
		s.fill()
	}
	start := s.buf[:s.hi]
	if bytes.HasPrefix(start, byteOrderMark) {
		s.lo = len(byteOrderMark)
	}
	if bytes.IndexByte(start, '\n') < 0 && bytes.IndexByte(start, '\r') >= 0 {
		s.eol = '\r'
	}
	return s
}

var byteOrderMark = []byte("\ufeff")

// Trouble returns what kept the text from being read to its end; nil where nothing did.
func (s *lines) Trouble() *Trouble {
	if s.failed == nil {
		return nil
	}
	return unreadable(s.row+1, s.failed)
}

// unreadable is the trouble of an error, without the name of its file.
func unreadable(row int, err error) *Trouble {
	if cause := errors.Unwrap(err); cause != nil {
		err = cause
	}
	return &Trouble{Kind: Unreadable, Row: row, Read: err.Error()}
}

// fill reads more, making room for at least MaxRow bytes.
func (s *lines) fill() {
	if s.lo > 0 {
		copy(s.buf, s.buf[s.lo:s.hi])
		s.hi -= s.lo
		s.lo = 0
	}
	for tries := 0; s.hi < len(s.buf); tries++ {
		n, err := s.in.Read(s.buf[s.hi:])
		s.hi += n
		if err == nil && n == 0 && tries == 100 {
			err = io.ErrNoProgress
		}
		if err != nil {
			s.ended = true
			if err != io.EOF {
				s.failed = err
			}
			return
		}
		if n > 0 {
			return
		}
	}
}

// peek finds the next line, buf[lo:lo+size], and does not step over it; false if there is none. Of a line
// that is too long only a part is there.
func (s *lines) peek() (size int, ok bool) {
	from := 0
	for {
		i := bytes.IndexByte(s.buf[s.lo+from:s.hi], s.eol)
		if i >= 0 {
			return from + i, true
		}
		from = s.hi - s.lo
		if s.ended || from > MaxRow {
			return from, from > 0
		}
		s.fill()
	}
}

// line cuts the next line, whose size peek gives, without its end. Of one that is too long it gives the start.
func (s *lines) line(size int) ([]byte, Flaw) {
	if size > MaxRow {
		return s.long(size), TooLong
	}
	text := s.buf[s.lo : s.lo+size]
	s.take(size)
	return trimEOL(text), Sound
}

// take steps over a row of size bytes and its line end.
func (s *lines) take(size int) {
	s.lo = min(s.lo+size+1, s.hi)
	s.row++
}

// long steps over a row that is too long, of which the first size bytes are here; it returns its start.
func (s *lines) long(size int) []byte {
	start := bytes.Clone(s.buf[s.lo : s.lo+MaxRow])
	s.row++
	for s.lo += size; ; s.fill() {
		if i := bytes.IndexByte(s.buf[s.lo:s.hi], s.eol); i >= 0 {
			s.lo += i + 1
			return start
		}
		s.lo = s.hi
		if s.ended {
			return start
		}
	}
}

func trimEOL(b []byte) []byte { return bytes.TrimSuffix(b, []byte{'\r'}) }
