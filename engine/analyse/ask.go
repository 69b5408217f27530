package analyse

// This file asks questions about rules on single clubs: it lays out the clubs that count for them, and
// glances at what each rule says.

import (
	"iter"
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// question is some rules about single clubs, with the clubs that count for them.
type question struct {
	*search
	*walk
	rules    []*book.Rule
	scope    []*axis // properties that decide whether and how a rule applies
	free     []*axis // those that rules require something of, but the pivot
	pivot    *axis   // the one that is moved last; nil where there is none
	club     club.Club
	plain    bool // where something turns for the pivot is known from the formulas alone
	unsure   bool // it counts how sure a reading is
	straight bool // each rule puts a bound of figures on one property as it is read
	cost     int  // of a glance
}

// cell is a club that stands for all of its cell, with what each rule says of it.
type cell struct {
	draft draft
	says  []engine.Glance
}

// ask makes a question of rules about single clubs.
func (a *search) ask(rules ...*book.Rule) *question {
	s := newSpace()
	unsure := false
	for _, r := range rules {
		s.rule(r)
		unsure = unsure || r.Decision.Kind != ast.Simple
	}
	plain := !unsure && len(s.methods) < 2 && !s.inexact
	if len(s.methods) > 1 || unsure && len(s.methods) > 0 {
		s.tools(a.program)
	}
	q := &question{search: a, rules: rules, plain: plain, unsure: unsure, straight: !slices.ContainsFunc(rules, func(r *book.Rule) bool { return !a.bare(r) }), pivot: a.choosePivot(s, rules)}
	var order []*axis
	q.scope, q.free, order = s.divided(q.pivot)
	q.walk = a.walk(s, order)
	q.cost = a.costOf(rules...)
	a.pay(10 * q.cost)
	return q
}

// bare tells whether what a rule requires is a bound on one property and nothing else.
func (a *search) bare(r *book.Rule) bool {
	of := r.Value.Ref()
	return of != nil && of.Kind == book.RefProperty && r.Bound != nil && len(a.requires(r)) == 1
}

// choosePivot takes a quantity that all rules require something of, a length before others.
func (a *search) choosePivot(s *space, rules []*book.Rule) *axis {
	var best *axis
	rank := 0
	for _, x := range s.axes {
		if !x.free || !x.prop.Sort.Numeric() {
			continue
		}
		k := 1
		if x.prop.ID == catalogue.LengthID {
			k = 2
		}
		if !slices.ContainsFunc(rules, func(r *book.Rule) bool { return !slices.Contains(a.requires(r), x.prop.Name) }) {
			k += 2
		}
		if k > rank {
			best, rank = x, k
		}
	}
	return best
}

// glance is what each rule says of a club.
func (q *question) glance(d *draft) []engine.Glance {
	d.layInto(&q.club, q.search.program.Schema)
	q.search.pay(q.cost)
	out := make([]engine.Glance, len(q.rules))
	for i, r := range q.rules {
		out[i] = q.probe.Club(r, &q.club)
	}
	return out
}

// takes tells whether a rule may be about a club of which no more is known.
func (q *question) takes(r *book.Rule, d *draft) bool {
	d.layInto(&q.club, q.search.program.Schema)
	return slices.ContainsFunc(q.axes, func(a *axis) bool { return a.absent }) || q.probe.Takes(r.Decl.For.Selector, r.Book.Info, &q.club) != engine.False
}

// groups calls f with the cells of the question, a group at a time, until it is false: the clubs of a group differ in
// nothing but what the rules require something of. Clubs that no rule can be about are left out.
func (q *question) groups(f func(iter.Seq[*cell]) bool) {
	for _, d := range q.shapes() {
		if !slices.ContainsFunc(q.rules, func(r *book.Rule) bool { return q.takes(r, &d) }) {
			continue
		}
		if !q.each(&d, q.scope, func(d *draft) bool {
			return f(func(yield func(*cell) bool) {
				q.each(d, q.free, func(d *draft) bool {
					return q.sweep(d, func(d *draft) bool { return yield(&cell{*d, q.glance(d)}) })
				})
			}) && !q.cut
		}) {
			return
		}
	}
}

// sweep moves the pivot of a club through all that makes a difference, until f is false; false then, and where too many
// clubs were laid out.
func (q *question) sweep(d *draft, f func(*draft) bool) bool {
	if q.pivot == nil || !q.readable(q.pivot, d) {
		return f(d)
	}
	options := q.options(q.pivot, d, nil)
	if !q.plain {
		half := q.stated(d, options)
		options = q.options(q.pivot, d, q.roots(d, options, half))
		for _, r := range options {
			if r != nil {
				r.half = half
			}
		}
	}
	for _, r := range options {
		if !q.take() {
			return false
		}
		e := *d
		e.readings = slices.Clone(d.readings)
		if r != nil {
			e.put(*r)
		}
		if !f(&e) {
			return false
		}
	}
	return !q.cut
}

// stated is the half-width that has to be stated with the pivot so that rules that count the uncertainty can
// judge it; 0 where none has to.
func (q *question) stated(d *draft, options []*reading) float64 {
	for _, r := range options {
		if r == nil || !q.unsure {
			continue
		}
		e := *d
		e.readings = append(slices.Clone(d.readings), *r)
		for _, g := range q.glance(&e) {
			if g.Verdict == decide.Unmeasured && g.HasBound && math.IsNaN(g.Spread.U) {
				return q.pivot.unit.ToBase(stepBeside(q.pivot.unit.FromBase(r.amount)) / 16)
			}
		}
	}
	return 0
}

// roots are the values of the pivot at which a verdict turns, found by looking at what stands against what at
// two values close together: in between both run straight.
func (q *question) roots(d *draft, options []*reading, half float64) []float64 {
	var out []float64
	var before [][]engine.Glance
	for _, r := range options {
		if r == nil {
			continue
		}
		step := q.pivot.unit.ToBase(stepBeside(q.pivot.unit.FromBase(r.amount))) / 64
		near, far := *d, *d
		one, two := *r, *r
		two.amount += step
		one.half, two.half = half, half
		near.readings = append(slices.Clone(d.readings), one)
		far.readings = append(slices.Clone(d.readings), two)
		a := q.glance(&near)
		if q.straight && slices.ContainsFunc(before, func(c []engine.Glance) bool { return slices.EqualFunc(a, c, sameBound) }) {
			continue // it runs as there
		}
		before = append(before, a)
		b := q.glance(&far)
		for i, rule := range q.rules {
			if a[i].Taken != b[i].Taken {
				continue
			}
			decision := decide.Rule{Kind: kindOf[rule.Decision.Kind], Level: rule.Decision.Level}
			for _, s := range [][2]engine.Sided{{a[i].Sided, b[i].Sided}, {a[i].Plain, b[i].Plain}} {
				if !s[0].HasBound || !s[1].HasBound {
					continue
				}
				x, y := edges(decision, s[0]), edges(decision, s[1])
				for k := range x {
					f0, f1 := s[0].Value-x[k], s[1].Value-y[k]
					if root := one.amount - f0*step/(f1-f0); f1 != f0 {
						out = append(out, root)
					}
				}
			}
		}
	}
	return out
}

// sameBound tells whether two glances hold a value against the same.
func sameBound(a, b engine.Glance) bool {
	return a.Taken == b.Taken && a.Takes == b.Takes && a.HasBound == b.HasBound && a.Limits == b.Limits && a.Plain.Limits == b.Plain.Limits
}

var kindOf = map[ast.DecisionKind]decide.Kind{ast.Simple: decide.Simple, ast.GuardedAcceptance: decide.GuardedAcceptance,
	ast.GuardedRejection: decide.GuardedRejection, ast.ThreeWay: decide.ThreeWay}

// edges are the values at which a verdict may turn under a decision: limits, and limits of acceptance and
// rejection.
func edges(d decide.Rule, s engine.Sided) [6]float64 {
	out := [6]float64{s.Limits.Lower, s.Limits.Upper, math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	if d.Kind != decide.Simple && s.Spread.U > 0 {
		if p := d.Passing(s.Limits, s.Spread); !p.Empty() {
			out[2], out[3] = p.Low, p.High
		}
		out[4], out[5] = d.Failing(s.Limits, s.Spread)
	}
	return out
}
