package contrast

// This file lays out bags for rules about neighbours and about sets.

import (
	"math"
	"slices"

	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// members are clubs of which bags are made: one for each cell of what decides whether a rule is about them, with
// common readings of what it requires something of.
func (u *Comparison) members() []space.Draft {
	var out []space.Draft
	seen := map[string]bool{}
	u.eachDraft(u.scope, func(d *space.Draft) bool {
		e := *d
		for _, a := range append(slices.Clone(u.free), u.pivot) {
			if a != nil {
				e = u.common(a, &e)
			}
		}
		if key := e.Key(); !seen[key] {
			if len(out) == mostMembers {
				u.Cut = true
				return false
			}
			seen[key] = true
			out = append(out, e)
		}
		return true
	})
	return out
}

// eachPair tries pairs of clubs, their order by whatever key, and each club by itself.
func (u *Comparison) eachPair() {
	members := u.members()
	for i := range members {
		for k := i; k < len(members); k++ {
			sweep := func(a, b space.Draft) bool { return u.sweep(space.Bag{a, b}, u.try) }
			if !u.eachApart(members[i], members[k], sweep) {
				return
			}
		}
	}
	for _, d := range members {
		if !u.try(space.Bag{d}) {
			return
		}
	}
}

// apart is the second of two clubs, with another key where they would tie.
func (u *Comparison) apart(a, b space.Draft) space.Draft {
	for _, s := range u.sides {
		if s.rule == nil {
			continue
		}
		b = space.Apart(s.rule, &a, b, 1)
	}
	return b
}

// eachBag tries bags of a few clubs, and where these show nothing as many as the values of the set that the rule rests
// on ask for.
func (u *Comparison) eachBag() {
	members := u.members()
	if u.few(members); u.done() {
		return
	}
	u.fill(members)
}

// done reports whether the search is over: there is a subject for each part, or no more bags are to be tried.
func (u *Comparison) done() bool {
	return u.Cut || len(u.Best) == len(u.parts) || u.First && len(u.Best)+len(u.Mixed) > 0
}

// few tries bags of one club, of several of a kind, and of two kinds.
func (u *Comparison) few(members []space.Draft) {
	copies := u.copies()
	for _, d := range members {
		if !u.sweep(space.Bag{d}, u.try) {
			return
		}
		for n := 2; n <= copies; n++ {
			if !u.try(slices.Repeat(space.Bag{d}, n)) {
				return
			}
		}
	}
	for i := range members {
		for k := range members {
			if !u.sweep(space.Bag{members[i], members[k]}, u.try) {
				return
			}
			for _, n := range []int{copies - 1, copies} {
				for m := 1; m < n && i != k; m++ {
					b := append(slices.Repeat(space.Bag{members[i]}, m), slices.Repeat(space.Bag{members[k]}, n-m)...)
					if !u.try(b) {
						return
					}
				}
			}
		}
	}
}

// copies is how many clubs a bag has to have so that every count that a rule names is exceeded, within reason.
func (u *Comparison) copies() int {
	most := 2
	for _, n := range u.turningCounts() {
		if n < mostCopies {
			most = max(most, n+1)
		}
	}
	return most
}

// turningCounts are the figures for counts that a rule names, in either edition, rounded up.
func (u *Comparison) turningCounts() []int {
	var out []int
	for _, s := range u.sides {
		if s.rule == nil {
			continue
		}
		count := func(p book.Part) {
			p.Visit(func(p book.Part) bool {
				if c := p.Constant(); c != nil && p.Type().Dim == unit.Count && c.Base <= catalogue.HighestNumber {
					out = append(out, int(math.Ceil(c.Base)))
				}
				return !p.Chooses()
			}, nil)
		}
		count(s.rule.Value)
		for _, x := range s.rule.Unless {
			count(x.When)
		}
		for _, b := range s.rule.Bounds() {
			for _, p := range b.Parts() {
				count(p)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
