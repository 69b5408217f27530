package judge

// This file says which properties the books of a program look at.

import (
	"cmp"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Asks reports for each property whether something in the books, or in those that they use, looks at it, or it is
// one of more. A length that is read by a method may be brought to another one, so it asks for the lie as well.
func (p *Program) Asks(more ...catalogue.ID) func(catalogue.ID) bool {
	asked := p.asks(false)
	for _, id := range more {
		asked.add(p.Schema.Property(id))
	}
	return asked.of
}

// AsksOrder does so for an order beside the sheet, of which more is asked where a length is converted.
func (p *Program) AsksOrder() func(catalogue.ID) bool {
	asked := p.asks(true)
	if !asked.of(catalogue.Lie) {
		return asked.of
	}
	visit := func(part book.Part) bool {
		if r := part.Ref(); r != nil && r.Kind == book.RefProperty {
			asked.add(r.Property)
		}
		return true
	}
	for _, b := range book.Reach(p.Books) {
		for _, h := range b.Heads {
			book.Part{Expr: h.Decl.Where, Info: b.Info}.Visit(visit, nil)
		}
		for _, a := range b.Allowances {
			book.Part{Expr: a.Decl.Where, Info: b.Info}.Visit(visit, nil)
		}
		for _, m := range b.Methods {
			book.Clubs{Decl: cmp.Or(m.Decl.Covers, &ast.Covers{}).Selector, Info: b.Info}.Visit(visit, nil)
		}
	}
	return asked.of
}

// asked says of each property whether it is looked at.
type asked []bool

func (a asked) of(id catalogue.ID) bool { return int(id) >= len(a) || a[id] }

func (a asked) add(q catalogue.Property) {
	if a[q.ID] = true; q.ByMethod {
		a[catalogue.LengthID], a[catalogue.Lie] = true, true
	}
}

// asks are the properties that the books look at, on the sheet or on an order. The lie of the club counts where its
// order has none.
func (p *Program) asks(ordered bool) asked {
	out := make(asked, p.Schema.Len())
	for _, b := range book.Reach(p.Books) {
		for _, r := range b.Info.Refs {
			switch {
			case r.Kind != book.RefProperty:
			case r.Property.Ordered == ordered:
				out.add(r.Property)
			case !ordered && r.Property.ByMethod:
				out[catalogue.Lie] = true
			}
		}
	}
	return out
}
