package analyse

// This file lays out clubs for rules on one property of neighbours and sets: stocks, of which rings.go makes bags, and chains,
// the clubs of a stock in a row, for company.go.

import (
	"slices"

	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

const (
	mostStock   = 64 // clubs of one stock
	mostStocks  = 12 // that differ in texts, hands, and in what is said with yes and no
	mostVaried  = 4  // of such properties
	mostDressed = 12 // clubs that are one but for figures
)

// commonIrons are the lowest and the highest number of the irons that a bag has: common practice.
var commonIrons = [2]int{3, 9}

// stocks are the clubs that some rules on one property tell apart, one stock for each hand, text, and yes or no that all the
// clubs of a bag may have in common: of each kind the numbers from the lowest to the highest that some rule names, and the
// marks. A club may be there more than once, where a figure decides which rules are about it; no bag holds it twice.
func (a *analyst) stocks(rules []tied) []bag {
	s := newSpace()
	s.pos = anyPos
	keys := map[string]bool{}
	for _, t := range rules {
		s.rule(t.rule)
		if t.form.Set != nil {
			s.selector(t.form.Set.Among, t.form.Info)
		}
		if by := t.rule.Decl.For.By; by != nil {
			if ref := t.rule.By.Ref(); ref != nil && ref.Kind == book.RefProperty {
				keys[ref.Property.Name] = true
			}
		}
	}
	s.tools(a.program)
	w := a.walk(s, s.axes)
	var base draft
	var varied, telling, common []*axis // from bag to bag, from club to club, and not at all
	for _, x := range s.axes {
		figures := x.prop.Sort.Numeric() || x.prop.Sort == catalogue.Date
		switch {
		case figures && !x.free && !keys[x.prop.Name] && len(x.turns) > 0:
			telling = append(telling, x)
		case figures:
			common = append(common, x)
		case len(varied) < mostVaried:
			varied = append(varied, x)
		default:
			a.leave(tooManyTexts)
			base.readings = append(base.readings, *w.options(x, &base, nil)[0])
		}
	}
	links := a.links(rules)
	var out []bag
	var dress func(d draft, axes []*axis)
	dress = func(d draft, axes []*axis) {
		switch {
		case len(out) == mostStocks:
			a.leave(tooManyTexts)
			return
		case len(axes) > 0:
			for _, r := range w.options(axes[0], &d, nil) {
				dress(with(d, r), axes[1:])
			}
			return
		}
		var b bag
		for _, link := range links {
			link.readings = slices.Clone(d.readings)
			b = append(b, a.cells(w, link, telling, common)...)
		}
		if len(b) > mostStock {
			a.leave(tooManyFigures)
			b = b[:mostStock]
		}
		inOrder(b, rules)
		out = append(out, b)
	}
	dress(base, varied)
	return out
}

const (
	tooManyTexts   = "too many texts that rules ask for to look at neighbours and sets with all of them"
	tooManyFigures = "too many clubs that rules tell apart to look at all neighbours and sets of them"
)

// cells are a club with each combination of figures that tells which rules are about it, and common figures of the rest.
func (a *analyst) cells(w *walk, d draft, telling, common []*axis) []draft {
	for _, x := range common {
		if !w.readable(x, &d) {
			continue
		}
		r := reading{prop: x.prop, unit: x.unit, amount: typical(x.prop, &d)}
		ok := x.unit == nil
		if !ok {
			_, r.amount, ok = settled(r.amount, x.prop, x.unit)
		}
		if ok {
			d.readings = append(d.readings, r)
		}
	}
	out := []draft{d}
	for _, x := range telling {
		var next []draft
		for _, d := range out {
			if !w.readable(x, &d) {
				next = append(next, d)
				continue
			}
			for _, r := range w.options(x, &d, nil) {
				next = append(next, with(d, r))
			}
		}
		if len(next) > mostDressed {
			a.leave(tooManyFigures)
			break
		}
		out = next
	}
	return out
}

// links are the kinds with their numbers and marks of which stocks are made.
func (a *analyst) links(rules []tied) []draft {
	s := newSpace()
	s.pos = anyPos
	lifted := newSpace() // what exceptions tell apart, on either side of where they turn
	lifted.pos = anyPos
	for _, t := range rules {
		if t.rule.Decl.For.Selector != nil {
			s.selector(t.rule.Decl.For.Selector, t.rule.Book.Info)
		}
		if t.form.Set != nil {
			s.selector(t.form.Set.Among, t.form.Info)
		}
		for _, h := range chartsOf(t.rule) {
			s.chart(h)
		}
		for _, u := range t.rule.Decl.Unless {
			lifted.formula(u.Condition, t.rule.Book.Info, false)
		}
	}
	if len(s.kinds) == 0 {
		s.kinds[catalogue.Iron] = true
	}
	var out []draft
	for _, k := range []catalogue.Kind{catalogue.Driver, catalogue.Fairway, catalogue.Hybrid, catalogue.Iron, catalogue.Wedge, catalogue.Putter, catalogue.Chipper} {
		if !s.kinds[k] {
			continue
		}
		low, high := mostNumber+1, 0
		for n := 1; n <= mostNumber; n++ {
			beside := slices.ContainsFunc([]int{n - 1, n, n + 1}, func(m int) bool {
				return (m == n || k != catalogue.Iron) && (lifted.ranges[k][m] || lifted.numbers[m]) // a bag has other irons anyway
			})
			if beside || s.ranges[k][n] || s.numbers[n] {
				low, high = min(low, n), n
			}
		}
		switch usual := usualNumbers[k]; {
		case k == catalogue.Driver:
			low, high = 1, 1
		case k == catalogue.Iron:
			low, high = min(low, commonIrons[0]), max(high, commonIrons[1])
		case usual > 0 && low >= high:
			if high > 0 {
				usual = max(2, low)
			}
			low, high = usual-1, usual+1
		case high == 0:
			marks := s.marksOf(k, 0)
			if len(marks) == 1 && k == catalogue.Wedge {
				marks = append(marks, "GW")
			}
			for _, m := range marks {
				out = append(out, draft{kind: k, mark: m})
			}
		}
		for n := low; n <= high; n++ {
			out = append(out, draft{kind: k, number: n})
		}
	}
	return out
}

// chains are the clubs of stocks each once, in a row: of each kind, and all together.
func chains(stocks []bag) []bag {
	var out []bag
	for _, stock := range stocks {
		var all, chain bag
		for i, d := range stock {
			if i > 0 && d.name() == stock[i-1].name() {
				continue
			}
			if len(chain) > 0 && chain[0].kind != d.kind {
				out, chain = append(out, chain), nil
			}
			all, chain = append(all, d), append(chain, d)
		}
		if out = append(out, chain); len(all) > len(chain) {
			out = append(out, all)
		}
	}
	return out
}

// inOrder moves what clubs are sorted by where two of a bag would tie, so that they stand in an order.
func inOrder(b bag, rules []tied) {
	done := map[string]bool{}
	for _, t := range rules {
		by := t.rule.Decl.For.By
		if by == nil {
			continue
		}
		ref := t.rule.By.Ref()
		if ref == nil || ref.Kind != book.RefProperty || done[ref.Property.Name] || ref.Property.Name == t.form.Property.Name {
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
