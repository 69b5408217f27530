package report

// This file holds what is said of sets until it is written: piece by piece as they are judged, and for the reports that
// put the verdict of the whole first section by section until the end. What there is much of waits in a file.

import (
	"cmp"
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/spool"
)

// section is what a piece of a report is about. A set gives its sections in this order.
type section uint8

const (
	secBag       section = iota // the heading of the set
	secOtherClub                // and of what it and its order differ in, as the mismatches of those
	secNotOnSheet
	secNotOrdered
	secFails // results by their verdicts, in the order of those
	secTooClose
	secUnmeasured
	secPasses
	secExempt
	secConflicts
	secDoubtful // and on: by the kind of a remark
	secRefused
	secOrderRefused
	secNotRead
	secUnused
	secAdviceFails
	secAdviceTooClose
	secAdviceUnmeasured
	secShown // what passes, one by one
	secRest  // all that passes, on a line
	secCharts
	secLengths // how lengths were taken
	sections
)

// byVerdict is the section of a verdict.
func byVerdict(v decide.Verdict) section { return secFails + section(v-decide.Fail) }

// sectionOf is the section of a result that does not pass, advice apart; of one that does it is secPasses.
func sectionOf(r *judge.Result) section {
	switch {
	case r.Verdict >= decide.Pass:
		return secPasses
	case r.Rule.Decl.Advice:
		return secAdviceFails + section(r.Verdict-decide.Fail)
	}
	return byVerdict(r.Verdict)
}

// Sheaf takes what a Writer says of sets, one after the other. It is for one goroutine at a time.
type Sheaf struct {
	spool.Spool
	pieces []piece
	mark   int64 // where the piece in hand begins
	first  int   // the first piece of the set in hand
	bag    *club.Set
	facts  bagFacts
	counts counts
}

// piece is something that is said of a set: text, or a remark, which is drawn when it is written.
type piece struct {
	at     int64
	size   uint32
	row    int32
	to     section
	kind   uint8
	remark *data.Remark
}

// remarks writes remarks. A mend that serves a whole column of a sheet is told with the first of them.
type remarks struct {
	draw func(dst []byte, m data.Remark) []byte
	told map[[2]string]bool // by sheet and column
}

func (w *remarks) append(dst []byte, m data.Remark) []byte {
	if column := [2]string{m.Row.File, m.Column}; m.Heading && m.Hint != "" {
		if w.told[column] {
			m.Hint = ""
		} else if w.told == nil {
			w.told = map[[2]string]bool{}
		}
		w.told[column] = true
	}
	return w.draw(dst, m)
}

const (
	sheafKept    = 2 << 20  // bytes of a Sheaf in memory
	documentKept = 4 << 20  // bytes of a document in memory
	runKept      = 64 << 10 // and about so many of it at once, when it is written
)

// NewSheaf returns an empty Sheaf. What is much goes to a file that open opens; nil: all stays in memory.
func NewSheaf(open func() (spool.File, error)) *Sheaf {
	return &Sheaf{Spool: spool.Spool{Open: open, Most: sheafKept}}
}

// Reset empties the Sheaf for other sets.
func (s *Sheaf) Reset() {
	s.Spool.Reset()
	s.pieces, s.mark, s.counts = s.pieces[:0], 0, counts{}
}

// Begin takes a set in hand, of which the Writer is then to be told.
func (s *Sheaf) Begin(bag *club.Set) {
	s.bag, s.first, s.facts = bag, len(s.pieces), bagFacts{}
}

// take takes text, what was in the tail before with something appended, as a piece; nothing where nothing was.
func (s *Sheaf) take(text []byte, to section) {
	if len(text) > len(s.Tail) {
		s.Tail = text
		s.endAt(to, 0, 0)
	}
}

// endAt ends the piece in hand, all that was appended to the tail since the last one. Within its section the piece is
// sorted by row and kind.
func (s *Sheaf) endAt(to section, row, kind int) {
	size := uint32(s.Len() - s.mark)
	s.pieces = append(s.pieces, piece{at: s.mark, size: size, row: int32(row), to: to, kind: uint8(kind)})
	s.mark = s.Len()
	s.Settle()
}

// close ends the set in hand.
func (s *Sheaf) close() {
	slices.SortStableFunc(s.pieces[s.first:], func(a, b piece) int {
		return cmp.Or(cmp.Compare(a.to, b.to), cmp.Compare(a.row, b.row), cmp.Compare(a.kind, b.kind))
	})
	s.bag, s.facts = nil, bagFacts{}
}

// remark takes what is said of a row.
func (s *Sheaf) remark(m data.Remark) {
	s.pieces = append(s.pieces, piece{to: sectionOfRow(m), remark: &m})
}

// each gives the pieces set by set.
func (s *Sheaf) each(w *remarks, f func(p piece, text []byte) error) error {
	var text []byte
	for _, p := range s.pieces {
		if p.remark != nil {
			text = w.append(text[:0], *p.remark)
		} else {
			text = s.Piece(text[:0], p.at, int(p.size))
		}
		if err := f(p, text); err != nil {
			return err
		}
	}
	return s.Err()
}

// document is a report section by section: for each the runs of text that it has in the Spool.
type document struct {
	spool.Spool
	runs [sections][]run
}

// run is a run of bytes in a Spool.
type run struct {
	at   int64
	size int
}

func newDocument(o Options) document {
	return document{Spool: spool.Spool{Open: o.Scratch, Most: documentKept}}
}

// add appends text to a section.
func (d *document) add(to section, text []byte) {
	runs := d.runs[to]
	if n := len(runs) - 1; n >= 0 && len(d.Tail) > 0 && runs[n].at+int64(runs[n].size) == d.Len() &&
		runs[n].size < runKept {
		runs[n].size += len(text)
	} else {
		d.runs[to] = append(runs, run{d.Len(), len(text)})
	}
	d.Tail = append(d.Tail, text...)
	d.Settle()
}

// write writes the text of a section. What goes wrong stays with the Spool, and with w.
func (d *document) write(of section, w io.Writer) {
	var text []byte
	for _, r := range d.runs[of] {
		text = d.Piece(text[:0], r.at, r.size)
		w.Write(text)
	}
}
