package wording

// This file shows what came of clubs whose lengths were read in millimetres in millimetres, whatever the book writes.

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/lang/unit"
)

// InUnits is a result with its lengths in the unit of its clubs: itself where that is the book's already.
func InUnits(r *judge.Result, bag *club.Set) *judge.Result {
	clubs := r.Subject.Clubs
	if len(clubs) == 0 {
		clubs = bag.Clubs
	}
	if len(clubs) == 0 || slices.ContainsFunc(clubs, func(c *club.Club) bool { return !c.Metric }) {
		return r
	}
	out := *r
	inMetric(&out.Value, &out.Uncertainty, &out.Lower, &out.Upper, &out.Margin, &out.Over, &out.Under,
		&out.PassFrom, &out.PassTo, &out.FailBelow, &out.FailAbove)
	low, high := rounded(r, out.Lower, math.Ceil), rounded(r, out.Upper, math.Floor)
	if !low.Known() || !high.Known() || low.Base <= high.Base {
		out.Lower, out.Upper = low, high
	}
	if r.Settle != nil {
		settle := *r.Settle
		inMetric(&settle.Within)
		out.Settle = &settle
	}
	out.Budget = slices.Clone(r.Budget)
	for i := range out.Budget {
		c := &out.Budget[i]
		inMetric(&c.Half, &c.Source, &c.Contribution)
	}
	out.Steps = metricSteps(r.Steps)
	return &out
}

// rounded is a limit in millimetres, rounded to the side on which it promises nothing. It has as many decimals as keep
// the value on its side of it, and is left as it is where a book has written it in millimetres.
func rounded(r *judge.Result, limit unit.Amount, round func(float64) float64) unit.Amount {
	if !limit.Known() || limit.Unit == r.Lower.Unit || limit.Unit == r.Upper.Unit {
		return limit
	}
	at := func(decimals int) float64 { return limit.Unit.ToBase(limit.Shown(decimals, round)) }
	limit.Base = at(unit.Finer(func(n int) bool {
		return !r.Value.Known() || unit.Compare(r.Value.Base, at(n)) == unit.Compare(r.Value.Base, limit.Base)
	}))
	return limit
}

// inMetric brings amounts in inches or feet to millimetres.
func inMetric(all ...*unit.Amount) {
	for _, a := range all {
		if a.Known() && a.Unit.Dim == unit.Length && !a.Unit.Metric() {
			a.Unit = unit.Lookup("mm")
		}
	}
}

func metricSteps(steps []eval.Step) []eval.Step {
	out := slices.Clone(steps)
	for i := range out {
		s := &out[i]
		inMetric(&s.Amount, &s.Half, &s.U)
		s.Sub = metricSteps(s.Sub)
	}
	return out
}
