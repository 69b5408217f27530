package report

// This file writes the formats of a check for programs: set by set as they come, or gathered into one document.

import (
	"cmp"
	"io"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
)

// stream writes what a format says of each set as soon as it was judged.
type stream struct {
	w       io.Writer
	of      data.Check
	all     bool // results that pass too
	section func(*judge.Result) section
	first   []byte // line, before all sets
	head    *data.Head
	remarks remarks
}

// failuresFirst sorts the results of a set by their verdicts.
func failuresFirst(r *judge.Result) section { return byVerdict(r.Verdict) }

// inOrder leaves the results as they come.
func inOrder(*judge.Result) section { return secPasses }

func (w *stream) WantsPasses() bool { return w.all }
func (w *stream) WantsFacts() bool  { return w.all }

func (w *stream) Begin(h *data.Head) error {
	w.head, w.remarks.draw = h, w.of.Remark
	_, err := w.w.Write(w.first)
	return err
}

func (w *stream) Result(to *Sheaf, r *judge.Result) {
	to.take(w.of.Result(to.Tail, r, to.bag), w.section(r))
}

func (w *stream) Conflict(to *Sheaf, c *judge.Conflict) {
	to.take(w.of.Conflict(to.Tail, c, to.bag), secConflicts)
}

func (w *stream) Close(to *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	for _, m := range data.Remarks(doubtful, refused, to.bag.Aside) {
		to.remark(m)
	}
	to.close()
}

func (w *stream) Add(from *Sheaf) error {
	return from.each(&w.remarks, func(_ piece, text []byte) error {
		_, err := w.w.Write(text)
		return err
	})
}

func (w *stream) End(t *data.Totals) error {
	_, err := w.w.Write(w.of.End(nil, w.head, t))
	return err
}

// gathered writes one document, the summary before its lists.
type gathered struct {
	stream
	doc document
}

func (g *gathered) Add(from *Sheaf) error {
	return from.each(&g.remarks, func(p piece, text []byte) error {
		if g.doc.runs[p.to] != nil {
			g.doc.add(p.to, []byte(","))
		}
		g.doc.add(p.to, text)
		return g.doc.Err()
	})
}

func (g *gathered) End(t *data.Totals) error {
	defer g.doc.Close()
	d := g.of.(data.JSON).Document(g.w, g.head, t)
	list := func(name string, of section, always bool) {
		if g.doc.runs[of] != nil {
			d.Open(name)
			g.doc.write(of, d)
			d.Close()
		} else if always {
			d.Member(name, []int{})
		}
	}
	list("refused", secRefused, true)
	if g.head.Order != "" {
		d.Within("order", func() {
			d.Member("file", g.head.Order)
			list("refused", secOrderRefused, true)
			for m := range club.Mismatches {
				list(m.String(), secOtherClub+section(m), true)
			}
		})
	}
	list("doubtful", secDoubtful, false)
	list("not_read", secNotRead, false)
	list("columns_unused", secUnused, false)
	list("conflicts", secConflicts, true)
	list("results", secPasses, true)
	return cmp.Or(g.doc.Err(), d.End())
}
