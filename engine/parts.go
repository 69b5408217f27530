package engine

// This file takes what a rule says of a club apart: each part of the rule by itself, whatever the others come
// to, so that the parts of two editions can be put together in thought.

import (
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/book"
)

// Parts is what the parts of a rule about clubs come to on one club.
type Parts struct {
	Takes  Truth
	Plain  Sided  // what the rule requires, exceptions aside
	Lifts  []Lift // its exceptions, in their order
	Faulty bool   // two rows of a chart or the like hold and differ
}

// Lift is what an exception comes to on a club.
type Lift struct {
	Holds  Truth
	Exempt bool
	Sided  // with its bound, whether it holds or not; nothing where it exempts
}

// Parts tells what the parts of a rule about clubs, one that the program judges, come to on a club that is alone
// in its bag.
func (q *Probe) Parts(r *book.Rule, c *club.Club) Parts {
	ready := q.rules[r]
	x := q.about(ready.info, c)
	q.j.clashed = nil
	p := Parts{Takes: x.takes(ready.Among.Decl).truth, Plain: q.part(ready, x.branch(ready, nil))}
	for _, e := range ready.unless {
		l := Lift{Holds: x.condition(e.When.Expr).truth, Exempt: e.bound == nil}
		if !l.Exempt {
			l.Sided = q.part(ready, x.branch(ready, &branch{exception: e}))
		}
		p.Lifts = append(p.Lifts, l)
	}
	p.Faulty = q.j.clashed != nil
	return p
}

// part notes where rows of the books disagree on what a part of a rule needs.
func (q *Probe) part(r *rule, o outcome) Sided {
	if o.verdict == decide.Unmeasured {
		q.j.blame(o.lacks)
	}
	return q.sided(r, o)
}
