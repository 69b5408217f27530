package sheet

// This file keeps the rows of a sheet until they are given, one behind the other, in memory and then in a file.

import (
	"encoding/binary"

	"ferrule/engine/spool"
)

// store is the rows of a sheet. A row begins with how many bytes it has, its number, how many bytes the name of its set
// has, its flaw, and whether its set cannot be read.
type store struct {
	spool.Spool
	text []byte // room for what is read
}

const rowHead = 14

// keep puts a row behind all others, and returns its place.
func (s *store) keep(l *line) (at int64) {
	at = s.Len()
	for _, n := range []int{rowHead + len(l.set) + len(l.text), int(l.row), len(l.set)} {
		s.Tail = binary.LittleEndian.AppendUint32(s.Tail, uint32(n))
	}
	s.Tail = append(s.Tail, byte(l.fault), 0)
	if l.noSet {
		s.Tail[len(s.Tail)-1] = 1
	}
	s.Tail = append(append(s.Tail, l.set...), l.text...)
	s.Settle()
	return at
}

// cursor is a place in a store.
type cursor struct {
	at   int64
	text string // from there on, as far as it is here
	page int    // bytes that were read at a time; the more, the more rows were next to each other
}

// to goes to a place.
func (c *cursor) to(at int64) *cursor {
	if c.at != at {
		*c = cursor{at: at}
	}
	return c
}

// next returns the row at a cursor, which goes to the one behind it. One without a number is none.
func (s *store) next(c *cursor) (l line) {
	number := func(at int) int { return int(binary.LittleEndian.Uint32([]byte(c.text[at : at+4]))) }
	size := rowHead
	if len(c.text) >= rowHead {
		size = number(0)
	}
	for len(c.text) < size {
		c.page = min(2*c.page+256, 64<<10)
		s.text = s.Some(s.text[:0], c.at, max(c.page, size))
		if len(s.text) <= len(c.text) {
			return l
		}
		c.text = string(s.text)
		size = max(rowHead, number(0))
	}
	name := rowHead + number(8)
	l.row, l.fault, l.noSet = int32(number(4)), flaw(c.text[12]), c.text[13] > 0
	l.set, l.text = c.text[rowHead:name], c.text[name:size]
	c.text, c.at = c.text[size:], c.at+int64(size)
	return l
}
