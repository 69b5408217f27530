package sheet

// This file lays the rows of one set together: from anywhere in a small sheet, from one run of rows in a large one. A set
// that is too large to be in hand at once is given in runs of its rows.

import (
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/spool"
	"ferrule/lang/catalogue"
)

// pending is a set whose rows are being read, or a run of it. While the sheet is gathered they are a chain in the
// Reader's store; when it is streamed they are laid down here.
type pending struct {
	name        string
	first, last int32 // of the chain, counted from 1; 0 if there is none
	text        strings.Builder
	rows        []rawRow
	back        flaw       // why its further rows are refused: setAgain, manySets, manyRows or tooHeavy; else sound
	run         int        // of a set that is given in runs: which of them, counted from 1; else 0
	heavy       bool       // it is given in runs because of its bytes, not of its rows
	ids         *seen      // of a set that is given in runs: those of its rows so far
	ordered     *ordered   // of a set of the order that was on no sheet
	beside      club.Aside // and what goes with it
}

// add lays down a row.
func (p *pending) add(text []byte, row int32, f flaw) {
	from := p.text.Len()
	p.text.Write(text)
	p.rows = append(p.rows, rawRow{row: row, from: uint32(from), to: uint32(p.text.Len()), fault: f})
}

// store holds the rows that are gathered, in the order of the sheet.
type store struct {
	spool.Spool
	rows   []stored
	chains int    // how many are still to be taken out
	text   []byte // of the row in hand
}

// row is a row by its number, counted from 1.
func (s *store) row(at int32) *stored { return &s.rows[at-1] }

// textOf is the text of a row, valid until that of the next one is asked for.
func (s *store) textOf(row *stored) []byte {
	s.text = s.Piece(s.text[:0], row.at, int(row.size))
	return s.text
}

// stored is a row in a store, whose text is in it at a place.
type stored struct {
	row   int32
	next  int32 // the next row of its set, counted from 1; 0 where it is the last
	at    int64
	size  uint32
	fault flaw
}

// add puts a row at the end of the chain of a set.
func (s *store) add(p *pending, l line) {
	s.rows = append(s.rows, stored{row: int32(l.row), at: s.Len(), size: uint32(len(l.text)), fault: l.fault})
	s.Tail = append(s.Tail, l.text...)
	s.Settle()
	at := int32(len(s.rows))
	if p.first == 0 {
		p.first = at
		s.chains++
	} else {
		s.row(p.last).next = at
	}
	p.last = at
}

// lay takes rows of a set out of the store and lays them down, as long as there is room.
func (r *Reader) lay(p *pending) {
	for p.first > 0 && r.room(p) {
		s := r.store.row(p.first)
		f := s.fault
		if f == setAgain && !r.streamed {
			f = sound
		}
		r.put(p, r.store.textOf(s), s.row, f)
		p.first = s.next
	}
	if p.first > 0 {
		return
	}
	p.last = 0
	if r.store.chains--; r.store.chains == 0 {
		r.kept()
		r.store.Close()
		r.store = store{Spool: r.store.Spool}
	}
}

// kept notes what went wrong with the file that rows are kept in.
func (r *Reader) kept() {
	if err := r.store.Err(); err != nil && r.problem == nil {
		r.done, r.problem = true, &Problem{File: r.name, Message: "the rows of the sheet cannot be kept aside: " + err.Error()}
	}
}

// room reports whether a set, or the run of it in hand, has room for another row.
func (r *Reader) room(p *pending) bool {
	c := &r.opts.caps
	switch {
	case p.back != sound:
		return len(p.rows) < refusedRun
	case p.run > 1:
		return len(p.rows) < c.runRows && p.text.Len() < c.runBytes
	}
	return len(p.rows) < c.setRows && p.text.Len() < c.setBytes
}

// further returns what takes the further rows of a set, or of a run of it, that has no room.
func (r *Reader) further(p *pending) *pending {
	q := &pending{name: p.name, back: p.back, first: p.first, last: p.last}
	p.first, p.last = 0, 0
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
		for i := range p.rows {
			row := &p.rows[i]
			row.fault = r.apart(p, p.text.String()[row.from:row.to], row.fault)
		}
	}
	q.run, q.heavy, q.ids = p.run+1, p.heavy, p.ids
	return q
}

// put lays down a row of a set.
func (r *Reader) put(p *pending, text []byte, row int32, f flaw) {
	if f == sound {
		f = p.back
	}
	if p.run > 0 {
		f = r.apart(p, string(text), f)
	}
	p.add(text, row, f)
}

// apart is what is wrong with a row of a set that is given in runs, whose other rows are not at hand: it cannot be a
// setting of a club, nor have an id that was there already.
func (r *Reader) apart(p *pending, text string, f flaw) flaw {
	h := r.head
	if h.find(settingColumn) >= 0 && f == sound {
		f = setting
	}
	at := h.find(idColumn)
	if at < 0 {
		return f
	}
	if r.parser.unpack(h, text, f); r.parser.cells[at] == "" {
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
		r.count(l)
		if l.noSet {
			r.refuse(l)
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
		for r.lay(r.last); r.last.first > 0; r.lay(r.last) {
			r.last = r.further(r.last)
			r.queue = append(r.queue, r.last)
		}
	}
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
	r.store.add(p, l)
}

// count takes notice of a row.
func (r *Reader) count(l line) {
	r.rowsRead++
	r.sawSet = r.sawSet || len(l.set) > 0
	r.sawLength = r.sawLength || l.length
	r.sawMethod = r.sawMethod || l.method
}

// refuseUnnamed refuses the rows without a set in a sheet whose other rows have one.
func (r *Reader) refuseUnnamed(p *pending) {
	r.queue = slices.DeleteFunc(r.queue, func(q *pending) bool { return q == p })
	if r.last == p {
		r.last = nil
	}
	for at := p.first; at > 0; {
		s := *r.store.row(at)
		if s.fault == setAgain {
			s.fault = sound
		}
		r.refuse(line{row: int(s.row), text: r.store.textOf(&s), fault: s.fault})
		at = s.next
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
func (r *Reader) refuse(l line) {
	f := r.parser.withoutSet(r.head, l)
	r.aside.NotRead = append(r.aside.NotRead, r.parser.notRead(r.head, "", f.Club)...)
	f.AnySet = true
	r.refused = append(r.refused, f)
}

// NextRaw returns the next set as raw rows; false if there is none left.
func (r *Reader) NextRaw() (RawSet, bool) {
	for r.streamed && !r.done && len(r.refused)-r.given < refusedRun && (len(r.queue) == 0 || len(r.queue) == 1 && r.open) {
		r.readOn()
	}
	switch fresh := len(r.refused) - r.given; {
	case fresh >= refusedRun, fresh > 0 && len(r.queue) == 0: // too many to go with a set, or no set is left to carry them
		return r.raw(&pending{}), true
	case len(r.queue) == 0 && r.opts.Order != nil && r.opts.Last && !r.ended:
		r.ended, r.queue = true, r.opts.Order.rest(r.problem == nil)
	case len(r.queue) == 0:
		return RawSet{}, false
	}
	p := r.queue[0]
	if p.first > 0 {
		r.lay(p)
	}
	if p.first > 0 {
		r.queue[0] = r.further(p)
	} else if r.queue = r.queue[1:]; len(r.queue) == 0 {
		r.queue, r.open = nil, false
	}
	return r.raw(p), true
}

// readOn reads the next row of a streamed sheet.
func (r *Reader) readOn() {
	l, ok := r.next()
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
	case !r.open || p.name != l.set && !catalogue.Same(p.name, l.set):
		p = &pending{name: strings.Clone(l.set)}
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
	r.put(p, l.text, int32(l.row), l.fault)
}

// raw makes a RawSet of a pending one.
func (r *Reader) raw(p *pending) RawSet {
	fresh := min(len(r.refused)-r.given, refusedRun)
	r.given += fresh
	s := RawSet{name: p.name, text: p.text.String(), rows: p.rows, head: r.head, refused: r.refused[:r.given], fresh: fresh,
		aside: r.aside, run: p.run, heavy: p.heavy}
	r.aside = club.Aside{}
	if o := r.opts.Order; o != nil && p.ordered != nil {
		s.ordered, s.head, s.refused = p.ordered, &head{sheet: o.sheet}, nil
		s.aside.Add(p.beside)
		s.aside.Order.File = o.File
	} else if o != nil && len(p.rows) > 0 && p.back == sound { // further rows of a set are refused
		s.ordered = o.of(p.name, r.alone)
		s.aside.Order.File = o.File
	}
	if r.given == len(r.refused) && r.given > mostAgain+1 { // it only matters now that there are more than mostAgain
		r.refused, r.given = slices.Clone(r.refused[:mostAgain+1]), mostAgain+1
	}
	return s
}
