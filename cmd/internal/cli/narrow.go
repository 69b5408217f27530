package cli

// This file narrows what a call is about to some of the rules, sets and clubs.

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// narrowing is what a call is narrowed to: what is judged, counted and shown, and so the exit code.
type narrowing struct {
	only  []string // rules
	sets  []string
	clubs []string // ids

	met [2]map[string]bool // names of sets and ids of clubs that were on the sheets, where some are asked for
}

// sentence is what it says for the head of the report; "" where nothing is narrowed.
func (n *narrowing) sentence() string {
	var to []string
	say := func(what string, names ...string) {
		for _, name := range names {
			to = append(to, what+" "+cmp.Or(diag.Visible(name), `""`))
		}
	}
	say("rule", n.only...)
	say("set", n.sets...)
	say("club", n.clubs...)
	if to == nil {
		return ""
	}
	return "Only " + unit.Listed(to, "and") + ": nothing else was judged, counted or shown."
}

// about reports whether a subject is among what was asked for.
func (n *narrowing) about(s judge.Subject) bool {
	return among(n.sets, s.Set) &&
		(n.clubs == nil || slices.ContainsFunc(s.Clubs, func(c *club.Club) bool { return among(n.clubs, c.ID) }))
}

// onlySets takes the clubs from a set that was not asked for, and returns the ids of those that are left. Rows that may
// belong to any set stay.
func (n *narrowing) onlySets(set *club.Set) (ids []string) {
	if !among(n.sets, set.Name) {
		set.Clubs, set.Rows, set.Superseded = nil, 0, 0
		set.Refused = kept(set.Refused, func(f club.Refusal) bool { return f.AnySet })
	}
	set.Order.Keep(func(name string) bool { return among(n.sets, name) || among(n.sets, set.Name) },
		func(id string) bool { return among(n.clubs, id) })
	if n.clubs == nil {
		return nil
	}
	for _, c := range set.Clubs {
		ids = append(ids, c.ID)
	}
	for _, f := range set.Refused {
		ids = append(ids, f.Club.ID)
	}
	for _, u := range set.Order.Unpaired[club.NotOnSheet] {
		ids = append(ids, u.ID)
	}
	return ids
}

// onlyClubs takes all but the clubs that were asked for from a set. Rows that may be one of them stay.
func (n *narrowing) onlyClubs(set *club.Set) {
	if n.clubs == nil {
		return
	}
	set.Clubs = kept(set.Clubs, func(c *club.Club) bool { return among(n.clubs, c.ID) })
	set.Refused = kept(set.Refused, func(f club.Refusal) bool { return f.Club.ID == "" || among(n.clubs, f.Club.ID) })
	set.Rows, set.Superseded = 0, 0
	for _, c := range set.Clubs {
		for ; c != nil; c = c.Next {
			set.Rows++
		}
	}
}

// kept is a new list of those of a list that are to be kept.
func kept[T any](list []T, keep func(T) bool) (out []T) {
	for _, one := range list {
		if keep(one) {
			out = append(out, one)
		}
	}
	return out
}

// meet notes names of sets and ids of clubs where some are asked for: those, and others that may have been meant, as many
// as there is sense in.
func (n *narrowing) meet(sets, clubs []string) {
	const most = 10_000
	wanted := [2][]string{n.sets, n.clubs}
	for i, names := range [2][]string{sets, clubs} {
		if wanted[i] != nil && n.met[i] == nil {
			n.met[i] = map[string]bool{}
		}
		for _, name := range names {
			if wanted[i] != nil && (len(n.met[i]) < most || among(wanted[i], name)) {
				n.met[i][strings.Clone(name)] = true
			}
		}
	}
}

// missing is an error where a set or a club that was asked for was not met, however it is written.
func (n *narrowing) missing(where string) error {
	for i, wanted := range [2][]string{n.sets, n.clubs} {
		seen := slices.Sorted(maps.Keys(n.met[i]))
		for _, name := range wanted {
			if !slices.ContainsFunc(seen, func(s string) bool { return catalogue.Same(s, name) }) {
				return mistake("no " + []string{"set", "club"}[i] + " " + diag.Quote(name) + " is on the " + where +
					didYouMean(name, seen))
			}
		}
	}
	return nil
}

// named is a list of one name, empty where there is none.
func named(name string) []string {
	if name == "" {
		return nil
	}
	return []string{name}
}

// among reports whether a name is one of those asked for; each is where none is.
func among(asked []string, name string) bool {
	return asked == nil || slices.ContainsFunc(asked, func(a string) bool { return catalogue.Same(a, name) })
}
