package engine

// This file finds what the books say about the shop's work on shafts.

import "ferrule/lang/check"

// ButtMass returns the mass per length at the butt that the books state, nil where none does; differ
// is set where two state different ones, and then it is nil too.
func (p *Program) ButtMass() (c *check.Constant, differ bool) {
	return p.one(func(b *check.Book) *check.Constant { return b.ButtMass })
}

// TipMass returns the mass per length at the tip as ButtMass does that at the butt.
func (p *Program) TipMass() (c *check.Constant, differ bool) {
	return p.one(func(b *check.Book) *check.Constant { return b.TipMass })
}

// Extension returns how far the books let a shaft be extended, the least of what they say; nil where
// none says anything.
func (p *Program) Extension() *check.Constant {
	var least *check.Constant
	for _, c := range p.stated(func(b *check.Book) *check.Constant { return b.Extension }) {
		if least == nil || c.Base < least.Base {
			least = c
		}
	}
	return least
}

func (p *Program) one(of func(*check.Book) *check.Constant) (*check.Constant, bool) {
	var found *check.Constant
	for _, c := range p.stated(of) {
		if found != nil && c.Base != found.Base {
			return nil, true
		}
		found = c
	}
	return found, false
}

// stated is what the named books state; where none of them does, what the books say that they use,
// and so on.
func (p *Program) stated(of func(*check.Book) *check.Constant) []*check.Constant {
	seen := map[*check.Book]bool{}
	for level := p.Books; len(level) > 0; {
		var found []*check.Constant
		var below []*check.Book
		for _, b := range level {
			if seen[b] {
				continue
			}
			seen[b] = true
			if c := of(b); c != nil {
				found = append(found, c)
			}
			for _, u := range b.Uses {
				below = append(below, u.Book)
			}
		}
		if found != nil {
			return found
		}
		level = below
	}
	return nil
}
