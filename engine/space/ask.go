package space

// This file asks questions about rules on single clubs: it glances at what each rule says of the clubs that count for
// them.

import (
	"iter"
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// Sample is a club that stands for all of its cell, with what each rule says of it.
type Sample struct {
	Draft Draft
	Says  []judge.Glance
}

// Ask makes a question of rules about single clubs.
func (a *Search) Ask(rules ...*book.Rule) *Tour {
	sides := lists.Each(rules, a.Side)
	t := a.tour(TourOptions{}, true, sides)
	t.cost = a.CostOf(rules...)
	a.Pay(10 * t.cost)
	return t
}

// bare reports whether what a rule requires is a bound on one property and nothing else.
func (a *Search) bare(r *book.Rule) bool {
	of := r.Value.Ref()
	return of != nil && of.Kind == book.RefProperty && r.Bound != nil && len(a.Requires(r)) == 1
}

// Glance is what each rule says of a club.
func (t *Tour) Glance(d *Draft) []judge.Glance {
	t.Pay(t.cost)
	out := make([]judge.Glance, len(t.Sides))
	c := t.Sides[0].Lay(d)
	for i, s := range t.Sides {
		out[i] = t.Probe.Club(s.Rule, c)
	}
	return out
}

// Groups calls f with the cells of the question, a group at a time, until it is false: the clubs of a group differ in
// nothing but what the rules require something of. Clubs that no rule can be about are left out.
func (t *Tour) Groups(f func(iter.Seq[*Sample]) bool) {
	t.EachClub(t.scope, func(d *Draft) bool { return f(t.cells(d, t.free)) && !t.Cut })
}

// Cells are the cells of one club.
func (t *Tour) Cells(d Draft) iter.Seq[*Sample] { return t.cells(&d, slices.Concat(t.scope, t.free)) }

// cells are a club with every reading of some axes, and with its pivot moved.
func (t *Tour) cells(d *Draft, axes []*Axis) iter.Seq[*Sample] {
	return func(yield func(*Sample) bool) {
		t.Walk.Each(d, axes, func(d *Draft) bool {
			return t.sweep(Bag{*d}, func(b Bag) bool {
				return (t.pivot == nil || t.take()) && yield(&Sample{b[0], t.Glance(&b[0])})
			}) && !t.Cut
		})
	}
}

// turn is something that a verdict turns at: what one of the rules compares on a subject under an exception, or without
// any.
type turn struct {
	side  int
	of    string
	taken *ast.Unless
	plain bool
}

// compared is what the rules compare on a bag.
func (t *Tour) compared(b Bag) map[turn]judge.Sided {
	out := map[turn]judge.Sided{}
	if t.glances {
		for i, g := range t.Glance(&b[0]) {
			out[turn{side: i, taken: g.Taken}] = g.Sided
			if g.Plain.HasBound {
				out[turn{side: i, taken: g.Taken, plain: true}] = g.Plain
			}
		}
		return out
	}
	t.spend(OfBag)
	for i, s := range t.Sides {
		for key, said := range s.Look(b) {
			if r := said.Result; r != nil && r.Value.Known() {
				out[turn{side: i, of: key, taken: r.Exception}] = judge.Sided{
					HasBound: true, Verdict: r.Verdict, Value: r.Value.Base, Spread: r.Spread(), Limits: r.Limits()}
			}
		}
	}
	return out
}

// sameLimits reports whether values are compared with the same.
func sameLimits(a, b map[turn]judge.Sided) bool {
	for k, x := range a {
		if y, ok := b[k]; !ok || x.HasBound != y.HasBound || x.Limits != y.Limits {
			return false
		}
	}
	return len(a) == len(b)
}

// roots are the values of the pivot of the last club at which a verdict turns, found by looking at what is compared at
// two values close together: in between everything runs straight.
func (t *Tour) roots(b Bag, d Draft, options []*Reading, half float64, before []float64) []float64 {
	const most = 12
	var out []float64
	var known []map[turn]judge.Sided
	for i, r := range options {
		if !r.there() || !t.glances && len(options) > most && i%(len(options)/most+1) != 0 {
			continue
		}
		one, two := *r, *r
		step := r.Step() / 64
		two.Amount += step
		one.Half, two.Half = half, half
		one.More, two.More = before, before
		near := t.compared(ending(b, With(d, &one)))
		if t.straight && slices.ContainsFunc(known, func(o map[turn]judge.Sided) bool { return sameLimits(o, near) }) {
			continue // it runs as there
		}
		known = append(known, near)
		far := t.compared(ending(b, With(d, &two)))
		if t.Cut {
			break
		}
		for key, n := range near {
			out = append(out, crossings(one.Amount, step, n, far[key], t.decisions...)...)
		}
	}
	return out
}

// crossings returns the amounts at which a value meets something that its verdict turns at under some decisions. It is
// given what the value is compared with at an amount and at one a step beyond: in between both run straight.
func crossings(at, step float64, near, far judge.Sided, decisions ...decide.Rule) []float64 {
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
