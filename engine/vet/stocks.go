package vet

// This file lays out clubs for rules on one property of neighbours and sets: stocks, of which rings.go makes bags, and
// chains, the clubs of a stock in a row, for company.go.

import (
	"slices"

	"ferrule/engine/space"
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

// stocks are the clubs that some rules on one property tell apart, one stock for each hand, text, and yes or no that
// all the clubs of a bag may have in common: of each kind the numbers from the lowest to the highest that some rule
// names, and the marks. A club may be there more than once, where a figure decides which rules are about it; no bag
// holds it twice.
func (a *analyst) stocks(rules []tied) []space.Bag {
	s := space.NewSpace()
	s.Pos = space.AnyPos
	keys := map[string]bool{}
	for _, t := range rules {
		s.Rule(t.rule)
		if t.form.Set != nil {
			s.Selector(t.form.Set.Among, t.form.Info)
		}
		if by := t.rule.Decl.For.By; by != nil {
			if ref := t.rule.By.Ref(); ref != nil && ref.Kind == book.RefProperty {
				keys[ref.Property.Name] = true
			}
		}
	}
	s.Tools(a.Program)
	w := a.Walk(s, s.Axes)
	var base space.Draft
	var varied, telling, common []*space.Axis // from bag to bag, from club to club, and not at all
	for _, x := range s.Axes {
		figures := x.Prop.Sort.Numeric() || x.Prop.Sort == catalogue.Date
		switch {
		case figures && !x.Free && !keys[x.Prop.Name] && len(x.Turns) > 0:
			telling = append(telling, x)
		case figures:
			common = append(common, x)
		case len(varied) < mostVaried:
			varied = append(varied, x)
		default:
			a.Leave(tooManyTexts)
			base.Readings = append(base.Readings, *w.Options(x, &base, nil)[0])
		}
	}
	links := a.links(rules)
	var out []space.Bag
	var dress func(d space.Draft, axes []*space.Axis)
	dress = func(d space.Draft, axes []*space.Axis) {
		switch {
		case len(out) == mostStocks:
			a.Leave(tooManyTexts)
			return
		case len(axes) > 0:
			for _, r := range w.Options(axes[0], &d, nil) {
				dress(space.With(d, r), axes[1:])
			}
			return
		}
		var b space.Bag
		for _, link := range links {
			link.Readings = slices.Clone(d.Readings)
			b = append(b, a.cells(w, link, telling, common)...)
		}
		if len(b) > mostStock {
			a.Leave(tooManyFigures)
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

// cells are a club with each combination of figures that tells which rules are about it, and common figures of the
// rest.
func (a *analyst) cells(w *space.Walk, d space.Draft, telling, common []*space.Axis) []space.Draft {
	for _, x := range common {
		if !w.Readable(x, &d) {
			continue
		}
		r := space.Reading{Prop: x.Prop, Unit: x.Unit, Amount: space.Typical(x.Prop, &d)}
		ok := x.Unit == nil
		if !ok {
			_, r.Amount, ok = space.Settled(r.Amount, x.Prop, x.Unit)
		}
		if ok {
			d.Readings = append(d.Readings, r)
		}
	}
	out := []space.Draft{d}
	for _, x := range telling {
		var next []space.Draft
		for _, d := range out {
			if !w.Readable(x, &d) {
				next = append(next, d)
				continue
			}
			for _, r := range w.Options(x, &d, nil) {
				next = append(next, space.With(d, r))
			}
		}
		if len(next) > mostDressed {
			a.Leave(tooManyFigures)
			break
		}
		out = next
	}
	return out
}

// links are the kinds with their numbers and marks of which stocks are made.
func (a *analyst) links(rules []tied) []space.Draft {
	s := space.NewSpace()
	s.Pos = space.AnyPos
	lifted := space.NewSpace() // what exceptions tell apart, on either side of where they turn
	lifted.Pos = space.AnyPos
	for _, t := range rules {
		if t.rule.Decl.For.Selector != nil {
			s.Selector(t.rule.Decl.For.Selector, t.rule.Book.Info)
		}
		if t.form.Set != nil {
			s.Selector(t.form.Set.Among, t.form.Info)
		}
		for _, h := range space.ChartsOf(t.rule) {
			s.Chart(h)
		}
		for _, u := range t.rule.Decl.Unless {
			lifted.Formula(u.Condition, t.rule.Book.Info, false)
		}
	}
	if len(s.Kinds) == 0 {
		s.Kinds[catalogue.Iron] = true
	}
	var out []space.Draft
	for _, k := range []catalogue.Kind{catalogue.Driver, catalogue.Fairway, catalogue.Hybrid, catalogue.Iron, catalogue.Wedge, catalogue.Putter, catalogue.Chipper} {
		if !s.Kinds[k] {
			continue
		}
		low, high := mostNumber+1, 0
		for n := 1; n <= mostNumber; n++ {
			beside := slices.ContainsFunc([]int{n - 1, n, n + 1}, func(m int) bool {
				return (m == n || k != catalogue.Iron) && (lifted.Ranges[k][m] || lifted.Numbers[m]) // a bag has other irons anyway
			})
			if beside || s.Ranges[k][n] || s.Numbers[n] {
				low, high = min(low, n), n
			}
		}
		switch usual := space.UsualNumbers[k]; {
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
			marks := s.MarksOf(k, 0)
			if len(marks) == 1 && k == catalogue.Wedge {
				marks = append(marks, "GW")
			}
			for _, m := range marks {
				out = append(out, space.Draft{Kind: k, Mark: m})
			}
		}
		for n := low; n <= high; n++ {
			out = append(out, space.Draft{Kind: k, Number: n})
		}
	}
	return out
}

// chains are the clubs of stocks each once, in a row: of each kind, and all together.
func chains(stocks []space.Bag) []space.Bag {
	var out []space.Bag
	for _, stock := range stocks {
		var all, chain space.Bag
		for i, d := range stock {
			if i > 0 && d.Name() == stock[i-1].Name() {
				continue
			}
			if len(chain) > 0 && chain[0].Kind != d.Kind {
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
func inOrder(b space.Bag, rules []tied) {
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
		var keys []*space.Reading
		for i := range b {
			if r := b[i].Of(ref.Property.Name); r != nil && r.Unit != nil {
				keys = append(keys, r)
			}
		}
		slices.SortStableFunc(keys, func(x, y *space.Reading) int { return unit.Compare(x.Amount, y.Amount) })
		for i, r := range keys {
			if i > 0 && unit.Compare(r.Amount, keys[i-1].Amount) <= 0 {
				moved := keys[i-1].Amount + r.Unit.ToBase(space.StepBeside(r.Unit.FromBase(keys[i-1].Amount)))
				if _, exact, ok := space.Settled(moved, r.Prop, r.Unit); ok {
					r.Amount = exact
				}
			}
		}
	}
}
