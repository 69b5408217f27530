package judge

// This file answers single questions about single clubs, without the facts behind the answers. It is for the analysis
// of books, which asks very many of them, and the comparison of editions, which takes what a rule says of a club apart.

import (
	"fmt"
	"math"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Probe asks a program questions about clubs. Days do not count for it. It is for one goroutine.
type Probe struct {
	j     *Judge
	rules map[*book.Rule]*rule
	set   club.Set
	bag   eval.Bag
}

// Glance is what a rule about clubs says of one, without the facts. Amounts are in base units.
type Glance struct {
	Takes   value.Truth    // whether the rule is about the club
	Clash   [2]*ast.Unless // two exceptions that hold and disagree; nil where none do
	Fault   bool           // two rows of a chart or the like hold and differ
	Taken   *ast.Unless    // the exception that was taken
	Holding []*ast.Unless  // all that hold
	Open    bool           // of another it is not known whether it holds
	Sided                  // what was compared with what; no verdict where it takes no club, or the book is at fault
	Plain   Sided          // and what would be, and its verdict, without any exception; only where one holds
}

// Sided is a value with what it was compared with.
type Sided struct {
	Verdict     decide.Verdict
	HasBound    bool
	Value       float64
	Spread      decide.Spread
	Limits      decide.Limits
	NoneCanPass bool // no value at all passes under the rule's decision with this uncertainty
}

// NewProbe returns a probe of the program's rules.
func (p *Program) NewProbe() *Probe {
	q := &Probe{j: p.scratch(), rules: make(map[*book.Rule]*rule, len(p.rules))}
	q.j.Today = SomeDay
	for _, r := range p.rules {
		q.rules[r.Rule] = r
	}
	return q
}

// about is the place for questions about a club that is alone in its bag.
func (q *Probe) about(info *book.Info, c *club.Club) task {
	q.j.ForgetClubs()
	q.j.ForgetSet()
	q.set.Clubs = append(q.set.Clubs[:0], c)
	q.bag = eval.Bag{Set: &q.set, Clubs: q.set.Clubs}
	x := q.j.task(info, &q.bag)
	x.Club = c
	return x
}

// Takes reports whether a selector takes a club.
func (q *Probe) Takes(s *ast.Selector, info *book.Info, c *club.Club) value.Truth {
	x := q.about(info, c)
	return x.Takes(s).Truth
}

// Holds reports whether a condition holds for a club.
func (q *Probe) Holds(e ast.Expr, info *book.Info, c *club.Club) value.Truth {
	x := q.about(info, c)
	return x.Condition(e).Truth
}

// TakesSet reports whether a rule about sets, one that the program judges, is about a set.
func (q *Probe) TakesSet(r *book.Rule, s *club.Set) value.Truth {
	ready := q.rules[r]
	q.j.ForgetClubs()
	q.j.ForgetSet()
	q.bag = eval.Bag{Set: s, Clubs: s.Clubs}
	x := q.j.task(ready.Book.Info, &q.bag)
	return x.takesSet(ready).Truth
}

// HasRow reports whether a chart has a row for a club.
func (q *Probe) HasRow(h *book.Chart, c *club.Club) value.Truth {
	x := q.about(h.Book.Info, c)
	q.j.Clashed = nil
	found, lacks := x.Pick(q.j.Books.Charts[h], "", func(i, j int) bool { return true })
	switch {
	case lacks != nil:
		return value.Unknown
	case found < 0:
		return value.False
	}
	return value.True
}

// Club says what a rule about clubs, one that the program judges, says of a club that is alone in its bag.
func (q *Probe) Club(r *book.Rule, c *club.Club) Glance {
	ready := q.rules[r]
	x := q.about(ready.Book.Info, c)
	var g Glance
	g.Takes, _ = x.Picks(ready.selector)
	switch g.Takes {
	case value.False:
		return g
	case value.Unknown:
		g.Verdict = decide.Unmeasured
		return g
	}
	q.j.Clashed = nil
	o, clash, ok := x.outcome(ready)
	q.j.blame(&o)
	if !ok {
		g.Clash = clash
	}
	for _, e := range ready.unless {
		if e.Decl.Else && len(g.Holding) > 0 {
			break
		}
		switch x.Condition(e.When.Expr).Truth {
		case value.True:
			g.Holding = append(g.Holding, e.Decl)
		case value.Unknown:
			g.Open = true
		}
	}
	if len(g.Holding) > 0 {
		g.Plain = q.sided(ready, x.branch(ready, nil))
	}
	switch {
	case q.j.Clashed != nil:
		g.Fault = true
	case ok:
		g.Taken, g.Sided = o.exception, q.sided(ready, o)
	}
	return g
}

// sided takes from an outcome what is asked of it.
func (q *Probe) sided(r *rule, o outcome) Sided {
	s := Sided{Verdict: o.verdict, Spread: o.spread, Limits: o.limits, Value: o.value.Num}
	s.HasBound = o.bound != nil && o.value.Kind == value.Number && (o.limits.HasLower() || o.limits.HasUpper())
	if s.HasBound && r.decision.Kind != decide.Simple && o.spread.U > 0 {
		s.NoneCanPass = o.drawn == nil && r.decision.Passing(o.limits, o.spread).Empty()
	}
	return s
}

// Parts is what the parts of a rule about clubs say of one club.
type Parts struct {
	Takes     value.Truth
	Plain     Sided  // what the rule requires, exceptions aside
	Lifts     []Lift // its exceptions, in their order
	Unordered int    // how many of them come before the first "else unless"
	Faulty    bool   // two rows of a chart or the like hold and differ
}

// Lift is what an exception says of a club.
type Lift struct {
	Holds  value.Truth
	Exempt bool
	Sided  // with its bound, whether it holds or not; nothing where it exempts
}

// Parts says what the parts of a rule about clubs, one that the program judges, say of a club that is alone
// in its bag.
func (q *Probe) Parts(r *book.Rule, c *club.Club) Parts {
	ready := q.rules[r]
	x := q.about(ready.Book.Info, c)
	q.j.Clashed = nil
	p := Parts{Takes: x.Takes(ready.Among.Decl).Truth, Plain: q.part(ready, x.branch(ready, nil))}
	for _, e := range ready.unless {
		l := Lift{Holds: x.Condition(e.When.Expr).Truth, Exempt: e.bound == nil}
		if !l.Exempt {
			l.Sided = q.part(ready, x.branch(ready, &branch{exception: e}))
		}
		p.Lifts = append(p.Lifts, l)
	}
	p.Unordered = ready.Plain()
	p.Faulty = q.j.Clashed != nil
	return p
}

// part notes where rows of the books disagree on what a part of a rule needs.
func (q *Probe) part(r *rule, o outcome) Sided {
	q.j.blame(&o)
	return q.sided(r, o)
}

// Shop is what brings a club's length from one method to another, as text that is the same for the same shape of head
// and the same allowances. With halves it also says how sure these are. known is false where it depends on what is not
// measured.
func (q *Probe) Shop(c *club.Club, halves bool) (text string, known bool) {
	x := q.about(nil, c)
	s := x.Measuring()
	known = true
	for name, lacks := range s.Lacks {
		for _, l := range lacks {
			known = known && (name == "lie" || l.Property == name || l.Property == "allowance "+name)
		}
	}
	if s.Head != nil {
		text += fmt.Sprint(s.Head.Shape)
		if halves {
			text += fmt.Sprint(s.Head.Half)
		}
	} else {
		text += fmt.Sprint(s.Lacks["head"])
	}
	for _, a := range []*measure.Allowance{s.Cap, s.Crown} {
		if a == nil {
			a = &measure.Allowance{Amount: math.NaN()} // none, which is not 0
		}
		text += fmt.Sprint(" ", a.Amount)
		if halves {
			text += fmt.Sprint(" ", a.Half)
		}
	}
	return text, known
}
