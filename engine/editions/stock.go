package editions

// This file holds two editions of a book against each other on a real stock of clubs.

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/contrast"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/book"
)

// Effect is a subject of a stock that two editions judge differently by a rule.
type Effect struct {
	contrast.Pair
	Subject  judge.Subject
	Old, New space.Saying
}

// Stock judges a stock by both editions of a book.
type Stock struct {
	pairs    []contrast.Pair
	judges   [2]*judge.Judge
	Conflict func(*judge.Conflict) // told of every place where an edition disagrees with itself; may be nil
}

// NewStock judges by the rules of two editions on a day; pairs are those that Diff found.
func NewStock(old, new *judge.Program, pairs []contrast.Pair, on book.Day) *Stock {
	all := judge.Options{Day: on, All: true}
	return &Stock{pairs: pairs, judges: [2]*judge.Judge{old.NewJudge(all), new.NewJudge(all)}}
}

// Doubts are the readings of a set, read once for either edition, that one of them has a doubt about.
func (s *Stock) Doubts(old, new *club.Set) []club.Doubt {
	out := s.judges[0].Doubts(old)
	for _, d := range s.judges[1].Doubts(new) {
		same := func(e club.Doubt) bool { return e.Row == d.Row && e.Column == d.Column && e.Message == d.Message }
		if !slices.ContainsFunc(out, same) {
			out = append(out, d)
		}
	}
	slices.SortStableFunc(out, func(a, b club.Doubt) int { return cmp.Compare(a.Row.Row, b.Row.Row) })
	return out
}

// Set judges a set, read once for either edition, and returns what differs: by the rules in the order of the newer
// edition, those that are gone behind them, and by a rule in the order of the sheet. Clubs whose row either edition
// cannot read are left out.
func (s *Stock) Set(old, new *club.Set) []Effect {
	var found [2]map[*book.Rule]map[string]space.Saying
	order := map[string]int{}
	refused := map[int]bool{}
	for _, f := range slices.Concat(old.Refused, new.Refused) {
		refused[f.Row.Row] = true
	}
	for i, set := range []*club.Set{old, new} {
		by := map[*book.Rule]map[string]space.Saying{}
		found[i] = by
		space.Listen(s.judges[i], set, func(said space.Saying) {
			switch {
			case said.Conflict != nil:
				if s.Conflict != nil {
					s.Conflict(said.Conflict)
				}
			case !slices.ContainsFunc(said.Subject().Clubs, func(c *club.Club) bool { return refused[c.Row] }):
				key := subjectKey(said.Subject())
				if _, ok := order[key]; !ok {
					order[key] = len(order)
				}
				if by[said.Rule] == nil {
					by[said.Rule] = map[string]space.Saying{}
				}
				by[said.Rule][key] = said
			}
		})
	}
	var out []Effect
	for _, p := range s.pairs {
		o, n := found[0][p.Old], found[1][p.New]
		either := map[string]space.Saying{}
		maps.Copy(either, o)
		maps.Copy(either, n)
		for _, k := range slices.SortedFunc(maps.Keys(either), func(a, b string) int { return order[a] - order[b] }) {
			if o[k].Verdict(true) != n[k].Verdict(true) {
				out = append(out, Effect{Pair: p, Subject: either[k].Subject(), Old: o[k], New: n[k]})
			}
		}
	}
	return out
}

// subjectKey tells subjects of one set apart.
func subjectKey(s judge.Subject) string {
	return strings.Join(append([]string{fmt.Sprint(s.Kind)}, s.IDs()...), "\x00")
}
