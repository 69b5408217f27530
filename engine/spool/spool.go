// Package spool keeps text that is written piece by piece and read back by its place: what came last in memory,
// and once there is much of it the rest in a file. It knows nothing of what the text says.
package spool

import "io"

// File is where a Spool puts what it does not keep in memory.
type File interface {
	io.ReaderAt
	io.WriterAt
	io.Closer
}

// Spool is such a text. The zero value is empty, and keeps everything in memory.
type Spool struct {
	Open func() (File, error) // opens the file when it is needed; nil for none
	Most int                  // bytes that are kept in memory where there may be a file
	Tail []byte               // what came last. The caller appends to it, and calls Settle when a piece is complete

	file File
	base int64 // bytes before the tail
	err  error
}

// Len is how many bytes the text has.
func (s *Spool) Len() int64 { return s.base + int64(len(s.Tail)) }

// Settle puts the tail into the file, where it is large.
func (s *Spool) Settle() {
	if s.Open == nil || len(s.Tail) < s.Most || s.err != nil {
		return
	}
	if s.file == nil {
		if s.file, s.err = s.Open(); s.err != nil {
			return
		}
	}
	_, s.err = s.file.WriteAt(s.Tail, s.base)
	s.base += int64(len(s.Tail))
	s.Tail = s.Tail[:0]
}

// Piece appends to dst a piece of n bytes from a place on, one that was complete when Settle was called.
func (s *Spool) Piece(dst []byte, at int64, n int) []byte {
	if at >= s.base {
		return append(dst, s.Tail[at-s.base:][:n]...)
	}
	from := len(dst)
	dst = append(dst, make([]byte, n)...)
	if s.err == nil {
		_, s.err = s.file.ReadAt(dst[from:], at)
	}
	return dst
}

// Some appends to dst up to n bytes from the start of a piece on: all of that piece, where n is enough for it.
func (s *Spool) Some(dst []byte, at int64, n int) []byte {
	end := s.Len()
	if at < s.base {
		end = s.base
	}
	return s.Piece(dst, at, int(min(int64(n), end-at)))
}

// Err returns what went wrong with the file, if anything did. The pieces that were read since may be nonsense.
func (s *Spool) Err() error { return s.err }

// Reset empties the text and keeps its memory and its file.
func (s *Spool) Reset() { s.Tail, s.base = s.Tail[:0], 0 }

// Close closes the file. The text is lost, and the Spool is empty.
func (s *Spool) Close() {
	if s.file != nil {
		s.file.Close()
	}
	*s = Spool{Open: s.Open, Most: s.Most}
}
