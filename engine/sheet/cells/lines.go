package cells

// This file reads text line by line, in constant memory.

import (
	"errors"
	"io"
	"strings"
)

// lines is the text of a sheet as it comes in.
type lines struct {
	in     io.Reader
	block  []byte // room for what is read next
	rest   string // what is read and not yet cut
	ended  bool
	failed error
	eol    byte // '\n', or '\r' in a file that has no '\n'
	row    int  // of the line that was cut last
}

// newLines reads the start of the text, steps over its byte order mark and finds out how lines end.
func newLines(in io.Reader) lines {
	s := lines{in: in, block: make([]byte, MaxRow)}
	s.fill()
	s.eol = lineEnd(s.rest)
	s.rest = strings.TrimPrefix(s.rest, byteOrderMark)
	return s
}

const byteOrderMark = "\ufeff"

// lineEnd is the last byte of the lines of a text, found out from its start.
func lineEnd(text string) byte {
	start := text[:min(len(text), MaxRow)]
	if !strings.Contains(start, "\n") && strings.Contains(start, "\r") {
		return '\r'
	}
	return '\n'
}

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

// fill reads another block, or what is left of the text.
func (s *lines) fill() {
	n, empty := 0, 0
	for n < len(s.block) && !s.ended {
		m, err := s.in.Read(s.block[n:])
		n += m
		if empty++; m > 0 {
			empty = 0
		}
		if err == nil && empty > 100 {
			err = io.ErrNoProgress
		}
		s.ended = err != nil
		if err != io.EOF {
			s.failed = err
		}
	}
	var both strings.Builder
	both.Grow(len(s.rest) + n)
	both.WriteString(s.rest)
	both.Write(s.block[:n])
	s.rest = both.String()
}

// peek finds the next line, the first size bytes of what is left, and does not step over it; false if there is none. Of
// a line that is too long only a part is there.
func (s *lines) peek() (size int, ok bool) {
	for ; ; s.fill() {
		if i := strings.IndexByte(s.rest[size:], s.eol); i >= 0 {
			return size + i, true
		}
		if size = len(s.rest); s.ended || size > MaxRow {
			return size, size > 0
		}
	}
}

// line cuts the next line, whose size peek gives, without its end. Of one that is too long it gives the start.
func (s *lines) line(size int) (string, Flaw) {
	if size > MaxRow {
		return s.long(size), TooLong
	}
	return s.take(size), Sound
}

// take cuts a row of size bytes, and steps over its line end.
func (s *lines) take(size int) string {
	text := s.rest[:size]
	s.rest = s.rest[min(size+1, len(s.rest)):]
	s.row++
	return strings.TrimSuffix(text, "\r")
}

// long steps over a row that is too long, of which the first size bytes are here; it returns its start.
func (s *lines) long(size int) string {
	start := s.rest[:MaxRow]
	s.row++
	for s.rest = s.rest[size:]; ; s.fill() {
		if i := strings.IndexByte(s.rest, s.eol); i >= 0 {
			s.rest = s.rest[i+1:]
			return start
		}
		if s.rest = ""; s.ended {
			return start
		}
	}
}
