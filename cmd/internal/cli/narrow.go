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
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// narrowing is what a call is narrowed to: what is judged, counted and shown, and so the exit code.
type narrowing struct {
	only  []string // rules
	sets  wanted   // by their names
	clubs wanted   // by their ids
}

// wanted are sets or clubs that are asked for; all are where none is named.
type wanted struct {
	named []string
	met   map[string]bool // what was on the sheets, where some are named
}

// sentence is what it says for the head of the report; "" where nothing is narrowed.
func (n *narrowing) sentence() string {
	var to []string
	for i, names := range [][]string{n.only, n.sets.named, n.clubs.named} {
		what := []string{"rule ", "set ", "club "}[i]
		for _, name := range names {
			to = append(to, what+cmp.Or(diag.Visible(name), `""`))
		}
	}
	if to == nil {
		return ""
	}
	return "Only " + unit.Listed(to, "and") + ": nothing else was judged, counted or shown."
}

// about reports whether a subject is among what was asked for.
func (n *narrowing) about(s judge.Subject) bool {
	return n.sets.has(s.Set) && (n.clubs.named == nil ||
		slices.ContainsFunc(s.Clubs, func(c *club.Club) bool { return n.clubs.has(c.ID) }))
}

// onlySets takes the clubs from a set that was not asked for, and notes its name and the ids of those that are left.
// Rows that may belong to any set stay.
func (n *narrowing) onlySets(set *club.Set) {
	if !n.sets.has(set.Name) {
		set.Clubs, set.Rows, set.Superseded = nil, 0, 0
		set.Refused = lists.Kept(set.Refused, func(f club.Refusal) bool { return f.AnySet })
	}
	set.Order.Keep(func(name string) bool { return n.sets.has(name) || n.sets.has(set.Name) }, n.clubs.has)
	n.sets.meet(set.Name)
	for _, c := range set.Clubs {
		n.clubs.meet(c.ID)
	}
	for _, f := range set.Refused {
		n.clubs.meet(f.Club.ID)
	}
	for _, u := range set.Order.Unpaired[club.NotOnSheet] {
		n.clubs.meet(u.ID)
	}
}

// onlyClubs takes all but the clubs that were asked for from a set. Rows that may be one of them stay.
func (n *narrowing) onlyClubs(set *club.Set) {
	if n.clubs.named == nil {
		return
	}
	set.Clubs = lists.Kept(set.Clubs, func(c *club.Club) bool { return n.clubs.has(c.ID) })
	mayBe := func(f club.Refusal) bool { return f.Club.ID == "" || n.clubs.has(f.Club.ID) }
	set.Refused = lists.Kept(set.Refused, mayBe)
	set.Rows, set.Superseded = 0, 0
	for _, c := range set.Clubs {
		for ; c != nil; c = c.Next {
			set.Rows++
		}
	}
}

// has reports whether a name is one of those asked for.
func (w *wanted) has(name string) bool {
	return w.named == nil || catalogue.Listed(w.named, name)
}

// meet notes a name where some are asked for: each of those, and as many others that may have been meant as there is
// sense in.
func (w *wanted) meet(name string) {
	const most = 10_000
	if w.named == nil || len(w.met) >= most && !w.has(name) {
		return
	}
	if w.met == nil {
		w.met = map[string]bool{}
	}
	w.met[strings.Clone(name)] = true
}

// missing is an error where a set or a club that was asked for was not met, however it is written.
func (n *narrowing) missing(where string) error {
	for i, w := range []*wanted{&n.sets, &n.clubs} {
		what := []string{"set ", "club "}[i]
		met := slices.Sorted(maps.Keys(w.met))
		for _, name := range w.named {
			if !catalogue.Listed(met, name) {
				return mistake("no " + what + diag.Quote(name) + " is on the " + where + didYouMean(name, met))
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
