package analyse

// This file finds the charts that what a rule requires rests on.

import (
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// charted is a chart that a bound rests on: that of an exception, or, where that is nil, what the rule requires.
type charted struct {
	chart  *book.Chart
	unless *ast.Unless
}

// chartsIn lists the charts that the bounds of a rule rest on.
func chartsIn(r *book.Rule) []charted {
	var out []charted
	for _, h := range chartsOf(r) {
		out = append(out, charted{chart: h})
	}
	for _, u := range r.Unless {
		for _, h := range chartsUnder(u.Bound.Parts()) {
			out = append(out, charted{h, u.Decl})
		}
	}
	return out
}

// chartsOf lists the charts that what a rule requires rests on.
func chartsOf(r *book.Rule) []*book.Chart {
	return chartsUnder(append(r.Bound.Parts(), r.Value))
}

// chartsUnder lists the charts in some formulas, other than in what chooses between them.
func chartsUnder(parts []book.Part) []*book.Chart {
	var out []*book.Chart
	for _, p := range parts {
		p.Visit(func(n book.Part) bool {
			of := n.Ref()
			if of == nil || of.Kind != book.RefChart {
				return of == nil || of.Kind != book.RefGroup
			}
			if !slices.Contains(out, of.Chart) {
				out = append(out, of.Chart)
			}
			return false
		}, nil)
	}
	return out
}
