package engine

// This file keeps how two neighbours stand in the order of their rule, so that a report can
// show a whole set as it steps from club to club.

import (
	"ferrule/engine/club"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Pair is how two neighbours stand in the order of their rule, the first before the
// second, whatever the verdict on them is.
type Pair struct {
	Key       [2]Amount // what they are sorted by
	Value     [2]Amount // what steps from one to the other; no amount where it is not known
	Of        string    // what steps, as the book says it: "length by soled"; "" where the rule asks for no drop or rise, or for several
	Rise      bool      // the step is second less first; else first less second
	PerNumber bool
	Apart     float64 // by what the step is divided: the numbers apart, or 1; 0 where it is not known
	Plain     bool    // the rule's value is the step itself, so that its limits bound the second club
}

// pairing is what a rule about neighbours asks of a pair.
type pairing struct {
	step  *ast.Step // nil where the rule asks for none, or for several
	plain bool
	swing bool // what steps is a swing weight such as D2
	byDim unit.Dim
	by    bool // what sorts is a swing weight
}

// newPairing finds the drop or the rise of a rule about neighbours.
func newPairing(r *book.Rule) *pairing {
	info := r.Book.Info
	p := &pairing{byDim: r.By.Type().Dim, by: isSwingWeight(r.By.Expr, info)}
	if s, ok := ast.Unparen(r.Value.Expr).(*ast.Step); ok {
		p.step, p.plain = s, true
	} else {
		several := false
		ast.Walk(r.Value.Expr, func(e ast.Expr) bool {
			s, ok := e.(*ast.Step)
			if ok && p.step != nil {
				several = several || written(s.Of) != written(p.step.Of) || s.Rise != p.step.Rise
			} else if ok {
				p.step = s
			}
			return !ok
		})
		if several {
			p.step = nil
		}
	}
	p.swing = p.step != nil && isSwingWeight(p.step.Of, info)
	return p
}

// stand tells how the two clubs of x stand. Nothing is recorded.
func (x *env) stand(r *rule, first, second member) *Pair {
	ask := r.pairing
	out := &Pair{Apart: 1}
	clubs := [2]*club.Club{first.club, second.club}
	for i, key := range [2]float64{first.key, second.key} {
		out.Key[i] = Amount{Base: key, Unit: unit.Base(ask.byDim), Swing: ask.by}
	}
	if ask.step == nil {
		return out
	}
	out.Of, out.Rise, out.PerNumber, out.Plain = written(ask.step.Of), ask.step.Rise, ask.step.PerNumber, ask.plain
	if ask.step.PerNumber {
		out.Apart, _ = numbersApart(clubs[0], clubs[1])
	}
	y := *x
	y.steps, y.first, y.second = nil, nil, nil
	shown := unit.Base(r.info.Types[ask.step.Of].Dim)
	if r.Bound != nil && r.Bound.Unit.Dim == shown.Dim {
		shown = r.Bound.Unit
	}
	for i, c := range clubs {
		y.club = c
		if v := y.eval(ask.step.Of); v.kind == number {
			out.Value[i] = Amount{Base: v.num, Unit: shown, Swing: ask.swing}
		}
	}
	return out
}
