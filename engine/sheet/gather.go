package sheet

// This file lays the rows of one set together: from anywhere in a small sheet, from
// one run of rows in a large one.

import "hash/maphash"

// pending is a set whose rows are being read.
type pending struct {
	name string
	buf  []byte
	rows []rawRow
	back flaw // why every further row is refused if the sheet is streamed, comesBack or crowded; else sound
}

// add lays a row into its set.
func (p *pending) add(l line) {
	from := len(p.buf)
	p.buf = append(p.buf, l.text...)
	p.rows = append(p.rows, rawRow{row: int32(l.row), from: uint32(from), to: uint32(len(p.buf)), fault: l.fault})
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
			p := r.byName[string(l.set)]
			if p == nil {
				p = r.newPending(string(l.set))
				r.byName[p.name] = p
			}
			if p != r.last && len(p.rows) > 0 {
				p.back = comesBack // which matters only if the sheet is large
			}
			if l.fault == sound {
				l.fault = p.back
			}
			p.add(l)
			r.last = p
		}
		if r.rowsRead > gatheredRows || size > gatheredBytes {
			r.streamed = true
			break
		}
	}
	if p := r.byName[""]; p != nil && r.sawSet {
		r.outcast(p)
	}
	r.byName = nil
	if r.streamed {
		r.seen = make(map[uint64]struct{})
		for _, p := range r.queue {
			r.remember(p.name, p.rows[0].row)
		}
		if n := len(r.queue); n > 0 {
			r.open = r.queue[n-1] == r.last && r.last.back == sound
		}
		return
	}
	for _, p := range r.queue {
		for i := range p.rows {
			if p.rows[i].fault == comesBack {
				p.rows[i].fault = sound
			}
		}
	}
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
	for _, row := range p.rows {
		if row.fault == comesBack {
			row.fault = sound
		}
		r.refuse(line{row: int(row.row), text: p.buf[row.from:row.to], fault: row.fault})
	}
	for i, q := range r.queue {
		if q == p {
			r.queue = append(r.queue[:i], r.queue[i+1:]...)
			break
		}
	}
	if r.last == p {
		r.last = nil
	}
}

// finish notes that the source is at its end.
func (r *Reader) finish() {
	r.done = true
	if r.problem = r.source.problem(); r.problem != nil {
		r.problem.File = r.file
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
	w.File, w.Column = r.file, shown(w.Column)
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
	raw := r.raw(p)
	if r.streamed {
		r.free = p
	}
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
	p.add(l)
}

// raw makes a RawSet of a pending one, which is free to be used again.
func (r *Reader) raw(p *pending) RawSet {
	if len(r.slab) < len(p.rows) {
		r.slab = make([]rawRow, max(1024, len(p.rows)))
	}
	n := copy(r.slab, p.rows)
	s := RawSet{name: p.name, text: string(p.buf), rows: r.slab[:n:n], head: r.source.columns(), refused: r.refused, fresh: len(r.refused) - r.given}
	r.slab, r.given = r.slab[n:], len(r.refused)
	if !r.streamed {
		p.buf = nil
	}
	return s
}
