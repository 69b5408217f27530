package analyse

// This file lays out the bags in which rules on one property of neighbours and sets are looked at, for rings.go and company.go:
// clubs in a row, apart by what they are sorted by.

import (
	"slices"

	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/unit"
)

// chains are the bags in which rules on one property are looked at: of each kind the clubs with all numbers from the lowest to
// the highest that some rule names, each two of those that are named, and all kinds together.
func (a *analyst) chains(rules []tied) []bag {
	s := newSpace()
	s.pos = anyPos
	for _, t := range rules {
		s.rule(t.rule)
		if t.form.Set != nil {
			s.selector(t.form.Set.Among, t.form.Info)
		}
	}
	s.tools(a.program)
	whole := newSpace() // without what heads and methods tell apart
	whole.pos = anyPos
	for _, t := range rules {
		if t.rule.Decl.For.Selector != nil {
			whole.selector(t.rule.Decl.For.Selector, t.rule.Book.Info)
		}
		if t.form.Set != nil {
			whole.selector(t.form.Set.Among, t.form.Info)
		}
		for _, h := range chartsOf(t.rule) {
			whole.chart(h)
		}
	}
	if len(whole.kinds) == 0 {
		whole.kinds[catalogue.Iron] = true
	}
	lifted := newSpace() // what exceptions tell apart, on either side of where they turn
	lifted.pos = anyPos
	for _, t := range rules {
		for _, u := range t.rule.Decl.Unless {
			lifted.formula(u.Condition, t.rule.Book.Info, false)
		}
	}
	var out []bag
	var all bag
	for _, k := range []catalogue.Kind{catalogue.Driver, catalogue.Fairway, catalogue.Hybrid, catalogue.Iron, catalogue.Wedge, catalogue.Putter, catalogue.Chipper} {
		if !whole.kinds[k] {
			continue
		}
		var named []int
		for n := 1; n <= mostNumber; n++ {
			beside := slices.ContainsFunc([]int{n - 1, n, n + 1}, func(m int) bool { return lifted.ranges[k][m] || lifted.numbers[m] })
			if beside || whole.ranges[k][n] || whole.numbers[n] {
				named = append(named, n)
			}
		}
		var chain bag
		switch {
		case k == catalogue.Driver:
			chain = bag{{kind: k, number: 1}}
		case len(named) > 1:
			for n := named[0]; n <= named[len(named)-1]; n++ {
				chain = append(chain, draft{kind: k, number: n})
			}
			for i, n := range named {
				for _, m := range named[:i] {
					out = append(out, bag{{kind: k, number: m}, {kind: k, number: n}})
				}
			}
		case usualNumbers[k] > 0:
			middle := usualNumbers[k]
			if len(named) == 1 {
				middle = max(2, named[0])
			}
			for n := middle - 1; n <= middle+1; n++ {
				chain = append(chain, draft{kind: k, number: n})
			}
		default:
			for _, m := range whole.marksOf(k, 0) {
				chain = append(chain, draft{kind: k, mark: m})
			}
			if len(chain) == 1 && k == catalogue.Wedge {
				chain = append(chain, draft{kind: k, mark: "GW"})
			}
		}
		out = append(out, chain)
		all = append(all, chain...)
	}
	out = append(out, all)
	w := s.walk(a.program, s.axes)
	var dressed []bag
	for _, b := range out {
		for _, hand := range []string{"right", "left"} {
			c := b.clone()
			handed := false
			for i := range c {
				for _, x := range s.axes {
					switch {
					case x.prop.ID == catalogue.Hand:
						handed = true
						c[i].put(reading{prop: x.prop, text: hand})
					case x.prop.Sort.Numeric() && w.readable(x, &c[i]):
						if _, exact, ok := settled(typical(x.prop, &c[i]), x.prop, x.unit); ok {
							c[i].put(reading{prop: x.prop, unit: x.unit, amount: exact})
						}
					}
				}
			}
			if hand == "right" || handed {
				c.apart(rules)
				dressed = append(dressed, c)
			}
		}
	}
	return dressed
}

// apart moves what clubs are sorted by where two of a bag would tie, so that they stand in an order.
func (b bag) apart(rules []tied) {
	done := map[string]bool{}
	for _, t := range rules {
		by := t.rule.Decl.For.By
		if by == nil {
			continue
		}
		ref := t.rule.Book.Info.Refs[by]
		if ref == nil || ref.Kind != check.RefProperty || done[ref.Property.Name] || ref.Property.Name == t.form.Property.Name {
			continue
		}
		done[ref.Property.Name] = true
		var keys []*reading
		for i := range b {
			if r := b[i].of(ref.Property.Name); r != nil && r.unit != nil {
				keys = append(keys, r)
			}
		}
		slices.SortStableFunc(keys, func(x, y *reading) int { return unit.Compare(x.amount, y.amount) })
		for i, r := range keys {
			if i > 0 && unit.Compare(r.amount, keys[i-1].amount) <= 0 {
				moved := keys[i-1].amount + r.unit.ToBase(stepBeside(r.unit.FromBase(keys[i-1].amount)))
				if _, exact, ok := settled(moved, r.prop, r.unit); ok {
					r.amount = exact
				}
			}
		}
	}
}
