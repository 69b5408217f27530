package engine

// This file works out how much a value has to change so that it passes, and fills in the
// text of a rule's mend.

import (
	"math"
	"strings"

	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/unit"
)

// mend fills in the rule's mend for a result that fails: side is the one on which it does, and toPass
// how much the value has to change to pass as decided, no amount where no change does that. It is
// empty where the rule has none, or where the text speaks of an amount that there is not.
func mend(r *Result, side ast.Side, toPass Amount) string {
	m := r.Rule.Decl.Mend(side)
	if m == nil {
		return ""
	}
	names := make([]string, len(r.Subject.Clubs))
	for i, c := range r.Subject.Clubs {
		names[i] = c.ID
	}
	club := strings.Join(names, " and ")
	if club == "" {
		club = r.Subject.name()
	}
	text := m.Text.Value
	both := strings.Contains(text, "{over}") && strings.Contains(text, "{under}") // one of them is nothing
	over, under, limit := r.excess(side), Amount{}, r.Upper
	if side == ast.Under {
		over, under, limit = under, over, r.Lower
	}
	for _, a := range []*Amount{&over, &under} {
		if both && !a.Known() {
			*a = Amount{Unit: r.Margin.Unit}
		}
	}
	for _, p := range []struct {
		name  string
		text  string
		known bool
	}{
		{"{club}", club, true},
		{"{value}", r.Figure(r.Value), r.Value.Known()},
		{"{limit}", r.Written(limit), limit.Known()},
		{"{over}", over.cut(), over.Known()},
		{"{under}", under.cut(), under.Known()},
		{"{to-pass}", toPass.cut(), toPass.Known()},
		{"{margin}", r.Figure(r.Margin), r.Margin.Known()},
	} {
		if !strings.Contains(text, p.name) {
			continue
		}
		if !p.known {
			return ""
		}
		text = strings.ReplaceAll(text, p.name, p.text)
	}
	return text
}

// excess is how far the value lies beyond its limit on a side, brought up to what a bench
// can do: 0 inside.
func (r *Result) excess(side ast.Side) Amount {
	a := r.Over
	if side == ast.Under {
		a = r.Under
	}
	if !a.Known() {
		return Amount{Unit: r.Margin.Unit}
	}
	by := a.Unit.FromBase(a.Base)
	a.Base = a.Unit.ToBase(broughtUp(by, benchSteps(a.Unit, by)[0]))
	return a
}

// cut is an amount to take off or to add, to the last digit.
func (a Amount) cut() string {
	if !a.Known() {
		return ""
	}
	return unit.Exact(a.Base, a.Unit)
}

// toPass returns the side on which an outcome fails, and how much less or more its value has to be so
// that it passes as decided: the least amount in the coarsest steps of the bench that do it, no amount
// where none does. none tells that no value at all passes.
func (o *outcome) toPass(rule decide.Rule, shown *unit.Unit) (side ast.Side, amount Amount, none bool) {
	by, some := o.change(rule)
	side, sign := ast.Over, -1.0
	if by > 0 || by == 0 && !(o.limits.HasUpper() && unit.Compare(o.value.num, o.limits.Upper) >= 0) {
		side, sign = ast.Under, 1
	}
	if !some {
		return side, Amount{}, true
	}
	least := shown.FromBase(math.Abs(by))
	size := least
	if size == 0 { // on a limit that does not pass itself
		size = max(math.Abs(shown.FromBase(o.value.num)), 1)
	}
	for _, step := range benchSteps(shown, size) {
		n := broughtUp(least, step)
		for range 2 {
			if base := shown.ToBase(n); n > 0 && o.passes(rule, sign*base) {
				return side, Amount{Base: base, Unit: shown}, false
			}
			n = broughtUp(n+step/2, step)
		}
	}
	return side, Amount{}, false
}

// broughtUp is the least multiple of a step that is not below an amount.
func broughtUp(amount, step float64) float64 {
	n := amount / step
	if near := math.Round(n); unit.Compare(near, n) == 0 {
		n = near
	}
	if n = math.Ceil(n); step < 1 { // one divided by a step is a whole number, the step itself not always a short one
		return n / math.Round(1/step)
	}
	return n * step
}

// coarse are the steps in which a bench works, of each unit that has some.
var coarse = map[string][]float64{
	"in": {1. / 16, 1. / 32, 1. / 64}, "mm": {0.5}, "cm": {0.05}, "m": {0.0005},
	"deg": {0.01}, "pts": {0.1}, "oz": {0.1}, "g": {1}, "kg": {0.001}, "": {1},
}

// benchSteps are the steps in which an amount like size can be taken off or added, the coarsest first: those of
// the bench, or of four figures, and finer ones where these overshoot.
func benchSteps(u *unit.Unit, size float64) []float64 {
	steps := coarse[u.Name]
	if steps == nil || u.Dim == unit.Ratio {
		steps = []float64{math.Pow10(int(math.Floor(math.Log10(size))) - 3)}
	}
	steps = append([]float64(nil), steps...)
	const finer = 4
	ten := int(math.Ceil(math.Log10(steps[len(steps)-1]))) - 1
	for i := range finer {
		steps = append(steps, math.Pow10(ten-i))
	}
	return steps
}
