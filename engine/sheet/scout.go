package sheet

// This file looks ahead in a file before it is read, so that a sheet which is too large to be
// gathered is streamed from its first row instead of being gathered for nothing.

import (
	"bytes"
	"io"
)

// scout reports whether the sheet of CSV text in is too large to be gathered, and so clean as far
// as it would be that gathering would show nothing else: every row tells its set or none
// does, no set comes back, and some row names a method if one has a length. It reads in from its start and leaves
// what r reads untouched.
func (r *Reader) scout(in io.ReaderAt) bool {
	ahead, ok := r.csv.Anew(in)
	if !ok {
		return false
	}
	rows, named, length := 0, 0, false
	var last []byte
	sets := newSeen()
	for rows <= r.opts.caps.gathered {
		row := ahead.Next()
		if row == nil {
			return false
		}
		l := r.textLine(ahead, row)
		if l.noSet {
			return false
		}
		rows++
		if len(l.set) > 0 {
			named++
		}
		if rows == 1 || !bytes.Equal(l.set, last) {
			last = append(last[:0], l.set...)
			if !sets.add(last, r.opts.caps.names) {
				return false
			}
		}
		length = length || l.length
		r.sawMethod = r.sawMethod || l.method
	}
	r.sawSet = named > 0
	r.sawLength = length
	return (named == 0 || named == rows) && (r.sawMethod || !length || r.opts.By != "")
}
