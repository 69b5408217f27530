package vet

// This file looks for rules of which some clubs can never be measured.

import (
	"fmt"

	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// mostTried is how many clubs of a kind are looked at for one that no exception takes out.
const mostTried = 16

// uncovered looks, among clubs that none of a rule's methods covers, for one that the rule is about all the same. The
// clubs have whatever else the rule looks at, so the length is all that they lack.
func (a *analyst) uncovered(r *book.Rule, s *space.Space, clubs []space.Draft) {
	day, _ := space.Together(r)
	for _, d := range clubs {
		tried, found := 0, false
		a.Walk(s, s.Axes).Each(&d, s.Axes, func(on *space.Draft) bool {
			w, ok := a.Witness(space.Bag{*on}, day, r)
			if found = ok && w.Verdict(r) == decide.Unmeasured; found {
				m := s.Methods[0].Decl
				a.find(diag.NeverMeasured, r.Decl.Require.Span, w,
					fmt.Sprintf("%s can never be measured for some of its clubs, such as %s: the method %s does not cover them",
						r.Decl.Name.Text, on.Phrase(), m.Name.Text),
					"an except, a where or an exception that takes them out, or a method that covers them",
					diag.Label{Span: m.Covers.Span, Text: "what " + m.Name.Text + " covers"})
			}
			tried++
			return !found && tried < mostTried
		})
		if found {
			return
		}
	}
}
