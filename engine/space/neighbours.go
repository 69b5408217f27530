package space

// This file says what neighbours are sorted by, and which clubs a rule may be about.

import (
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

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
