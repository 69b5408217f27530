package sheet

// This file lays the rows of one set together: from anywhere in a small sheet, from one run of rows in a large one. A
// set that is too large to be in hand at once is given in runs of its rows.

import (
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/spool"
	"ferrule/lang/catalogue"
)

// pending is a set whose rows are being read, or a run of it.
type pending struct {
	name    string
	waiting []waiting // its rows, as long as the sheet is gathered
	rows    []rawRow  // those that are to be given
	size    int       // bytes of these
	back    flaw      // why its further rows are refused: setAgain, manySets, manyRows or tooHeavy; else sound
	run     int       // of a set that is given in runs: which of them, counted from 1; else 0
	heavy   bool      // it is given in runs because of its bytes, not of its rows
	ids     *seen     // of a set that is given in runs: those of its rows so far
}

// waiting is a row that is gathered.
type waiting struct {
	rawRow
	at   int64 // of its text in the store
	size int   // and how many bytes it has there; 0 where it is here
}

// store has the texts of gathered rows for which there is no room in memory.
type store struct {
	spool.Spool
	held  int    // bytes of rows in memory
	taken int64  // bytes of the texts that were taken out again
	text  []byte // of the row in hand
}

// add puts a row behind the others of its set.
func (s *store) add(p *pending, row rawRow) {
	w := waiting{rawRow: row}
	if s.held += len(row.text); s.Open != nil && s.held > s.Most {
		w.at, w.size, w.text = s.Len(), len(row.text), ""
		s.Tail = append(s.Tail, row.text...)
		s.Settle()
	}
	p.waiting = append(p.waiting, w)
}

// take returns the first waiting row of a set.
func (s *store) take(p *pending) rawRow {
	w := p.waiting[0]
	if p.waiting = p.waiting[1:]; w.size > 0 {
		s.text = s.Piece(s.text[:0], w.at, w.size)
		s.taken += int64(w.size)
		w.text = string(s.text)
	}
	return w.rawRow
}

// lay takes rows of a set out of the store, as long as there is room.
func (r *Reader) lay(p *pending) {
	p.rows = slices.Grow(p.rows, min(len(p.waiting), r.opts.caps.setRows))
	for len(p.waiting) > 0 && r.room(p) {
		row := r.store.take(p)
		if row.fault == setAgain && !r.streamed {
			row.fault = sound
		}
		r.put(p, row)
	}
	if r.store.Len() > 0 && r.store.taken == r.store.Len() {
		r.kept()
		r.store.Close()
		r.store = store{Spool: r.store.Spool}
	}
}

// kept notes what went wrong with the file that rows are kept in.
func (r *Reader) kept() {
	if err := r.store.Err(); err != nil && r.problem == nil {
		message := "the rows of the sheet cannot be kept aside: " + err.Error()
		r.done, r.problem = true, &Problem{File: r.name, Message: message}
	}
}

// room reports whether a set, or the run of it in hand, has room for another row.
func (r *Reader) room(p *pending) bool {
	c := &r.opts.caps
	switch {
	case p.back != sound:
		return len(p.rows) < refusedRun
	case p.run > 1:
		return len(p.rows) < c.runRows && p.size < c.runBytes
	}
	return len(p.rows) < c.setRows && p.size < c.setBytes
}

// further returns what takes the further rows of a set, or of a run of it, that has no room.
func (r *Reader) further(p *pending) *pending {
	q := &pending{name: p.name, back: p.back, waiting: p.waiting}
	p.waiting = nil
	heavy := len(p.rows) < r.opts.caps.setRows
	switch {
	case p.back != sound:
		return q
	case !r.opts.Runs && heavy:
		q.back = tooHeavy
		return q
	case !r.opts.Runs:
		q.back = manyRows
		return q
	case p.run == 0:
		p.run, p.heavy, p.ids = 1, heavy, newSeen()
		for i, row := range p.rows {
			p.rows[i].fault = r.apart(p, row)
		}
	}
	q.run, q.heavy, q.ids = p.run+1, p.heavy, p.ids
	return q
}

// put lays down a row of a set.
func (r *Reader) put(p *pending, row rawRow) {
	if row.fault == sound {
		row.fault = p.back
	}
	if p.run > 0 {
		row.fault = r.apart(p, row)
	}
	p.rows = append(p.rows, row)
	p.size += len(row.text)
}

// apart is what is wrong with a row of a set that is given in runs, whose other rows are not at hand: it cannot be a
// setting of a club, nor have an id that was there already.
func (r *Reader) apart(p *pending, row rawRow) flaw {
	h, f := r.head, row.fault
	if h.find(settingColumn) >= 0 && f == sound {
		f = setting
	}
	at := h.find(idColumn)
	if at < 0 {
		return f
	}
	if r.parser.unpack(h, row); r.parser.cells[at] == "" {
		return f
	}
	switch fresh := p.ids.add(r.parser.cells[at], r.opts.caps.names); {
	case f != sound:
		return f
	case !fresh:
		return twice
	case p.ids.n > r.opts.caps.names:
		return manyIDs
	}
	return sound
}

// gather reads rows into sets until the sheet is at its end, or turns out to be large.
func (r *Reader) gather() {
	for {
		l, ok := r.next()
		if !ok {
			r.finish()
			break
		}
		if l.noSet {
			r.refuse(l.rawRow)
		} else {
			r.gatherRow(l)
		}
		if r.rowsRead > r.opts.caps.gathered {
			r.streamed = true
			break
		}
	}
	if p := r.byName[""]; p != nil && r.sawSet {
		r.refuseUnnamed(p)
	}
	r.kept()
	r.open = r.streamed && r.last != nil && r.last.back == sound
	for _, p := range r.queue {
		p.back = sound // its rows know what is wrong with them
	}
	if r.byName = nil; !r.streamed {
		r.alone = len(r.queue) == 1
		return
	}
	r.stream()
	for _, p := range r.queue {
		r.seen.add(p.name, r.opts.caps.names)
	}
	if r.open = r.open && len(r.queue) > 0 && r.queue[len(r.queue)-1] == r.last; r.open {
		for r.lay(r.last); len(r.last.waiting) > 0; r.lay(r.last) {
			r.last = r.further(r.last)
			r.queue = append(r.queue, r.last)
		}
	}
}

// another returns an empty set, with room for as many rows as the one before.
func another(before *pending, name string) *pending {
	const most = 64
	p := &pending{name: strings.Clone(name)}
	if before != nil {
		p.rows = make([]rawRow, 0, min(len(before.rows), most))
	}
	return p
}

// stream goes on without gathering: from here on a set ends where another begins.
func (r *Reader) stream() { r.streamed, r.seen = true, newSeen() }

// gatherRow puts a row into its set.
func (r *Reader) gatherRow(l line) {
	p := r.last
	if p == nil || p.name != l.set {
		name := strings.Clone(l.set)
		key := catalogue.Key(name)
		p = r.byName[key]
		if p == nil {
			p = &pending{name: name}
			r.queue = append(r.queue, p)
			r.byName[key] = p
		} else if p != r.last {
			p.back = setAgain // which matters only if the sheet is large
		}
		r.last = p
	}
	if l.fault == sound {
		l.fault = p.back
	}
	r.store.add(p, l.rawRow)
}

// refuseUnnamed refuses the rows without a set in a sheet whose other rows have one.
func (r *Reader) refuseUnnamed(p *pending) {
	r.queue = slices.DeleteFunc(r.queue, func(q *pending) bool { return q == p })
	if r.last == p {
		r.last = nil
	}
	for len(p.waiting) > 0 {
		row := r.store.take(p)
		if row.fault == setAgain {
			row.fault = sound
		}
		r.refuse(row)
	}
}

// finish notes that the source is at its end.
func (r *Reader) finish() {
	r.done = true
	if t := r.source.Trouble(); t != nil {
		r.problem = r.trouble(t)
	}
}

// refuse reads a row whose set cannot be read: it counts for every set.
func (r *Reader) refuse(row rawRow) {
	f := r.parser.withoutSet(r.head, row)
	r.aside.NotRead = append(r.aside.NotRead, r.parser.notRead(r.head, "", f.Club)...)
	f.AnySet = true
	r.refused = append(r.refused, f)
}

// NextRaw returns the next set as raw rows; false if there is none left.
func (r *Reader) NextRaw() (RawSet, bool) {
	for r.streamed && !r.done && len(r.refused)-r.given < refusedRun {
		if whole := len(r.queue); whole > 1 || whole == 1 && !r.open {
			break
		}
		r.readOn()
	}
	switch fresh := len(r.refused) - r.given; {
	case fresh >= refusedRun, fresh > 0 && len(r.queue) == 0: // too many for a set, or no set is left to carry them
		return r.raw(&pending{}), true
	case len(r.queue) == 0:
		return r.behind()
	}
	p := r.queue[0]
	if r.lay(p); len(p.waiting) > 0 {
		r.queue[0] = r.further(p)
	} else if r.queue = r.queue[1:]; len(r.queue) == 0 {
		r.queue, r.open = nil, false
	}
	return r.raw(p), true
}

// behind returns the next set of the order that was on no sheet, behind the sets of the last one; false if there is
// none.
func (r *Reader) behind() (RawSet, bool) {
	if r.opts.Order != nil && r.opts.Last && !r.ended {
		r.ended, r.rest = true, r.opts.Order.rest(r.aside, r.problem == nil)
	}
	if len(r.rest) == 0 {
		return RawSet{}, false
	}
	s := r.rest[0]
	r.rest = r.rest[1:]
	return s, true
}

// readOn reads the next row of a streamed sheet.
func (r *Reader) readOn() {
	l, ok := r.next()
	if !ok {
		r.finish()
		return
	}
	if l.noSet || len(l.set) == 0 && r.sawSet {
		r.refuse(l.rawRow)
		return
	}
	p := r.last
	switch {
	case !r.open || p.name != l.set && !catalogue.Same(p.name, l.set):
		p = another(p, l.set)
		if !r.seen.add(l.set, r.opts.caps.names) {
			p.back = setAgain
		} else if r.seen.n > r.opts.caps.names {
			p.back = manySets
		}
	case !r.room(p):
		p = r.further(p)
	}
	if n := len(r.queue); n == 0 || r.queue[n-1] != p {
		r.queue = append(r.queue, p)
	}
	r.last, r.open = p, true
	r.put(p, l.rawRow)
}

// raw makes a RawSet of a pending one.
func (r *Reader) raw(p *pending) RawSet {
	fresh := min(len(r.refused)-r.given, refusedRun)
	r.given += fresh
	s := RawSet{name: p.name, rows: p.rows, size: p.size, head: r.head, refused: r.refused[:r.given], fresh: fresh,
		aside: r.aside, run: p.run, heavy: p.heavy}
	r.aside = club.Aside{}
	if o := r.opts.Order; o != nil && len(p.rows) > 0 && p.back == sound { // further rows of a set are refused
		s.ordered = o.of(p.name, r.alone)
		s.aside.Order.File = o.File
	}
	if r.given == len(r.refused) && r.given > mostAgain+1 { // it only matters now that there are more than mostAgain
		r.refused, r.given = slices.Clone(r.refused[:mostAgain+1]), mostAgain+1
	}
	return s
}
