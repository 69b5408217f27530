package judge

// This file says which properties the books of a program look at.

import (
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Asks reports for each property whether something in the books, or in those that they use, looks at it, or it is
// one of more. A length that is read by a method may be brought to another one, so it asks for the lie as well.
func (p *Program) Asks(more ...catalogue.ID) func(catalogue.ID) bool {
	asked := make([]bool, p.Schema.Len())
	add := func(q catalogue.Property) {
		if asked[q.ID] = true; q.ByMethod {
			asked[catalogue.LengthID], asked[catalogue.Lie] = true, true
		}
	}
	for _, b := range book.Reach(p.Books) {
		for _, r := range b.Info.Refs {
			if r.Kind == book.RefProperty {
				add(r.Property)
			}
		}
	}
	for _, id := range more {
		add(p.Schema.Property(id))
	}
	return func(id catalogue.ID) bool { return int(id) >= len(asked) || asked[id] }
}
