package space

// This file finds the charts that what a rule requires depends on.

import (
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Charted is a chart that a bound depends on: that of an exception, or, where that is nil, what the rule requires.
type Charted struct {
	Chart  *book.Chart
	Unless *ast.Unless
}

// ChartsIn lists the charts that the bounds of a rule depend on.
func ChartsIn(r *book.Rule) []Charted {
	out := chartsUnder(nil, append(r.Bound.Parts(), r.Value))
	for _, u := range r.Unless {
		out = append(out, chartsUnder(u.Decl, u.Bound.Parts())...)
	}
	return out
}

// chartsUnder lists the charts in some formulas, other than in what chooses between them.
func chartsUnder(u *ast.Unless, parts []book.Part) []Charted {
	var out []Charted
	for _, p := range parts {
		p.Visit(func(n book.Part) bool {
			if of := n.Ref(); of != nil && of.Kind == book.RefChart && !slices.Contains(out, Charted{of.Chart, u}) {
				out = append(out, Charted{of.Chart, u})
			}
			return !n.Chooses()
		}, nil)
	}
	return out
}
