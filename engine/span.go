package engine

// This file is about values of a set that are not known but for the span that they lie in, whatever the refused rows and the
// missing measurements turn out to be: a verdict that is the same all over it is told.

import (
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/unit"
)

// span is what a number that is not known lies in.
type span struct {
	low, high float64
	exact     bool // whatever the number is, nothing about it is uncertain
}

// spanOf is the span of a value of the set, given what is counted or measured of the clubs that surely count for it and of
// those that may; nil where nothing is known of it.
func spanOf(e ast.Expr, sure, may []value) *span {
	if _, ok := e.(*ast.CountOf); ok {
		return &span{float64(len(sure)), float64(len(sure) + len(may)), true}
	}
	lacks := func(v value) bool { return v.kind != number }
	all := slices.Concat(sure, may)
	known := slices.DeleteFunc(slices.Clone(sure), lacks)
	if len(known) == 0 {
		return nil
	}
	s := &span{exact: !slices.ContainsFunc(all, func(v value) bool { return lacks(v) || !v.exact() || v.unsure != nil })}
	least, most := slices.MinFunc(known, byNumber).num, slices.MaxFunc(known, byNumber).num
	lower, upper := math.Inf(-1), math.Inf(1)
	if !slices.ContainsFunc(all, lacks) {
		lower, upper = slices.MinFunc(all, byNumber).num, slices.MaxFunc(all, byNumber).num
	}
	switch e.(*ast.SetValue).How {
	case ast.Longest, ast.Highest:
		s.low, s.high = most, upper
	case ast.Shortest, ast.Lowest:
		s.low, s.high = lower, least
	case ast.Spread:
		s.low, s.high = most-least, upper-lower
	default:
		return nil
	}
	return s
}

// within is the span of a value, of a number the number itself; nil where nothing is known of it, or where how sure it is
// counts and is not known.
func (v value) within(simple bool) *span {
	s := v.span
	if v.kind == number {
		s = &span{v.num, v.num, v.exact() && v.unsure == nil}
	}
	if s == nil || !simple && !s.exact {
		return nil
	}
	return s
}

// compareSpans compares two values of which one at least is not known.
func (x *env) compareSpans(op ast.Op, a, b value) Truth {
	simple := !x.draws && (x.deciding == nil || x.deciding.Kind == decide.Simple)
	s, t := a.within(simple), b.within(simple)
	switch {
	case s == nil || t == nil:
		return Unknown
	case op == ast.Ne:
		return not(value{truth: x.compareSpans(ast.Eq, a, b)}).truth
	}
	holds := orders[op].holds
	least, most := unit.Compare(s.low, t.high), unit.Compare(s.high, t.low)
	for order := least; order < most; order++ {
		if holds(order) != holds(most) {
			return Unknown
		}
	}
	return truthFrom(holds(most))
}

// spanned judges by a bound a value that is not known, or has a limit that is not, where all that they can be has one verdict.
func (x *env) spanned(r *rule, o *outcome, low, high value) {
	simple := r.decision.Kind == decide.Simple
	s, lower, upper := o.value.within(simple), low.within(simple), high.within(simple)
	if s == nil || lower == nil || upper == nil {
		return
	}
	tight, above := o.bound.sided(lower.high, upper.low), o.bound.sided(lower.low, upper.high)
	below := above
	above.Lower, below.Upper = math.Inf(-1), math.Inf(1)
	switch {
	case tight.Contains(s.low) && tight.Contains(s.high):
		o.verdict, o.lacks = decide.Pass, nil
	case !above.Contains(s.low) || !below.Contains(s.high):
		o.verdict, o.lacks = decide.Fail, nil
	default:
		return
	}
	if x.steps != nil && o.value.span != nil {
		x.record(Step{What: StepSet, Name: written(r.Value.Expr), Line: r.Value.Expr.Place(), Text: x.spanWords(s, r.Value.Type().Dim)})
	}
}

// spanWords is a span as a person says it: "9 to 12", "48 in or more".
func (x *env) spanWords(s *span, dim unit.Dim) string {
	low, high := x.amount(s.low, dim).String(), x.amount(s.high, dim).String()
	switch {
	case math.IsInf(s.high, 1):
		return low + " or more"
	case math.IsInf(s.low, -1):
		return high + " or less"
	}
	return low + " to " + high
}
