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
	var out []Charted
	for _, h := range chartsOf(r) {
		out = append(out, Charted{Chart: h})
	}
	for _, u := range r.Unless {
		for _, h := range chartsUnder(u.Bound.Parts()) {
			out = append(out, Charted{h, u.Decl})
		}
	}
	return out
}

// chartsOf lists the charts that what a rule requires depends on.
func chartsOf(r *book.Rule) []*book.Chart {
	return chartsUnder(append(r.Bound.Parts(), r.Value))
}

// chartsUnder lists the charts in some formulas, other than in what chooses between them.
func chartsUnder(parts []book.Part) []*book.Chart {
	var out []*book.Chart
	for _, p := range parts {
		p.Visit(func(n book.Part) bool {
			if of := n.Ref(); of != nil && of.Kind == book.RefChart && !slices.Contains(out, of.Chart) {
				out = append(out, of.Chart)
			}
			return !n.Chooses()
		}, nil)
	}
	return out
}
