package space

// This file lays out clubs for rules on one property of neighbours and sets: stocks, of which bags are made, and
// chains, the clubs of a stock in a row.

import (
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// MostNumber is the highest number of the clubs of a stock.
const MostNumber = 12

const (
	mostStock   = 64 // clubs of one stock
	mostStocks  = 12 // that differ in texts, hands, and in what is said with yes and no
	mostVaried  = 4  // of such properties
	mostDressed = 12 // clubs that are one but for figures
)

// commonIrons are the lowest and the highest number of the irons that a bag has: common practice.
var commonIrons = [2]int{3, 9}

// Stocks are the clubs that some rules on one property tell apart, one stock for each hand, text, and yes or no that
// all the clubs of a bag may have in common: of each kind the numbers from the lowest to the highest that some rule
// names, and the marks. A club may be there more than once, where a figure decides which rules are about it; no bag
// holds it twice.
func (a *Search) Stocks(rules []*book.Rule) []Bag {
	s := NewSpace()
	s.Pos = AnyPos
	keys := map[string]bool{}
	for _, r := range rules {
		s.Rule(r)
		s.counted(r)
		if p, ok := SortedBy(r); ok {
			keys[p.Name] = true
		}
	}
	s.Tools(a.Program)
	w := a.Walk(s, s.Axes)
	var base Draft
	var varied, telling, common []*Axis // from bag to bag, from club to club, and not at all
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
	var out []Bag
	var dress func(d Draft, axes []*Axis)
	dress = func(d Draft, axes []*Axis) {
		switch {
		case len(out) == mostStocks:
			a.Leave(tooManyTexts)
			return
		case len(axes) > 0:
			for _, r := range w.Options(axes[0], &d, nil) {
				dress(With(d, r), axes[1:])
			}
			return
		}
		var b Bag
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
	}
	dress(base, varied)
	return out
}

const (
	tooManyTexts   = "too many texts that rules ask for to check neighbours and sets with all of them"
	tooManyFigures = "too many clubs that rules tell apart to check all neighbours and sets of them"
)

// withFigures are a club with each combination of figures that says which rules are about it, and common figures of
// the rest.
func (a *Search) withFigures(w *Walk, d Draft, telling, common []*Axis) []Draft {
	for _, x := range common {
		if !w.readable(x, &d) {
			continue
		}
		r := Reading{Prop: x.Prop, Unit: x.Unit, Amount: Typical(x.Prop, &d)}
		ok := x.Unit == nil
		if !ok {
			_, r.Amount, ok = Settled(r.Amount, x.Prop, x.Unit)
		}
		if ok {
			d.Readings = append(d.Readings, r)
		}
	}
	out := []Draft{d}
	for _, x := range telling {
		var next []Draft
		for _, d := range out {
			if !w.readable(x, &d) {
				next = append(next, d)
				continue
			}
			for _, r := range w.Options(x, &d, nil) {
				next = append(next, With(d, r))
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

// counted gathers which clubs count for a rule on a value of the set.
func (s *Space) counted(r *book.Rule) {
	if f, _ := r.Value.Form(); f.Set != nil {
		s.Clubs(book.Clubs{Decl: f.Set.Among, Info: f.Info})
	}
}

// links are the kinds with their numbers and marks of which stocks are made.
func (a *Search) links(rules []*book.Rule) []Draft {
	s := NewSpace()
	s.Pos = AnyPos
	lifted := NewSpace() // what exceptions tell apart, on either side of where they turn
	lifted.Pos = AnyPos
	for _, r := range rules {
		s.Clubs(r.Among)
		s.counted(r)
		for _, h := range chartsOf(r) {
			for _, row := range h.Decl.Rows {
				s.Clubs(book.Clubs{Decl: &ast.Selector{Items: row.Items, Where: row.Where}, Info: h.Book.Info})
			}
		}
		for _, u := range r.Unless {
			lifted.Part(u.When, false)
		}
	}
	if len(s.Kinds) == 0 {
		s.Kinds[catalogue.Iron] = true
	}
	var out []Draft
	for _, k := range catalogue.Kinds() {
		if !s.Kinds[k] {
			continue
		}
		low, high := MostNumber+1, 0
		for n := 1; n <= MostNumber; n++ {
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
			marks := s.marksOf(k, 0)
			if len(marks) == 1 && k == catalogue.Wedge {
				marks = append(marks, "GW")
			}
			for _, m := range marks {
				out = append(out, Draft{Kind: k, Mark: m})
			}
		}
		for n := low; n <= high; n++ {
			out = append(out, Draft{Kind: k, Number: n})
		}
	}
	return out
}

// Sort is clubs that are alike for a question: one of them, and how many are laid out.
type Sort struct {
	Club    Draft
	Numbers []int
}

// Mixes are bags with each number of the clubs of each sort, the smallest first: so many at the most.
func Mixes(sorts []Sort, most int) []Bag {
	out := []Bag{nil}
	for _, s := range sorts {
		var more []Bag
		for _, n := range s.Numbers {
			for _, b := range out[:min(len(out), most-len(more))] {
				more = append(more, append(b.Clone(), slices.Repeat(Bag{s.Club}, n)...))
			}
		}
		out = more
	}
	slices.SortStableFunc(out, func(a, b Bag) int { return len(a) - len(b) })
	return out
}

// Chains are the clubs of stocks each once, in a row: of each kind, and all together.
func Chains(stocks []Bag) []Bag {
	var out []Bag
	for _, stock := range stocks {
		var all, chain Bag
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
func inOrder(b Bag, rules []*book.Rule) {
	done := map[string]bool{}
	for _, r := range rules {
		p, ok := SortedBy(r)
		if f, _ := r.Value.Form(); !ok || done[p.Name] || p.Name == f.Property.Name {
			continue
		}
		done[p.Name] = true
		var keys []*Reading
		for i := range b {
			if r := b[i].Of(p.Name); r != nil && r.Unit != nil {
				keys = append(keys, r)
			}
		}
		slices.SortStableFunc(keys, func(x, y *Reading) int { return unit.Compare(x.Amount, y.Amount) })
		for i, r := range keys {
			if i > 0 && unit.Compare(r.Amount, keys[i-1].Amount) <= 0 {
				moved := keys[i-1].Amount + keys[i-1].Step()
				if _, exact, ok := Settled(moved, r.Prop, r.Unit); ok {
					r.Amount = exact
				}
			}
		}
	}
}
