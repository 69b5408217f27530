package engine

// This file serves the building of clubs: a length that is planned and not yet there to be
// read, what a chart says for a club, and how much of their uncertainty several differences
// share.

import (
	"fmt"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Planned is the method of a length that no one has read: from the bare butt of a finished
// shaft along the axis to the ground, as cut. It needs no grip and no lie, and it is as sure
// as the half-width stated with it says; without one it is exact. It is no name that a book
// can give and is not among Methods.
const Planned = "planned shaft and bore"

// plannedPart marks the component of a planned length, so that it is never taken for that
// of a reading of the same club.
const plannedPart = -1

// planning makes the method Planned known to a program.
func (p *Program) planning() {
	p.planned = &book.Method{Decl: &ast.Method{Name: ast.Name{Text: Planned}}}
	if p.tools.methods == nil {
		p.tools.methods = map[*book.Method]*measure.Method{}
	}
	p.tools.methods[p.planned] = &measure.Method{Name: Planned, Stop: measure.AtLie, Top: measure.Butt}
}

// taken is the method by which a length was read; nil where no book knows it.
func (p *Program) taken(name string) *book.Method {
	if name == Planned {
		return p.planned
	}
	return p.methods[name]
}

// asPlanned turns the components of a planned length into those of the shaft and the bore.
func asPlanned(parts []part) []part {
	out := parts[:0]
	for _, q := range parts {
		if q.source.what == measure.Stated {
			if q.half == 0 {
				continue
			}
			q.source.index = plannedPart
		}
		out = append(out, q)
	}
	return out
}

// Charted is what a chart says for a club. No amount: it has no row for it, or that
// cannot be told; Needs and Reasons say why.
type Charted struct {
	Value   Amount
	Needs   []string
	Reasons []string
	Fault   string // two rows of the chart disagree on the club: which; "" for none
}

// Chart looks a club up in a chart. A row that rests on the whole set cannot be told.
func (j *Judge) Chart(h *book.Chart, c *club.Club) Charted {
	j.clashed = nil
	x := &env{j: j, info: h.Book.Info, club: c}
	v := x.chart(h)
	out := Charted{Fault: j.fault()}
	if v.kind != number {
		out.Needs, out.Reasons = spell(v.lacks)
		return out
	}
	out.Value = Amount{Base: v.num, Unit: unit.Lookup("in")}
	return out
}

// fault says which two rows of the books disagreed on the club in hand; "" for none.
func (j *Judge) fault() string {
	f := j.clashed
	if f == nil {
		return ""
	}
	return fmt.Sprintf("%s: %s line %d and %s line %d", f.Message, f.Other[0].File.Name, f.Other[0].Line(), f.Other[1].File.Name, f.Other[1].Line())
}

// GripEnd returns how far the very end of a club's grip lies beyond the bare butt: its cap and its
// crown together. It is no amount where one of them is not known: needs and reasons say why.
func (j *Judge) GripEnd(c *club.Club) (beyond Amount, needs, reasons []string) {
	clear(j.subjects)
	x := &env{j: j, bag: &bag{set: &club.Set{}}, club: c}
	s := x.measuring()
	if s.Cap == nil || s.Crown == nil {
		needs, reasons = spell(s.missing([]string{"cap", "crown"}))
		return Amount{}, needs, reasons
	}
	return Amount{Base: s.Cap.Amount + s.Crown.Amount, Unit: unit.Lookup("in")}, nil, nil
}

// Apart tells the uncertainty of differences apart: own is for each the variance of what it
// has of its own, in squared nm; shared has for each source that at least two of them have
// in common the contribution to each, in nm with its sign. So the covariance of two is the
// sum over the sources of the product of their contributions.
func Apart(ds []Difference) (own []float64, shared [][]float64) {
	uses := map[origin]int{}
	for _, d := range ds {
		for _, p := range d.parts {
			uses[p.source]++
		}
	}
	own = make([]float64, len(ds))
	column := map[origin]int{}
	for i, d := range ds {
		for _, p := range d.parts {
			c := p.contribution()
			if uses[p.source] < 2 {
				own[i] += c * c
				continue
			}
			k, ok := column[p.source]
			if !ok {
				k = len(shared)
				column[p.source] = k
				shared = append(shared, make([]float64, len(ds)))
			}
			shared[k][i] += c
		}
	}
	return own, shared
}
