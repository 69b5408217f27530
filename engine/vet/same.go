package vet

// This file looks at two rules about neighbours or about sets that put bounds of figures on one value of the same
// subjects. They may leave no room between them, one may be idle beside the other, or looser than one that the book
// uses. What a rule on its own clubs may say beside one on others is left to rings.go and counts.go.

import (
	"fmt"
	"math/big"
	"slices"

	"ferrule/engine/contrast"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// bounded is a rule about neighbours or sets with figures for limits.
type bounded struct {
	rule      *book.Rule
	low, high *big.Rat // base units; nil if there is no limit
	open      bool     // the limits themselves do not pass
}

// sames holds the rules about neighbours and sets against those that speak of the same value of the same subjects,
// have the same exceptions and decide alike.
func (a *analyst) sames() {
	n := book.NewKeys(false)
	by := map[string][]bounded{}
	var d *contrast.Books
	for _, r := range a.Program.Rules() {
		b := r.Bound
		if r.Subject == ast.OfClub || b == nil || !b.Fixed() {
			continue
		}
		if _, counted := countOf(r); counted {
			continue
		}
		if d == nil {
			d = contrast.NewBooks(a.Search, a.Program, a.Program)
			a.Pay(20 * a.Size)
		}
		if !a.Pay(40) {
			return
		}
		one := bounded{rule: r, open: b.Open()}
		one.low, one.high = b.Exact()
		f := d.Written[r]
		key := fmt.Sprint(f.Scope, "|", f.Exceptions, "|", f.Decision, "|", n.Part(r.Value))
		for _, other := range by[key] {
			on, ok := space.Together(other.rule, r)
			if !a.Pay(1) {
				return
			}
			if !ok || !a.own[r] && !a.own[other.rule] || a.idle[r] || a.idle[other.rule] {
				continue
			}
			if !a.apartAll(d, other, one, on) && !a.idleSame(d, one, other, on) {
				a.idleSame(d, other, one, on)
			}
		}
		by[key] = append(by[key], one)
	}
}

// within reports whether whatever meets b meets o.
func (b bounded) within(o bounded) bool {
	inside := func(mine, theirs *big.Rat, sign int) bool {
		if theirs == nil {
			return true
		}
		if mine == nil {
			return false
		}
		c := sign * mine.Cmp(theirs)
		return c > 0 || c == 0 && (b.open || !o.open)
	}
	return inside(b.low, o.low, 1) && inside(b.high, o.high, -1)
}

// clear reports whether nothing meets both.
func (b bounded) clear(o bounded) bool {
	above := func(low, high *big.Rat) bool {
		return low != nil && high != nil && (low.Cmp(high) > 0 || low.Cmp(high) == 0 && (b.open || o.open))
	}
	return above(b.low, o.high) || above(o.low, b.high)
}

// apartAll reports two rules that leave no room between them; false where they do. Of values that are one property
// rings.go tells by itself.
func (a *analyst) apartAll(d *contrast.Books, x, y bounded, on book.Day) bool {
	if !x.clear(y) {
		return false
	}
	f, ok := y.rule.Value.Form()
	ringed := ok && (f.Step != nil || f.Set != nil) && !a.moves(y.rule, f.Property.Name) && len(a.Requires(y.rule)) == 1
	if ringed || x.rule.Decl.Advice || y.rule.Decl.Advice {
		return true
	}
	rules := []*book.Rule{x.rule, y.rule}
	if !a.own[y.rule] {
		slices.Reverse(rules)
	}
	c := d.FailedByOne(x.rule, y.rule)
	if c == nil {
		return true
	}
	if w, ok := a.borneOut(c.Bag, on, rules...); ok {
		a.contradict(rules, w, "limits that leave room for both", "no value satisfies both")
	}
	return true
}

// idleSame reports a rule of the book that says nothing beside another one, or less than one that it uses; false where
// that is not so.
func (a *analyst) idleSame(d *contrast.Books, loose, strict bounded, on book.Day) bool {
	l, s := loose.rule, strict.rule
	if !a.own[l] || !strict.within(loose) {
		return false
	}
	equal := loose.within(strict)
	if !equal && a.unmet[s] {
		return false
	}
	looser := !equal && !a.own[s] && l.Decl.Advice == s.Decl.Advice
	if !looser && (!l.During(s.Period) || s.Decl.Advice && !l.Decl.Advice) {
		return false
	}
	c := d.FailedByOne(l, s)
	if equal {
		c = d.FailedByOne(nil, s)
	}
	if c == nil {
		return false
	}
	o := besides{loose: l, strict: s, looser: looser}
	if equal {
		o.equal, o.same = true, "the same "+subjects[s.Subject]
	}
	return a.findBeside(o, c.Bag, on)
}
