package decide

// This file works out the acceptance and rejection limits of a decision
// (JCGM 106:2012, 8.2 and 8.3).

import "math"

// Region is a stretch of values, both ends included. An end may be infinite; Low above
// High is an empty region.
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

// Change returns the smallest change of y, negative for down, that brings it to where
// values pass, both ends included; where none passes it is false, with the change to the middle.
func (r Rule) Change(l Limits, y float64, s Spread) (by float64, some bool) {
	p := r.Passing(l, s)
	switch {
	case p.Empty():
		return l.Lower + (l.Upper-l.Lower)/2 - y, false
	case l.HasUpper() && y > p.High:
		return -gap(p.High, y), true
	case l.HasLower() && y < p.Low:
		return gap(y, p.Low), true
	}
	return 0, true
}
