package trial

// This file says why a rule gave no result where one was expected, and what else is odd about the
// clubs of a case.

import (
	"fmt"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// silent says why a rule gave no result for the subject of an expectation: it is not
// about a club, or two clubs are not side by side.
func silent(p *judge.Program, b *book.Book, e *ast.Expect, bags []judged) string {
	name := e.Rule.Text
	rules := p.Rules()
	i := slices.IndexFunc(rules, func(r *book.Rule) bool { return r.Decl.Name.Text == name })
	if i < 0 {
		return name + " is not judged by this book"
	}
	rule := rules[i]
	var clubs []*club.Club
	var in judged
	for _, on := range e.On {
		for _, bag := range bags {
			for _, c := range bag.set.Clubs {
				if !catalogue.Same(c.ID, on.ID.Value) || on.Of != nil && !catalogue.Same(on.Of.Value, bag.set.Name) {
					continue
				}
				if p.Takes(rule, bag.set, c) == value.False {
					return fmt.Sprintf("%s is not about %s", name, named(c))
				}
				clubs, in = append(clubs, c), bag
			}
		}
	}
	if rule.Subject == ast.OfNeighbours && len(clubs) == 2 {
		return apart(rule, in, clubs)
	}
	if rule.Subject == ast.OfNeighbours && len(clubs) == 1 {
		return fmt.Sprintf("%s does not judge %s by itself; put its neighbours beside it", name, clubs[0].ID)
	}
	return name + " gives no verdict there"
}

// apart says why two clubs that a rule takes are no pair of its.
func apart(r *book.Rule, in judged, clubs []*club.Club) string {
	by := r.Decl.For.By.Name.Text
	a, b := clubs[0].ID, clubs[1].ID
	for _, s := range in.said {
		if s.Rule == r && slices.Equal(s.Clubs, []string{b, a}) {
			return fmt.Sprintf("sorted by %s %s comes before %s: expect it on %s, %s", by, b, a, b, a)
		}
	}
	return fmt.Sprintf("%s and %s are not next to each other by %s", a, b, by)
}

// uncovered says of the clubs of a subject which of them has a length by a method that does
// not cover it, as no sheet could bring it; nil if there is none.
func uncovered(p *judge.Program, s judge.Subject, bag *club.Set) *value.Lack {
	clubs := s.Clubs
	if s.Kind == ast.OfSet {
		clubs = bag.Clubs
	}
	for _, c := range clubs {
		if c.Has(catalogue.LengthID) {
			if why := p.Covers(c.Method, c); why != nil {
				why.Club = c.ID
				return why
			}
		}
	}
	return nil
}

// named is a club by its id and what it is: "p1, a putter"; the id alone where that says it.
func named(c *club.Club) string {
	if c.ID == c.Name {
		return c.ID
	}
	return c.ID + ", " + unit.Article(c.Name)
}
