package space

// This file says what a rule is about: the charts that what it requires depends on, what its neighbours are sorted by,
// and which clubs it may be about.

import (
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
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
			if of := n.Ref(); of != nil && of.Kind == book.RefChart {
				out = lists.Also(out, Charted{of.Chart, u})
			}
			return !n.Chooses()
		}, nil)
	}
	return out
}

// SortedBy returns the property that neighbours are sorted by; false where that is a number or a formula.
func SortedBy(r *book.Rule) (p catalogue.Property, ok bool) {
	if ref := r.By.Ref(); ref != nil && ref.Kind == book.RefProperty {
		return ref.Property, true
	}
	return p, false
}

// MayBe reports whether a club of which no more is known than its kind, number and mark may be meant.
func (a *Search) MayBe(of book.Clubs, d Draft) bool {
	sel, asks := of.Decl, false
	book.Part{Expr: sel.Where, Info: of.Info}.Visit(func(p book.Part) bool {
		_, has := p.Expr.(*ast.Has)
		asks = asks || has
		return true
	}, nil)
	if asks {
		sel = &ast.Selector{Span: sel.Span, Items: sel.Items, Except: sel.Except}
	}
	if !a.Pay(3) { // nobody can tell any more, and nothing is found out of it
		return true
	}
	c := d.Club(a.Program.Schema)
	return a.Probe.Takes(sel, of.Info, c) != value.False
}
