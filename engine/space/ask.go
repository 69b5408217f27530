package space

// This file asks questions about rules on single clubs: it lays out the clubs that count for them, and
// glances at what each rule says.

import (
	"iter"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Question is some rules about single clubs, with the clubs that count for them.
type Question struct {
	*Search
	*Walk
	rules    []*book.Rule
	Scope    []*Axis // properties that decide whether and how a rule applies
	Free     []*Axis // those that rules require something of, but the pivot
	pivot    *Axis   // the one that is moved last; nil if there is none
	club     club.Club
	plain    bool // where something turns for the pivot is known from the formulas alone
	unsure   bool // it counts how sure a reading is
	straight bool // each rule puts a bound of figures on one property as it is read
	cost     int  // of a glance
}

// Sample is a club that stands for all of its cell, with what each rule says of it.
type Sample struct {
	Draft Draft
	Says  []judge.Glance
}

// Ask makes a question of rules about single clubs.
func (a *Search) Ask(rules ...*book.Rule) *Question {
	s := NewSpace()
	unsure := false
	for _, r := range rules {
		s.Rule(r)
		unsure = unsure || r.Decision.Kind != ast.Simple
	}
	plain := !unsure && len(s.Methods) < 2 && !s.Inexact
	if len(s.Methods) > 1 || unsure && len(s.Methods) > 0 {
		s.Tools(a.Program)
	}
	q := &Question{Search: a, rules: rules, plain: plain, unsure: unsure, straight: true, pivot: a.choosePivot(s, rules)}
	for _, r := range rules {
		q.straight = q.straight && a.bare(r)
	}
	var order []*Axis
	q.Scope, q.Free, order = s.Divided(q.pivot)
	q.Walk = a.Walk(s, order)
	q.cost = a.CostOf(rules...)
	a.Pay(10 * q.cost)
	return q
}

// bare reports whether what a rule requires is a bound on one property and nothing else.
func (a *Search) bare(r *book.Rule) bool {
	of := r.Value.Ref()
	return of != nil && of.Kind == book.RefProperty && r.Bound != nil && len(a.Requires(r)) == 1
}

// choosePivot takes a quantity that all rules require something of, a length before others.
func (a *Search) choosePivot(s *Space, rules []*book.Rule) *Axis {
	var best *Axis
	rank := 0
	for _, x := range s.Axes {
		if !x.Free || !x.Prop.Sort.Numeric() {
			continue
		}
		k := 1
		if x.Prop.ID == catalogue.LengthID && !x.Prop.Ordered {
			k = 2
		}
		without := func(r *book.Rule) bool { return !slices.Contains(a.Requires(r), x.Prop.Name) }
		if !slices.ContainsFunc(rules, without) {
			k += 2
		}
		if k > rank {
			best, rank = x, k
		}
	}
	return best
}

// Glance is what each rule says of a club.
func (q *Question) Glance(d *Draft) []judge.Glance {
	d.LayInto(&q.club, q.Search.Program.Schema)
	q.Search.Pay(q.cost)
	out := make([]judge.Glance, len(q.rules))
	for i, r := range q.rules {
		out[i] = q.Probe.Club(r, &q.club)
	}
	return out
}

// takes reports whether a rule may be about a club of which no more is known.
func (q *Question) takes(r *book.Rule, d *Draft) bool {
	d.LayInto(&q.club, q.Search.Program.Schema)
	asked := slices.ContainsFunc(q.Axes, func(a *Axis) bool { return a.Absent })
	return asked || q.Probe.Takes(r.Among.Decl, r.Book.Info, &q.club) != value.False
}

// Groups calls f with the cells of the question, a group at a time, until it is false: the clubs of a group differ in
// nothing but what the rules require something of. Clubs that no rule can be about are left out.
func (q *Question) Groups(f func(iter.Seq[*Sample]) bool) {
	for _, d := range q.Shapes() {
		if !slices.ContainsFunc(q.rules, func(r *book.Rule) bool { return q.takes(r, &d) }) {
			continue
		}
		if !q.Each(&d, q.Scope, func(d *Draft) bool {
			return f(func(yield func(*Sample) bool) {
				q.Each(d, q.Free, func(d *Draft) bool {
					return q.Sweep(d, func(d *Draft) bool { return yield(&Sample{*d, q.Glance(d)}) })
				})
			}) && !q.Cut
		}) {
			return
		}
	}
}

// Sweep moves the pivot of a club through all that makes a difference, until f is false; false then, and where too many
// clubs were laid out.
func (q *Question) Sweep(d *Draft, f func(*Draft) bool) bool {
	if q.pivot == nil || !q.readable(q.pivot, d) {
		return f(d)
	}
	options := q.Options(q.pivot, d, nil)
	if !q.plain {
		half := q.stated(d, options)
		options = q.Options(q.pivot, d, q.roots(d, options, half))
		for _, r := range options {
			if r != nil {
				r.Half = half
			}
		}
	}
	for _, r := range options {
		if !q.take() {
			return false
		}
		e := With(*d, r)
		if !f(&e) {
			return false
		}
	}
	return !q.Cut
}

// stated is the half-width that has to be stated with the pivot so that rules that count the uncertainty can
// judge it; 0 where none has to.
func (q *Question) stated(d *Draft, options []*Reading) float64 {
	for _, r := range options {
		if r == nil || !q.unsure {
			continue
		}
		e := *d
		e.Readings = append(slices.Clone(d.Readings), *r)
		for _, g := range q.Glance(&e) {
			if g.Verdict == decide.Unmeasured && g.HasBound && math.IsNaN(g.Spread.U) {
				return r.Step() / 16
			}
		}
	}
	return 0
}

// roots are the values of the pivot at which a verdict turns, found by looking at what stands against what at
// two values close together: in between both run straight.
func (q *Question) roots(d *Draft, options []*Reading, half float64) []float64 {
	var out []float64
	var before [][]judge.Glance
	for _, r := range options {
		if r == nil {
			continue
		}
		step := r.Step() / 64
		near, far := *d, *d
		one, two := *r, *r
		two.Amount += step
		one.Half, two.Half = half, half
		near.Readings = append(slices.Clone(d.Readings), one)
		far.Readings = append(slices.Clone(d.Readings), two)
		a := q.Glance(&near)
		alike := func(c []judge.Glance) bool { return slices.EqualFunc(a, c, sameBound) }
		if q.straight && slices.ContainsFunc(before, alike) {
			continue // it runs as there
		}
		before = append(before, a)
		b := q.Glance(&far)
		for i, rule := range q.rules {
			if a[i].Taken != b[i].Taken {
				continue
			}
			out = append(out, Crossings(one.Amount, step, a[i].Sided, b[i].Sided, judge.DecisionOf(rule))...)
			out = append(out, Crossings(one.Amount, step, a[i].Plain, b[i].Plain, judge.DecisionOf(rule))...)
		}
	}
	return out
}

// sameBound reports whether two glances hold a value against the same.
func sameBound(a, b judge.Glance) bool {
	return a.Taken == b.Taken && a.Takes == b.Takes && a.HasBound == b.HasBound &&
		a.Limits == b.Limits && a.Plain.Limits == b.Plain.Limits
}

// Crossings returns the amounts at which a value meets something that its verdict turns at under some decisions. It is
// given what the value is compared with at an amount and at one a step beyond: in between both run straight.
func Crossings(at, step float64, near, far judge.Sided, decisions ...decide.Rule) []float64 {
	if !near.HasBound || !far.HasBound {
		return nil
	}
	var out []float64
	for _, d := range decisions {
		x, y := edges(d, near), edges(d, far)
		for k := range x {
			f0, f1 := near.Value-x[k], far.Value-y[k]
			if root := at - f0*step/(f1-f0); f1 != f0 && !math.IsNaN(root) && !math.IsInf(root, 0) {
				out = append(out, root)
			}
		}
	}
	return out
}

// edges are the values at which a verdict may turn under a decision: limits, and limits of acceptance and
// rejection.
func edges(d decide.Rule, s judge.Sided) [6]float64 {
	out := [6]float64{s.Limits.Lower, s.Limits.Upper, math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	if d.Kind != decide.Simple && s.Spread.U > 0 {
		if p := d.Passing(s.Limits, s.Spread); !p.Empty() {
			out[2], out[3] = p.Low, p.High
		}
		out[4], out[5] = d.Failing(s.Limits, s.Spread)
	}
	return out
}
