package book

// This file holds waivers: what is granted to one club, pair or set, for a reason and for a time.

import (
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
)

// Waiver lifts a rule for one subject.
type Waiver struct {
	Book *Book
	Decl *ast.Waive
	Rule *Rule
	Period
}

// Holds reports whether the waiver holds on a day; on NoDay only one without days does.
func (w *Waiver) Holds(on Day) bool {
	return w.InForce(on) && (on != NoDay || w.Period == Period{NoDay, NoDay})
}

// Over reports whether the waiver is over on a day.
func (w *Waiver) Over(on Day) bool { return on > w.last() }

// Covers reports whether the waiver is granted to a subject: some clubs of a set, or a whole set where there are none.
// That of a club is for its pairs, too, and that of a set for everything in it.
func (w *Waiver) Covers(set string, clubs []string) bool {
	on := w.Decl.On
	if on.Set == nil && set != "" || on.Set != nil && !catalogue.Same(on.Set.Value, set) {
		return false
	}
	for _, c := range on.Clubs {
		if !catalogue.Listed(clubs, c.Value) {
			return false
		}
	}
	return true
}

// Fits reports whether the waiver is granted to what its rule is about.
func (w *Waiver) Fits() bool {
	switch w.Rule.Subject {
	case ast.OfSet:
		return len(w.Decl.On.Clubs) == 0
	case ast.OfClub:
		return len(w.Decl.On.Clubs) < 2
	}
	return true
}

// subject is what the waiver is granted to, as Covers takes it.
func (w *Waiver) subject() (set string, clubs []string) {
	if w.Decl.On.Set != nil {
		set = w.Decl.On.Set.Value
	}
	for _, c := range w.Decl.On.Clubs {
		clubs = append(clubs, c.Value)
	}
	return set, clubs
}

// Meets reports whether two waivers of one rule are granted to one subject on one day; of one set and a club of it they
// are not.
func (w *Waiver) Meets(v *Waiver) bool {
	return w.Rule == v.Rule && w.Covers(v.subject()) && v.Covers(w.subject()) && w.Period.Meets(v.Period)
}

// Within reports whether another waiver lifts all that this one can lift: that of a set what one of its clubs does.
func (w *Waiver) Within(v *Waiver) bool {
	return w != v && w.Rule == v.Rule && v.Covers(w.subject()) && w.During(v.Period)
}

// Lifted reports whether one of some waivers is granted on a day to what this one is granted to.
func (w *Waiver) Lifted(by []*Waiver, on Day) bool {
	return slices.ContainsFunc(by, func(v *Waiver) bool { return v.Holds(on) && v.Covers(w.subject()) })
}

// Waivers returns the waivers of some books and of those that they use.
func Waivers(books []*Book) []*Waiver {
	var out []*Waiver
	for _, b := range Reach(books) {
		out = append(out, b.Waivers...)
	}
	return out
}
