package sheet

// This file lays the rows of one set together: from anywhere in a small sheet, from one run of rows in a large one. A
// set that is too large to be in hand at once is given in runs of its rows.

import (
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
)

// pending is a set whose rows are being read, or a run of it.
type pending struct {
	name   string
	places []int64  // where the next of its rows are kept
	ended  bool     // no row but these is still to come
	rows   []rawRow // those that are to be given
	size   int      // bytes of these
	back   flaw     // why its further rows are refused: manyRows or tooHeavy; else sound
	run    int      // of a set that is given in runs: which of them, counted from 1; else 0
	heavy  bool     // it is given in runs because of its bytes, not of its rows
	ids    *seen    // of a set that is given in runs: those of its rows so far
}

// is reports whether a row of that set is one of p; of no set none is.
func (p *pending) is(set string) bool {
	return p != nil && (p.name == set || catalogue.Same(p.name, set))
}

// lay lays down rows of a set, as long as there is room: those that are gathered, those that follow them, and those
// that come after another set.
func (r *Reader) lay(p *pending) {
	p.rows = slices.Grow(p.rows, min(len(p.places), r.opts.caps.setRows))
	for r.more(p) && r.room(p) {
		l := r.ahead
		if len(p.places) == 0 {
			r.step()
		} else {
			l, p.places = r.store.next(r.back.to(p.places[0])), p.places[1:]
		}
		if l.fault == setAgain && !r.streamed {
			l.fault = sound
		}
		r.put(p, l.rawRow)
	}
}

// more reports whether a set has a row that is not laid down.
func (r *Reader) more(p *pending) bool {
	if len(p.places) == 0 && !p.ended && (r.ahead.row == 0 || !p.is(r.ahead.set)) {
		if p.ended = true; r.late != nil {
			p.places = r.late[r.seen.hash(p.name)]
		}
	}
	return len(p.places) > 0 || !p.ended
}

// step goes to the next row of a large sheet that is given in its place: neither one of a set that was there before,
// nor one whose set cannot be read.
func (r *Reader) step() {
	for r.ahead = r.store.next(&r.at); r.ahead.row > 0 && (r.ahead.fault == setAgain || r.anySet(&r.ahead)); {
		r.ahead = r.store.next(&r.at)
	}
}

// anySet reports whether the set of a row cannot be read, so that it may be one of any.
func (r *Reader) anySet(l *line) bool { return l.noSet || l.set == "" && r.sawSet }

// kept notes what went wrong with the file that rows are kept in.
func (r *Reader) kept() {
	if err := r.store.Err(); err != nil && r.problem == nil {
		message := "the rows of the sheet cannot be kept aside: " + err.Error()
		r.problem = &Problem{File: r.name, Message: message}
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
	q := &pending{name: p.name, back: p.back, places: p.places, ended: p.ended}
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

// gather reads the sheet to its end and keeps its rows. Of a large one only the first are laid into sets at once.
func (r *Reader) gather() {
	for l, ok := r.next(); ok && r.store.Err() == nil; l, ok = r.next() {
		if r.anySet(&l) {
			r.lost++
			r.store.keep(&l)
		} else {
			r.keep(&l)
		}
		if r.rowsRead == r.opts.caps.gathered+1 {
			r.stream()
		}
	}
	if t := r.source.Trouble(); t != nil {
		r.problem = r.trouble(t)
	}
	if r.sawSet {
		r.queue = slices.DeleteFunc(r.queue, func(p *pending) bool { return p.name == "" })
	}
	r.alone = len(r.queue) == 1 && (r.seen == nil || r.seen.n == 1)
	r.byName, r.last = nil, nil
	r.kept()
	if r.streamed {
		r.step()
	}
}

// stream begins to keep the rows of a large sheet, whose sets end where another begins.
func (r *Reader) stream() {
	r.streamed, r.seen, r.late, r.byName = true, newSeen(), map[uint64][]int64{}, nil
	for _, p := range r.queue {
		r.seen.add(p.name, r.opts.caps.names)
	}
	r.at.to(r.store.Len())
}

// keep finds the set of a row, and keeps the row.
func (r *Reader) keep(l *line) {
	if !r.last.is(l.set) {
		key := catalogue.Key(l.set)
		r.last, r.why = r.byName[key], setAgain // which matters only if the sheet is large
		if r.last == nil {
			r.last = &pending{name: strings.Clone(l.set)}
			r.why = r.begin(strings.Clone(key))
		}
	}
	if l.fault == sound || r.streamed && r.why == setAgain {
		l.fault = r.why
	}
	at := r.store.keep(l)
	switch {
	case !r.streamed:
		r.last.places = append(r.last.places, at)
	case r.why == setAgain:
		key := r.seen.hash(l.set)
		r.late[key] = append(r.late[key], at)
	}
}

// begin takes in the name of another set, and says why its rows are refused.
func (r *Reader) begin(key string) flaw {
	if !r.streamed {
		r.queue = append(r.queue, r.last)
		r.byName[key] = r.last
		return sound
	}
	if names := r.opts.caps.names; !r.seen.add(r.last.name, names) {
		return setAgain
	} else if r.seen.n > names {
		return manySets
	}
	return sound
}

// refuse reads a row whose set cannot be read: it counts for every set.
func (r *Reader) refuse(row rawRow) {
	f := r.parser.withoutSet(r.head, row)
	r.aside.NotRead = append(r.aside.NotRead, badCells("", f.Club, r.parser.unread)...)
	f.AnySet = true
	r.refused = append(r.refused, f)
}

// NextRaw returns the next set as raw rows; false if there is none left.
func (r *Reader) NextRaw() (RawSet, bool) {
	for r.lost > 0 && len(r.refused)-r.given < refusedRun {
		if l := r.store.next(&r.atLost); l.row == 0 {
			r.lost = 0
		} else if r.anySet(&l) {
			r.refuse(l.rawRow)
			r.lost--
		}
	}
	if len(r.queue) == 0 && r.ahead.row > 0 {
		r.queue = append(r.queue, &pending{name: strings.Clone(r.ahead.set), rows: make([]rawRow, 0, 16)})
	}
	switch fresh := len(r.refused) - r.given; {
	case fresh >= refusedRun, fresh > 0 && len(r.queue) == 0: // too many for a set, or no set is left to carry them
		return r.raw(&pending{}), true
	case len(r.queue) == 0:
		r.kept()
		r.store.Close()
		return r.behind()
	}
	p := r.queue[0]
	if r.lay(p); r.more(p) {
		r.queue[0] = r.further(p)
	} else {
		r.queue[0], r.queue = nil, r.queue[1:]
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
