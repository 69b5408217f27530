package vet

// This file lays out clubs for rules on one property of neighbours and sets: stocks, of which bags are made, and
// chains, the clubs of a stock in a row.

import (
	"slices"

	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// mostNumber is the highest number of the clubs of a stock.
const mostNumber = 12

const (
	mostStock   = 64 // clubs of one stock
	mostStocks  = 12 // that differ in texts, hands, and in what is said with yes and no
	mostVaried  = 4  // of such properties
	mostDressed = 12 // clubs that are one but for figures
)

// commonIrons are the lowest and the highest number of the irons that a bag has: common practice.
var commonIrons = [2]int{3, 9}

// stocks are the clubs that some rules on one property tell apart. There is one stock for each hand, text, and yes or
// no that all the clubs of a bag may have in common. Of each kind there are the numbers from the lowest to the highest
// that some rule names, and the marks. A club may be there more than once, where a figure decides which rules are about
// it; no bag holds it twice.
func (a *analyst) stocks(rules []*book.Rule) []space.Bag {
	s := space.NewSpace()
	s.Pos = space.AnyPos
	keys := map[string]bool{}
	for _, r := range rules {
		s.Rule(r)
		s.Counted(r)
		if p, ok := space.SortedBy(r); ok {
			keys[p.Name] = true
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
	w.Each(&base, varied, func(d *space.Draft) bool {
		if len(out) == mostStocks {
			a.Leave(tooManyTexts)
			return false
		}
		var b space.Bag
		for _, link := range links {
			link.Readings = slices.Clone(d.Readings)
			b = append(b, a.withFigures(w, link, telling, common)...)
		}
		if len(b) > mostStock {
			a.Leave(tooManyFigures)
			b = b[:mostStock]
		}
		inOrder(b, rules)
		out = append(out, b)
		return true
	})
	return out
}

const (
	tooManyTexts   = "too many texts that rules ask for to check neighbours and sets with all of them"
	tooManyFigures = "too many clubs that rules tell apart to check all neighbours and sets of them"
)

// withFigures are a club with each combination of figures that says which rules are about it, and common figures of
// the rest.
func (a *analyst) withFigures(w *space.Walk, d space.Draft, telling, common []*space.Axis) []space.Draft {
	d = w.Plain(d, common...)
	var out []space.Draft
	w.Each(&d, telling, func(d *space.Draft) bool {
		if out = append(out, *d); len(out) > mostDressed {
			a.Leave(tooManyFigures)
		}
		return len(out) <= mostDressed
	})
	return out
}

// links are the kinds with their numbers and marks of which stocks are made.
func (a *analyst) links(rules []*book.Rule) []space.Draft {
	s := space.NewSpace()
	s.Pos = space.AnyPos
	lifted := space.NewSpace() // what exceptions tell apart, on either side of where they turn
	lifted.Pos = space.AnyPos
	for _, r := range rules {
		s.Clubs(r.Among)
		s.Counted(r)
		for _, c := range space.ChartsIn(r) {
			for _, row := range c.Chart.Decl.Rows {
				if c.Unless == nil {
					listed := &ast.Selector{Items: row.Items, Where: row.Where}
					s.Clubs(book.Clubs{Decl: listed, Info: c.Chart.Book.Info})
				}
			}
		}
		for _, u := range r.Unless {
			lifted.Part(u.When, false)
		}
	}
	if len(s.Kinds) == 0 {
		s.Kinds[catalogue.Iron] = true
	}
	var out []space.Draft
	for _, k := range catalogue.Kinds() {
		if !s.Kinds[k] {
			continue
		}
		low, high := mostNumber+1, 0
		for n := 1; n <= mostNumber; n++ {
			beside := slices.ContainsFunc([]int{n - 1, n, n + 1}, func(m int) bool {
				// a bag has other irons anyway
				return (m == n || k != catalogue.Iron) && (lifted.Ranges[k][m] || lifted.Numbers[m])
			})
			if beside || s.Ranges[k][n] || s.Numbers[n] {
				low, high = min(low, n), n
			}
		}
		switch usual := catalogue.UsualNumbers[k]; {
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
			for _, m := range s.MarksOf(k, 0) {
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

// inOrder moves what clubs are sorted by where two of a bag would tie, so that they are in an order.
func inOrder(b space.Bag, rules []*book.Rule) {
	done := map[string]bool{}
	for _, r := range rules {
		p, ok := space.SortedBy(r)
		if f, _ := r.Value.Form(); !ok || done[p.Name] || p.Name == f.Property.Name {
			continue
		}
		done[p.Name] = true
		var keys []*space.Reading
		for i := range b {
			if r := b[i].Of(p.Name); r != nil && r.Unit != nil {
				keys = append(keys, r)
			}
		}
		slices.SortStableFunc(keys, func(x, y *space.Reading) int { return unit.Compare(x.Amount, y.Amount) })
		for i, r := range keys {
			if i > 0 && unit.Compare(r.Amount, keys[i-1].Amount) <= 0 {
				moved := keys[i-1].Amount + keys[i-1].Step()
				if _, exact, ok := space.Settled(moved, r.Prop, r.Unit); ok {
					r.Amount = exact
				}
			}
		}
	}
}
