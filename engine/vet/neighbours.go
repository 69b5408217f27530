package vet

// This file looks at one rule about neighbours or sets by itself: whether it can apply, whether its exceptions can hold
// and agree, and whether what it requires can be shown.

import (
	"fmt"

	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

func (a *analyst) neighboursAndSets() {
	for _, r := range a.book.Rules {
		if r.Subject == ast.OfClub {
			continue
		}
		if !a.Pay(20 + a.Size/100) {
			return
		}
		if r.Subject == ast.OfNeighbours && a.empty(r.Among.Decl) {
			a.findAboutNothing(r)
			continue
		}
		if !a.neverSure(r) && r.Decision.Kind != ast.Simple {
			a.unshown(r)
		}
		if _, plain := r.Value.Form(); plain && r.Bound != nil && r.Bound.Fixed() {
			a.unmeetable(r)
		}
		if len(r.Unless) > 0 || r.Subject == ast.OfSet && r.Among.Decl != nil {
			a.conditions(r)
		}
	}
}

// unshown looks for a step or a value of a set that no readings can show to be met.
func (a *analyst) unshown(r *book.Rule) {
	f, ok := r.Value.Form()
	if !ok || r.Bound == nil {
		return
	}
	side := a.Side(r)
	message := fmt.Sprintf("no readings of %s can be sure to meet %s: "+
		"they are not fine enough for so narrow a tolerance", f.Property.Name, r.Decl.Name.Text)
	for _, b := range chains(a.stocks([]*book.Rule{r})) {
		for _, s := range side.Look(b) {
			if s.Result != nil && s.Result.NoneCanPass && a.findNeverShown(r, b, message) {
				return
			}
		}
	}
}

// unmeetable looks for a step or a value of a set that nothing that is read can bring within its limits.
func (a *analyst) unmeetable(r *book.Rule) {
	side := a.Side(r)
	t := a.Tour(space.TourOptions{}, side)
	var failed space.Bag
	unmet := t.Each(func(b space.Bag) bool {
		for _, s := range side.Look(b) {
			switch {
			case s.Of != r.Subject || s.Of == ast.OfNeighbours && len(s.Clubs) != 2:
			case s.Conflict != nil, s.Result.NoneCanPass,
				s.Result.Verdict == decide.Pass, s.Result.Verdict == decide.Exempt:
				return false
			case s.Result.Verdict == decide.Fail && failed == nil:
				failed = b
			}
		}
		return true
	})
	h := &t.Holdings[0]
	loose := h.Scope.Loose || h.Exceptions.Loose || h.Limit.Loose
	if !unmet || failed == nil || !t.Whole() || len(t.Methods) > 1 || loose {
		return
	}
	if w := a.shows(r, failed, decide.Fail); w != nil {
		a.unmet[r] = true
		const expected, message = "limits with room between them", "%s can never be met, whatever %s"
		if by := r.Decl.For.By; by != nil {
			a.find(NeverMet, r.Decl.Require.Span, w, expected, message,
				r.Decl.Name.Text, "is read of two neighbours").see(by.Place(), "what they are sorted by")
		} else {
			a.find(NeverMet, r.Decl.Require.Span, w, expected, message, r.Decl.Name.Text, "a set holds")
		}
	}
}

// conditions looks for a condition or an exception of a rule about neighbours or sets that nothing meets. It also looks
// for two exceptions that hold for one pair or set and disagree, and for exceptions that exempt all that the rule is
// about.
func (a *analyst) conditions(r *book.Rule) {
	name, subject, about, some := r.Decl.Name.Text, "set", "set that the rule is about meets", "set meets"
	if r.Subject == ast.OfNeighbours {
		subject, about, some = "pair of clubs", "two clubs that the rule is about meet", "neighbours meet"
	}
	taken, judged, holds, clashed := false, false, map[*ast.Unless]bool{}, map[[2]*ast.Unless]bool{}
	var exempt space.Bag
	side := a.Side(r)
	t := a.Tour(space.TourOptions{Scope: true}, side)
	t.Each(func(b space.Bag) bool {
		for _, s := range side.Look(b) {
			switch {
			case s.Of != r.Subject || s.Of == ast.OfNeighbours && len(s.Clubs) != 2:
				continue
			case s.Conflict != nil:
				if k := s.Conflict.Between; k[0] != nil && !clashed[k] {
					clashed[k], holds[k[0]], holds[k[1]], taken = true, true, true, true
					a.findClash(r, k, b, subject)
				}
				continue
			case s.Result.Verdict == decide.Exempt:
				exempt, taken = b, true
			case s.Result.Verdict != decide.Unmeasured:
				judged, taken = true, true
			}
			taken = taken || a.Probe.TakesSet(r, b.Lay(a.Program.Schema)) == value.True
			noteHolding(holds, s.Result)
		}
		return true
	})
	switch {
	case !t.Whole() || t.Holdings[0].Scope.Loose || t.Holdings[0].Exceptions.Loose:
		return
	case !taken:
		a.find(NeverApplies, r.Decl.For.Span, nil, "a condition that some "+some,
			"%s can never apply: no %s its condition", name, some)
		return
	case r.Subject == ast.OfNeighbours && exempt != nil && !judged && len(clashed) == 0:
		a.findLifted(r, exempt, subject)
	}
	for _, u := range r.Decl.Unless {
		if !holds[u] {
			a.neverHolds(r, u, about, "a condition that some "+some)
		}
	}
}

// noteHolding notes which exceptions hold for the subject of a result.
func noteHolding(holds map[*ast.Unless]bool, res *judge.Result) {
	for _, s := range res.Steps {
		if s.What != eval.StepException || s.Truth != value.True {
			continue
		}
		for _, u := range res.Rule.Decl.Unless {
			holds[u] = holds[u] || u.Span == s.Line
		}
	}
}
