package sheet

// This file lays the rows of one set together: from anywhere in a small sheet, from
// one run of rows in a large one.

import (
	"hash/maphash"
	"slices"
)

// pending is a set whose rows are being read. While the sheet is gathered they are a chain in
// the Reader's store; when it is streamed they are laid down here.
type pending struct {
	name        string
	first, last int32 // of the chain, counted from 1; 0 where there is none
	buf         []byte
	rows        []rawRow
	back        flaw // why its further rows are refused if the sheet is streamed: comesBack, crowded; else sound
}

// add lays down a row.
func (p *pending) add(text []byte, row int32, f flaw) {
	from := len(p.buf)
	p.buf = append(p.buf, text...)
	p.rows = append(p.rows, rawRow{row: row, from: uint32(from), to: uint32(len(p.buf)), fault: f})
}

// store holds the rows that are gathered, in the order of the sheet. It grows by pieces, since
// to copy what is there again and again would cost more than to read it.
type store struct {
	blocks [][]byte
	pieces [][]stored // of pieceRows rows each
	n      int32      // rows
	chains int        // how many are still to be taken out
}

// row is a row by its number, counted from 1.
func (s *store) row(at int32) *stored { return &s.pieces[(at-1)/pieceRows][(at-1)%pieceRows] }

// stored is a row in a store: its text is blocks[block][from:to].
type stored struct {
	row      int32
	next     int32 // the next row of its set, counted from 1; 0 where it is the last
	block    int32
	from, to uint32
	fault    flaw
}

const (
	blockSize = 256 << 10
	pieceRows = 2048
)

// add puts a row at the end of the chain of a set.
func (s *store) add(p *pending, l line) {
	n := len(s.blocks) - 1
	if n < 0 || len(s.blocks[n])+len(l.text) > cap(s.blocks[n]) {
		s.blocks = append(s.blocks, make([]byte, 0, blockSize))
		n++
	}
	from := len(s.blocks[n])
	s.blocks[n] = append(s.blocks[n], l.text...)
	k := s.n / pieceRows
	if int(k) == len(s.pieces) {
		s.pieces = append(s.pieces, make([]stored, 0, min(pieceRows, 16<<(8*k))))
	}
	s.pieces[k] = append(s.pieces[k], stored{row: int32(l.row), block: int32(n), from: uint32(from), to: uint32(from + len(l.text)), fault: l.fault})
	s.n++
	at := s.n
	if p.first == 0 {
		p.first = at
		s.chains++
	} else {
		s.row(p.last).next = at
	}
	p.last = at
}

// lay takes the chain of a set out of the store and lays its rows down.
func (r *Reader) lay(p *pending) {
	for at := p.first; at > 0; {
		s := *r.store.row(at)
		if s.fault == comesBack && !r.streamed {
			s.fault = sound
		}
		p.add(r.store.blocks[s.block][s.from:s.to], s.row, s.fault)
		at = s.next
	}
	p.first, p.last = 0, 0
	if r.store.chains--; r.store.chains == 0 {
		r.store = store{}
	}
}

// gather reads rows into sets until the sheet is at its end, or turns out to be large.
func (r *Reader) gather() {
	size := 0
	for {
		l, ok := r.source.next()
		if !ok {
			r.finish()
			break
		}
		r.count(l)
		size += len(l.text)
		if l.noSet {
			r.refuse(l)
		} else {
			r.gatherRow(l)
		}
		if r.rowsRead > gatheredRows || size > gatheredBytes {
			r.streamed = true
			break
		}
	}
	if p := r.byName[""]; p != nil && r.sawSet {
		r.outcast(p)
	}
	if !r.streamed {
		r.byName = nil
		return
	}
	r.stream()
	for _, p := range r.queue {
		r.remember(p.name, r.store.row(p.first).row)
	}
	if n := len(r.queue); n > 0 && r.queue[n-1] == r.last && r.last.back == sound {
		r.open = true
		r.lay(r.last)
	}
}

// stream goes on without gathering: from here on a set ends where another begins.
func (r *Reader) stream() {
	r.streamed, r.byName = true, nil
	r.seen = make(map[uint64]struct{})
}

// gatherRow puts a row into its set.
func (r *Reader) gatherRow(l line) {
	p := r.last
	if p == nil || p.name != string(l.set) {
		p = r.byName[string(l.set)]
		if p == nil {
			p = r.newPending(string(l.set))
			r.byName[p.name] = p
		} else {
			p.back = comesBack // which matters only if the sheet is large
		}
		r.last = p
	}
	if l.fault == sound {
		l.fault = p.back
	}
	r.store.add(p, l)
}

// count takes notice of a row.
func (r *Reader) count(l line) {
	r.rowsRead++
	r.sawSet = r.sawSet || len(l.set) > 0
	r.sawLength = r.sawLength || l.length
	r.sawMethod = r.sawMethod || l.method
}

// newPending puts a set at the end of the queue.
func (r *Reader) newPending(name string) *pending {
	p := r.free
	r.free = nil
	if p == nil {
		p = new(pending)
	}
	*p = pending{name: name, buf: p.buf[:0], rows: p.rows[:0]}
	r.queue = append(r.queue, p)
	return p
}

// outcast refuses the rows without a set in a sheet whose other rows have one.
func (r *Reader) outcast(p *pending) {
	r.queue = slices.DeleteFunc(r.queue, func(q *pending) bool { return q == p })
	if r.last == p {
		r.last = nil
	}
	for at := p.first; at > 0; {
		s := *r.store.row(at)
		if s.fault == comesBack {
			s.fault = sound
		}
		r.refuse(line{row: int(s.row), text: r.store.blocks[s.block][s.from:s.to], fault: s.fault})
		at = s.next
	}
}

// finish notes that the source is at its end.
func (r *Reader) finish() {
	r.done = true
	if r.problem = r.source.problem(); r.problem != nil {
		r.problem.File = r.name
	}
}

// remember notes the name of a set, so that it is known when it comes back.
func (r *Reader) remember(name string, row int32) {
	if len(r.seen) < maxSeen {
		r.seen[maphash.String(r.seed, name)] = struct{}{}
	} else if !r.forgetful {
		r.forgetful = true
		r.warn(Warning{Row: int(row),
			Message: "the sheet has more than 500,000 sets; from here on a set that comes back further down is taken for a new one"})
	}
}

func (r *Reader) warn(w Warning) {
	w.File, w.Column = r.name, shown(w.Column)
	r.warnings = append(r.warnings, w)
}

// refuse reads a row whose set cannot be read: it counts for every set.
func (r *Reader) refuse(l line) {
	f := r.parser.loose(r.source.columns(), l)
	f.AnySet = true
	r.refused = append(r.refused, f)
}

// NextRaw returns the next set as raw rows; false where there is none left.
func (r *Reader) NextRaw() (RawSet, bool) {
	for r.streamed && !r.done && (len(r.queue) == 0 || len(r.queue) == 1 && r.open) {
		r.readOn()
	}
	if len(r.queue) == 0 {
		if r.given == len(r.refused) {
			return RawSet{}, false
		}
		return r.raw(&pending{}), true // no set is left to carry them
	}
	p := r.queue[0]
	if r.queue = r.queue[1:]; len(r.queue) == 0 {
		r.queue, r.open = nil, false
	}
	if p.first > 0 {
		if f := r.free; f != nil {
			p.buf, p.rows = f.buf[:0], f.rows[:0]
		}
		r.lay(p)
	}
	raw := r.raw(p)
	r.free = p
	return raw, true
}

// readOn reads the next row of a streamed sheet.
func (r *Reader) readOn() {
	l, ok := r.source.next()
	if !ok {
		r.finish()
		return
	}
	r.count(l)
	if l.noSet || len(l.set) == 0 && r.sawSet {
		r.refuse(l)
		return
	}
	p := r.last
	switch {
	case !r.open || p.name != string(l.set):
		p = r.newPending(string(l.set))
		if _, ok := r.seen[maphash.String(r.seed, p.name)]; ok {
			p.back = comesBack
		} else {
			r.remember(p.name, int32(l.row))
		}
	case p.back == sound && (len(p.rows) >= maxSetRows || len(p.buf) >= maxSetBytes):
		p = r.newPending(p.name)
		p.back = crowded
	case p.back != sound && len(p.rows) >= refusedRun:
		back := p.back
		p = r.newPending(p.name)
		p.back = back
	}
	r.last, r.open = p, true
	if p.back != sound && l.fault == sound {
		l.fault = p.back
	}
	p.add(l.text, int32(l.row), l.fault)
}

// raw makes a RawSet of a pending one, which is free to be used again.
func (r *Reader) raw(p *pending) RawSet {
	if len(r.slab) < len(p.rows) {
		r.slab = make([]rawRow, max(1024, len(p.rows)))
	}
	n := copy(r.slab, p.rows)
	s := RawSet{name: p.name, text: string(p.buf), rows: r.slab[:n:n], head: r.source.columns(), refused: r.refused, fresh: len(r.refused) - r.given}
	r.slab, r.given = r.slab[n:], len(r.refused)
	return s
}
