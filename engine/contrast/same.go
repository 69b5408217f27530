package contrast

// This file tells of parts of a rule that are written differently in two editions whether they mean the same after
// all, on the clubs that count for the part alone.

import (
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// mostClubs bounds the clubs that are laid out for one part.
const mostClubs = 20_000

// Differing leaves of the parts of unlike form those that are not known to mean the same.
func (d *Books) Differing(p Pair, parts []What) []What {
	if p.Old == nil || p.New == nil || p.Old.Subject != p.New.Subject {
		return parts
	}
	return slices.DeleteFunc(parts, func(w What) bool {
		return w == Scope && d.sameScope(p) || w == Exception && d.sameExceptions(p)
	})
}

// sameScope reports whether the selectors of two rules take the same clubs.
func (d *Books) sameScope(p Pair) bool {
	n := book.NewKeys(false)
	if p.Old.Subject == ast.OfSet || n.Part(p.Old.By) != n.Part(p.New.By) {
		return false
	}
	return d.sameClubs(p.Old.Among, p.New.Among)
}

// sameClubs reports whether two selectors of the two editions take the same clubs; false too where that is not known.
func (d *Books) sameClubs(a, b book.Clubs) bool {
	s := space.NewSpace()
	s.Clubs(a)
	s.Clubs(b)
	return d.onAll(s, func(old, new *club.Club) bool {
		return d.oldAsk.Takes(a.Decl, a.Info, old) == d.newAsk.Takes(b.Decl, b.Info, new)
	})
}

// lifts is what the exceptions of a rule come to on a club: the forms of the bounds of those that hold, and of those
// that may hold.
type lifts struct{ hold, may []string }

// sameExceptions reports whether the exceptions of two rules about clubs bring the same on every club.
func (d *Books) sameExceptions(p Pair) bool {
	if p.Old.Subject != ast.OfClub || p.Old.Plain() < len(p.Old.Unless) || p.New.Plain() < len(p.New.Unless) {
		return false
	}
	s := space.NewSpace()
	n := book.NewKeys(false)
	var forms [2][]string
	for i, r := range []*book.Rule{p.Old, p.New} {
		for _, u := range r.Unless {
			s.Part(u.When, false)
			forms[i] = append(forms[i], n.Bound(u.Bound))
		}
	}
	of := func(ask *judge.Probe, r *book.Rule, forms []string, c *club.Club) lifts {
		var l lifts
		for i, u := range r.Unless {
			switch ask.Holds(u.When.Expr, u.When.Info, c) {
			case value.True:
				l.hold = append(l.hold, forms[i])
			case value.Unknown:
				l.may = append(l.may, forms[i])
			}
		}
		slices.Sort(l.hold)
		slices.Sort(l.may)
		l.hold, l.may = slices.Compact(l.hold), slices.Compact(l.may)
		return l
	}
	return d.onAll(s, func(old, new *club.Club) bool {
		a, b := of(d.oldAsk, p.Old, forms[0], old), of(d.newAsk, p.New, forms[1], new)
		return slices.Equal(a.hold, b.hold) && slices.Equal(a.may, b.may)
	})
}

// onAll reports whether something holds for every club that a space tells apart; false too where that is not
// known.
func (d *Books) onAll(s *space.Space, holds func(old, new *club.Club) bool) bool {
	if s.Bags || s.Repeats || len(s.Methods) > 0 && (d.shops || len(s.Methods) > 2) {
		return false
	}
	s.NumberAbsent, s.MarkAbsent = true, true
	for _, a := range s.Axes {
		a.Absent = true
	}
	w := s.Walk(d.old, s.Axes)
	w.Left = mostClubs
	if !s.Whole() {
		return false
	}
	for c := range w.All() {
		var old, new club.Club
		c.LayInto(&old, d.old.Schema)
		c.LayInto(&new, d.new.Schema)
		if !holds(&old, &new) {
			return false
		}
	}
	return !w.Cut
}
