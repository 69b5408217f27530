package session

// This file has the clubs of an order that are not on the sheet wait at the bench to be measured. The first reading of
// one puts its row on the sheet.

import (
	"slices"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
)

// ordered is a club that waits: where it is to be, and what its row says of it.
type ordered struct {
	spot
	club, id string
}

// order finds the clubs that wait. One that could not be told from another by its row is left to be added by hand.
func (s *Session) order() {
	sets := s.layout.Find("set") >= 0 || len(s.rows()) == 0
	for _, b := range s.bags {
		s.unread = append(s.unread, b.set.Order.Refused...)
		for _, u := range b.set.Order.Unpaired[club.NotOnSheet] {
			w := ordered{spot{b.name, u.Name, u.Setting}, u.Name, ""}
			if u.Named && (len(b.clubs) == 0 || b.set.HasIDs()) {
				w.id, w.spot.id = u.ID, u.ID
			}
			same := func(o ordered) bool { return o.key() == w.key() }
			if _, c := s.find(w.spot); c == nil && (sets || b.name == "") && !slices.ContainsFunc(s.waiting, same) {
				s.waiting = append(s.waiting, w)
			}
		}
	}
}

// met reports whether something was read of a club that waits.
func (s *Session) met(w ordered) bool {
	return slices.ContainsFunc(s.entries, func(e Entry) bool { return e.Word != wordClub && e.spot().key() == w.key() })
}

// ids are the clubs of the set in hand, as lines name them.
func (s *Session) ids() []string {
	here := lists.Kept(s.rows(), func(r row) bool { return catalogue.Same(r.bag.name, s.at.set) })
	return lists.Each(here, func(r row) string { return r.club.ID })
}
