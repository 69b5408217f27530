package vet

// This file looks at the conditions of one rule about sets: whether it is about some set, and whether its exceptions can
// hold and agree.

import (
	"fmt"
	"slices"

	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// mostAlike bounds how many clubs of one sort a set has.
const mostAlike = 20

// setConditions looks for a condition or an exception of a rule about sets that holds for no set, and for two exceptions
// that hold for one set and disagree.
func (a *analyst) setConditions(r *book.Rule) {
	var conditions []book.Part
	if r.Among.Decl != nil {
		conditions = append(conditions, book.Part{Expr: r.Among.Decl.Where, Info: r.Among.Info})
	}
	for _, u := range r.Unless {
		conditions = append(conditions, u.When)
	}
	if len(conditions) == 0 {
		return
	}
	on, _ := space.Together(r)
	taken, holds, told := false, map[*ast.Unless]bool{}, map[[2]*ast.Unless]bool{}
	j := a.Program.Only(book.NoDay, r)
	whole := a.eachBag(conditions, a.CostOf(r), func(b space.Bag) {
		set := b.Lay(a.Program.Schema)
		if a.Probe.TakesSet(r, set) != value.True {
			return
		}
		taken = true
		j.Set(set, judge.Sink{
			Conflict: func(c *judge.Conflict) {
				if c.Between[0] != nil && !told[c.Between] {
					told[c.Between], holds[c.Between[0]], holds[c.Between[1]] = true, true, true
					a.disagreement(r, c.Between[0], c.Between[1], b, on, "set")
				}
			},
			Result: func(res *judge.Result) { noteHolding(holds, res) },
		})
	})
	switch {
	case !whole || !a.plainly(conditions):
	case !taken:
		a.find(diag.NeverApplies, r.Decl.For.Span, nil,
			fmt.Sprintf("%s can never apply: no set meets its condition", r.Decl.Name.Text), "a condition that some set meets")
	default:
		for _, u := range r.Decl.Unless {
			if !holds[u] {
				a.neverHolds(r, u, "set that the rule is about meets", "a condition that some set meets")
			}
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

// eachBag gives the sets of clubs of one or two sorts, as many of each as some conditions count; false where not all could
// be given. Judging one costs so much.
func (a *analyst) eachBag(conditions []book.Part, cost int, give func(space.Bag)) bool {
	s := space.NewSpace()
	copies := 1
	for _, p := range conditions {
		s.Part(p, false)
		p.Visit(func(p book.Part) bool {
			if c := p.Constant(); c != nil && c.Base < mostAlike {
				copies = max(copies, int(c.Base)+1)
			}
			for v, other := range setValues(p) { // the longest of a set turns where one club does
				if e, ok := v.Expr.(*ast.SetValue); ok {
					s.Compare(v.In(e.Of), other)
				}
			}
			return true
		}, nil)
	}
	var members []space.Draft
	w := a.Walk(s, s.Axes)
	for d := range w.All() {
		members = append(members, *d)
	}
	for i, one := range members {
		for _, two := range members[:i+1] {
			for n := 1; n <= copies; n++ {
				for m := 0; m <= copies; m++ {
					if !a.Pay(5 + cost + 2*(n+m)) {
						return false
					}
					give(append(slices.Repeat(space.Bag{one}, n), slices.Repeat(space.Bag{two}, m)...))
				}
			}
		}
	}
	return !w.Cut
}

// setValues are the values of the set that a formula itself compares with something, and with what.
func setValues(p book.Part) map[book.Part]book.Part {
	out := map[book.Part]book.Part{}
	if b, ok := p.Expr.(*ast.Binary); ok && b.Op.IsComparison() {
		for _, side := range [][2]book.Part{{p.In(b.X), p.In(b.Y)}, {p.In(b.Y), p.In(b.X)}} {
			switch v := side[0].Behind(); v.Expr.(type) {
			case *ast.CountOf, *ast.SetValue:
				out[v] = side[1]
			}
		}
	}
	return out
}

// plainly reports whether the sets that are tried stand for all: where conditions compare no more than two values of the
// set, each a count or that of one club, with figures, and whatever else they speak of is known to be whole.
func (a *analyst) plainly(conditions []book.Part) bool {
	s, keys, known, plain := space.NewSpace(), book.NewKeys(false), map[string]bool{}, true
	gather := func(p book.Part) bool {
		values := setValues(p)
		for v, other := range values {
			known[keys.Part(v)] = true
			figure := other.Constant()
			plain = plain && figure != nil
			switch e := v.Expr.(type) {
			case *ast.CountOf:
				plain = plain && figure.Base+1 < mostAlike
				s.Clubs(book.Clubs{Decl: e.Selector, Info: v.Info})
			case *ast.SetValue:
				plain = plain && (e.How.Plain() == ast.Highest || e.How.Plain() == ast.Lowest)
				s.Compare(v.In(e.Of), other)
				s.Clubs(book.Clubs{Decl: e.Among, Info: v.Info})
			}
		}
		if len(values) > 0 {
			return false
		}
		switch e := p.Expr.(type) {
		case *ast.Paren:
			return true
		case *ast.Unary:
			return e.Op == ast.Not
		case *ast.Binary:
			if !e.Op.IsComparison() {
				return true
			}
		case *ast.Ref:
			if p.Behind() != p {
				return true
			}
		}
		s.Part(p, false)
		return false
	}
	for _, p := range conditions {
		p.Visit(gather, nil)
	}
	return plain && len(known) <= 2 && s.Whole()
}
