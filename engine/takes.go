package engine

import (
	"ferrule/engine/club"
	"ferrule/lang/book"
)

// Takes tells whether a rule about clubs or neighbours is about a club of a set. It is
// Unknown where that cannot be told for want of a measurement, and for a rule about
// whole sets.
func (p *Program) Takes(r *book.Rule, s *club.Set, c *club.Club) Truth {
	for _, one := range p.rules {
		if one.Rule == r && one.selector != nil {
			x := env{j: p.scratch(), info: one.info, club: c, bag: &bag{set: s, clubs: s.Clubs, refused: s.Refused}}
			return x.takes(one.Among.Decl).truth
		}
	}
	return Unknown
}
