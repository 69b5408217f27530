package space

// This file lays out pairs of clubs for rules about neighbours, and says which clubs a rule may be about.

import (
	"fmt"
	"maps"
	"slices"

	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// mostPairs bounds how many pairs are laid out for one rule.
const mostPairs = 20_000

// SortedBy returns the property that neighbours are sorted by; false where that is a number or a formula.
func SortedBy(r *book.Rule) (p catalogue.Property, ok bool) {
	if ref := r.By.Ref(); ref != nil && ref.Kind == book.RefProperty {
		return ref.Property, true
	}
	return p, false
}

// Neighbours are the clubs of which pairs are made for a rule. whole tells that they stand for all.
func (a *Search) Neighbours(r *book.Rule) (members []Draft, whole bool) {
	s := NewSpace()
	s.Pos = AnyPos
	s.Clubs(r.Among)
	for _, u := range r.Unless {
		s.Part(u.When, false)
		if mixed(u.When) {
			s.Inexact = true
		}
	}
	whole = s.Whole()
	s.Rule(r)
	for _, numbers := range append(slices.Collect(maps.Values(s.Ranges)), s.Numbers) {
		for _, n := range slices.Collect(maps.Keys(numbers)) { // two of each cell, so that they can be side by side
			numbers[n-1], numbers[n+1] = true, true
		}
	}
	if len(s.Numbers) == 0 {
		s.Numbers[6] = true
	}
	w := a.Walk(s, s.Axes)
	for _, d := range s.Shapes() {
		if !a.MayTake(r, d) {
			continue
		}
		w.Each(&d, s.Axes, func(d *Draft) bool {
			members = append(members, *d)
			return len(members) <= mostPairs
		})
	}
	return members, whole && !w.Cut
}

// EachPair calls f with each two clubs that may be neighbours for a rule, either way about where they are sorted. whole
// reports that they stand for all pairs.
func (a *Search) EachPair(r *book.Rule, f func(Bag)) (whole bool) {
	members, whole := a.Neighbours(r)
	tried := 0
	for i := range members {
		for k := range members {
			if tried++; tried > mostPairs {
				a.Leave(fmt.Sprintf("too many combinations to check all pairs of %s: the first %d were checked", r.Decl.Name.Text, mostPairs))
				return false
			}
			if !a.Pay(20 + 2*a.CostOf(r)) {
				return false
			}
			f(Bag{members[i], Apart(r, &members[i], members[k], ALittle)})
			if above, ok := Above(r, &members[i], members[k]); ok {
				f(Bag{members[i], above})
			}
		}
	}
	return whole
}

// mixed reports whether a comparison of a condition holds the two clubs of a pair against each other.
func mixed(p book.Part) bool {
	found := false
	p.Visit(func(p book.Part) bool {
		b, ok := p.Expr.(*ast.Binary)
		if !ok || !b.Op.IsComparison() {
			return true
		}
		var first, second bool
		p.Visit(func(p book.Part) bool {
			if ref, ok := p.Expr.(*ast.Ref); ok {
				first, second = first || ref.Pos == ast.First, second || ref.Pos == ast.Second
			}
			return true
		}, nil)
		found = found || first && second
		return true
	}, nil)
	return found
}

// ALittle is how many round steps two clubs are put apart that would tie.
const ALittle = 1.0 / 64

// keys are what two clubs are sorted by; nil where that is a number or a formula, or is not measured.
func keys(r *book.Rule, first, second *Draft) (x, y *Reading) {
	p, ok := SortedBy(r)
	x, y = first.Of(p.Name), second.Of(p.Name)
	if !ok || x == nil || y == nil || y.Unit == nil {
		return nil, nil
	}
	return x, y
}

// Apart is the second of two clubs with a little more of what they are sorted by, so many round steps, where they tie.
func Apart(r *book.Rule, first *Draft, second Draft, steps float64) Draft {
	if x, y := keys(r, first, &second); x != nil && unit.Compare(x.Amount, y.Amount) == 0 {
		second, _ = second.Moved(y, y.Amount+steps*y.Step())
	}
	return second
}

// Above is the second of two clubs with a little more than the first of what they are sorted by; false where it has that
// anyway.
func Above(r *book.Rule, first *Draft, second Draft) (Draft, bool) {
	x, y := keys(r, first, &second)
	if x == nil || unit.Compare(x.Amount, y.Amount) <= 0 {
		return second, false
	}
	second, _ = second.Moved(y, x.Amount+Step(x.Amount, y.Unit))
	return second, true
}

// MayTake reports whether a rule may be about a club of which no more is known than its kind, number and mark.
func (a *Search) MayTake(r *book.Rule, d Draft) bool {
	return a.MayBe(r.Among, d)
}

// MayBe reports whether such a club may be meant.
func (a *Search) MayBe(of book.Clubs, d Draft) bool {
	sel, asks := of.Decl, false
	book.Part{Expr: sel.Where, Info: of.Info}.Visit(func(p book.Part) bool {
		_, has := p.Expr.(*ast.Has)
		asks = asks || has
		return true
	}, nil)
	if asks {
		sel = &ast.Selector{Span: sel.Span, Items: sel.Items, Except: sel.Except}
	}
	if !a.Pay(3) { // nobody can tell any more, and nothing is found out of it
		return true
	}
	c := d.Club(a.Program.Schema)
	return a.Probe.Takes(sel, of.Info, c) != value.False
}
