package decide

// This file says where the acceptance and rejection limits of a decision stand
// (JCGM 106:2012, 8.2 and 8.3).

import "math"

// Region is a stretch of values, both ends included. An end may be infinite; Low above
// High is no value at all.
type Region struct{ Low, High float64 }

// Empty reports whether there is no value in the region.
func (r Region) Empty() bool { return r.Low > r.High }

// Passing returns the values that pass under the rule when they are as sure as s. Where that
// is exact or not known, the region is that of the limits themselves.
func (r Rule) Passing(l Limits, s Spread) Region {
	if r.Kind == Simple || !(s.U > 0) {
		return Region{l.Lower, l.Upper}
	}
	z := s.factor(r.Level) * s.U
	switch {
	case r.Kind == GuardedRejection:
		return Region{l.Lower - z, l.Upper + z}
	case !l.HasLower() || !l.HasUpper():
		return Region{l.Lower + z, l.Upper - z}
	}
	// Two-sided: the conformance probability falls from the middle to either side.
	middle := l.Lower + (l.Upper-l.Lower)/2
	if l.Conformance(middle, s) < r.Level {
		return Region{math.Inf(1), math.Inf(-1)}
	}
	in, out := middle, l.Upper
	for range 200 {
		half := in + (out-in)/2
		if half == in || half == out {
			break
		}
		if l.Conformance(half, s) >= r.Level {
			in = half
		} else {
			out = half
		}
	}
	return Region{middle - (in - middle), in}
}

// Failing returns the ends beyond which values fail under the rule: below the first,
// above the second.
func (r Rule) Failing(l Limits, s Spread) (below, above float64) {
	switch {
	case r.Kind == Simple || !(s.U > 0):
		return l.Lower, l.Upper
	case r.Kind == GuardedAcceptance:
		p := r.Passing(l, s)
		return p.Low, p.High
	}
	z := s.factor(r.Level) * s.U
	return l.Lower - z, l.Upper + z
}

// Excess returns how much y is too large and how much it is too small to pass under
// the rule: the distances to the acceptance limits, 0 where it is none. Where no value
// passes both are 0.
func Excess(r Rule, l Limits, y float64, s Spread) (over, under float64) {
	p := r.Passing(l, s)
	if p.Empty() {
		return 0, 0
	}
	if l.HasUpper() {
		over = max(0, gap(p.High, y))
	}
	if l.HasLower() {
		under = max(0, gap(y, p.Low))
	}
	return over, under
}
