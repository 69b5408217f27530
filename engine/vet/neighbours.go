package vet

// This file looks at one rule about neighbours or sets by itself: whether it can apply, whether its exceptions can hold
// and agree, and whether what it requires can be shown. The conditions of one about sets are in conditions.go.

import (
	"fmt"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

func (a *analyst) neighboursAndSets() {
	for _, r := range a.book.Rules {
		kind := r.Subject
		if kind == ast.OfClub {
			continue
		}
		if !a.Pay(20 + a.Size/100) {
			return
		}
		if kind == ast.OfNeighbours && a.empty(r.Among.Decl) {
			a.find(diag.NeverApplies, r.Decl.For.Span, nil, fmt.Sprintf("%s can never apply: it is about no club", r.Decl.Name.Text), "a list and a condition that some club meets")
			continue
		}
		if r.Decision.Kind != ast.Simple && !a.neverSure(r) {
			a.unshown(r)
		}
		if kind == ast.OfNeighbours && len(r.Decl.Unless) > 0 {
			a.pairExceptions(r)
		}
		if kind == ast.OfSet {
			a.setConditions(r)
		}
	}
}

// unshown looks for a step or a value of a set that no readings can show to be met.
func (a *analyst) unshown(r *book.Rule) {
	f, ok := r.Value.Form()
	if !ok || r.Bound == nil {
		return
	}
	on, _ := space.Together(r)
	for _, b := range space.Chains(a.Stocks([]*book.Rule{r})) {
		set, ok := space.Read(a.Program, b)
		if !ok {
			continue
		}
		none := false
		j := a.Program.Only(on, r)
		j.Set(set, judge.Sink{Result: func(res *judge.Result) { none = none || res.NoneCanPass }})
		if !none {
			continue
		}
		w, ok := a.Witness(b, on, r)
		if ok && (w.Verdict(r) == decide.Fail || w.Verdict(r) == decide.TooClose) {
			w.About(r.Subject, w.Verdicts[0].On)
			a.find(diag.NeverShown, r.Decl.Require.Span, w, fmt.Sprintf("no readings of %s can be sure to meet %s: they are not fine enough for so narrow a tolerance", f.Property.Name, r.Decl.Name.Text),
				"a wider tolerance, a finer method, or decision simple", a.decisionLabel(r)...)
			return
		}
	}
}

// pairExceptions looks at the exceptions of a rule about neighbours.
func (a *analyst) pairExceptions(r *book.Rule) {
	on, _ := space.Together(r)
	holds := map[*ast.Unless]bool{}
	clashes := map[[2]*ast.Unless]space.Bag{}
	j := a.Program.Only(book.NoDay, r)
	var exempt space.Bag // two clubs that are exempt
	judged := false
	look := func(b space.Bag) {
		j.Set(b.Lay(a.Program.Schema), judge.Sink{
			Conflict: func(c *judge.Conflict) {
				if _, ok := clashes[c.Between]; !ok && c.Between[0] != nil {
					clashes[c.Between] = b.Clone()
				}
			},
			Result: func(res *judge.Result) {
				switch {
				case res.Verdict == decide.Exempt:
					exempt = b.Clone()
				case len(res.Subject.Clubs) == 2 && (res.Verdict != decide.Unmeasured || b[0].Number != b[1].Number || b[0].Number == 0): // two of a number may tie by it
					judged = true
				}
				noteHolding(holds, res)
			},
		})
	}
	whole := a.EachPair(r, look)
	for i, u := range r.Decl.Unless {
		for _, t := range r.Decl.Unless[:i] {
			b, ok := clashes[[2]*ast.Unless{t, u}]
			if !ok {
				continue
			}
			holds[t], holds[u] = true, true
			a.disagreement(r, t, u, b, on, "pair of clubs")
		}
	}
	if whole && exempt != nil && !judged && len(clashes) == 0 {
		if w, ok := a.Witness(exempt, on, r); ok && w.Verdict(r) == decide.Exempt {
			w.About(r.Subject, w.Verdicts[0].On)
			a.tellLifted(r, w, "pair of clubs")
		}
	}
	for _, u := range r.Decl.Unless {
		if whole && !holds[u] {
			a.neverHolds(r, u, "two clubs that the rule is about meet", "a condition that some neighbours meet")
		}
	}
}

// disagreement tells of two exceptions that hold for one subject of a bag and disagree.
func (a *analyst) disagreement(r *book.Rule, t, u *ast.Unless, b space.Bag, on book.Day, subject string) {
	if w, ok := a.Witness(b, on, r); ok && w.Verdict(r) == 0 {
		a.find(diag.ExceptionsClash, u.Span, w, fmt.Sprintf("two exceptions of %s hold for one %s and disagree, so the rule gives it no verdict", r.Decl.Name.Text, subject),
			"conditions that never hold together, or the same outcome", diag.Label{Span: t.Span, Text: "the other exception"})
	}
}
