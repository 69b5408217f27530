package vet

// This file looks for what a family of rules, those of a book on one value, leaves out between what it is
// about: kinds and numbers; and for charts without a row that a rule would need. pauses.go makes the families.

import (
	"fmt"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// carried are the kinds of a bag from the longest to the shortest, the putter aside.
var carried = []catalogue.Kind{catalogue.Driver, catalogue.Fairway, catalogue.Hybrid, catalogue.Iron, catalogue.Wedge}

// stepped are the kinds whose numbers follow each other one by one. Fairway woods skip some by custom.
var stepped = []catalogue.Kind{catalogue.Iron, catalogue.Hybrid}

func (a *analyst) gaps() {
	a.Pay(20 * a.Size)
	for _, f := range a.families() {
		if a.Budget <= 0 {
			return
		}
		told := map[string]bool{}
		for _, s := range []flank{fromAbove, fromBelow} {
			if rules := f.on(s); len(rules) > 0 && f[0].plain {
				a.numbersBetween(f, rules, told)
				if len(rules) > 1 && rules[0].Subject == ast.OfClub {
					a.kindsBetween(f, rules, told)
				}
			}
		}
		if len(f) > 1 {
			a.hole(f)
		}
	}
	for _, r := range a.book.Rules {
		if r.Subject == ast.OfClub && a.Pay(2) {
			a.rows(r)
		}
	}
}

// numbersBetween looks for numbers between those that rules are about. Where all that are named skip every other
// number, as fairway woods do, or where a list leaves out more than it names, that is taken to be on purpose.
func (a *analyst) numbersBetween(f family, rules []*book.Rule, told map[string]bool) {
	if rules[0].Subject == ast.OfSet || len(rules) == 1 && !a.plainList(rules[0]) {
		return
	}
	for _, k := range []catalogue.Kind{catalogue.Iron, catalogue.Hybrid, catalogue.Fairway} {
		covered := func(n int) bool {
			d := space.Draft{Kind: k, Number: n}
			return slices.ContainsFunc(rules, func(r *book.Rule) bool { return a.MayBe(r.Among, d) })
		}
		missing := inside(covered)
		if len(missing) == 0 {
			continue
		}
		named, follow := 0, false
		for n := 1; n <= mostNumber; n++ {
			if covered(n) {
				named++
				follow = follow || covered(n+1)
			}
		}
		if (len(rules) == 1 || !slices.Contains(stepped, k)) && (!follow || len(missing) >= named) {
			continue
		}
		a.gap(f, rules, space.Draft{Kind: k, Number: missing[0]}, fmt.Sprintf("%s %s", k, numbersText(missing)), told)
	}
}

// plainList reports whether nothing but its list decides which clubs a rule is about: an except or a condition leaves
// clubs out on purpose.
func (a *analyst) plainList(r *book.Rule) bool {
	var plain func(c book.Clubs) bool
	plain = func(c book.Clubs) bool {
		some := func(i *ast.Item) bool {
			m := c.Info.Items[i]
			return m == nil || m.Group != nil && !plain(m.Group.Clubs())
		}
		return len(c.Decl.Except) == 0 && c.Decl.Where == nil && !slices.ContainsFunc(c.Decl.Items, some)
	}
	return plain(r.Among)
}

// kindsBetween looks for kinds between those that rules are about.
func (a *analyst) kindsBetween(f family, rules []*book.Rule, told map[string]bool) {
	var has []int
	for i, k := range carried {
		if a.coversKind(rules, k) {
			has = append(has, i)
		}
	}
	for i := 1; i < len(has); i++ {
		for _, k := range carried[has[i-1]+1 : has[i]] {
			if a.byKinds(rules) {
				a.gap(f, rules, usual(k), k.Plural(), told)
			}
		}
	}
}

// usual is a usual club of a kind.
func usual(k catalogue.Kind) space.Draft {
	return space.Draft{Kind: k, Number: catalogue.UsualNumbers[k]}
}

// coversKind reports whether one of some rules may be about some club of a kind.
func (a *analyst) coversKind(rules []*book.Rule, k catalogue.Kind) bool {
	return slices.ContainsFunc(rules, func(r *book.Rule) bool {
		return a.study(r).reach[k] != nil || a.MayBe(r.Among, usual(k))
	})
}

// byKinds reports whether rules part the kinds between them: each is about kinds that no other with limits on the same
// sides is about.
func (a *analyst) byKinds(rules []*book.Rule) bool {
	for _, k := range carried {
		about := map[[2]bool]bool{}
		for _, r := range rules {
			if !a.coversKind([]*book.Rule{r}, k) {
				continue
			}
			l, _ := limitingOf(r)
			if about[l.sides] {
				return false
			}
			about[l.sides] = true
		}
	}
	return true
}

// inside are the numbers that are not covered, between the lowest and the highest that are.
func inside(covered func(int) bool) []int {
	var out, open []int
	any := false
	for n := 1; n <= mostNumber; n++ {
		switch {
		case covered(n):
			out = append(out, open...)
			open, any = nil, true
		case any:
			open = append(open, n)
		}
	}
	return out
}

func numbersText(numbers []int) string {
	words := lists.Each(numbers, func(n int) string { return fmt.Sprint(n) })
	return unit.Listed(words, "and")
}

// gap reports that rules of a family say nothing of some clubs, of which d is one.
func (a *analyst) gap(f family, rules []*book.Rule, d space.Draft, what string, told map[string]bool) {
	if told[what] || a.Budget <= 0 { // then it is not known what the rules are about
		return
	}
	b := space.Bag{d}
	if last := rules[len(rules)-1]; last.Subject == ast.OfNeighbours {
		b = a.sorted(last, space.Bag{{Kind: d.Kind, Number: d.Number - 1}, d})
	}
	all := lists.Each(f, func(l limiting) *book.Rule { return l.rule })
	speaks := func(v space.RuleVerdict) bool { return v.Verdict != 0 }
	among := "rules"
	if w, ok := a.Witness(b, book.NoDay, all...); !ok {
		return
	} else if slices.ContainsFunc(w.Verdicts, speaks) {
		if among = "upper limits"; !slices.Equal(rules, f.on(fromAbove)) {
			among = "lower limits"
		}
	}
	w, ok := a.Witness(b, book.NoDay, rules...)
	if !ok || slices.ContainsFunc(w.Verdicts, speaks) {
		return
	}
	told[what] = true
	last := rules[len(rules)-1]
	message := fmt.Sprintf("none of the %s on %s is about %s, though they are about clubs on either side",
		among, f.valueOf(last), what)
	if len(rules) == 1 {
		message = fmt.Sprintf("%s is not about %s, though it is about clubs on either side, "+
			"and no other of the %s on %s is", last.Decl.Name.Text, what, among, f.valueOf(last))
	}
	const expected = "a rule that is about them too, if they have a limit"
	found := a.find(Gap, last.Decl.For.Span, w, expected, "%s", message)
	for _, r := range rules[:len(rules)-1] {
		found.see(r.Decl.For.Span, "what "+r.Decl.Name.Text+" is about")
	}
}

// sorted is a bag of clubs each with more of what a rule sorts them by than the one before it.
func (a *analyst) sorted(r *book.Rule, b space.Bag) space.Bag {
	p, ok := space.SortedBy(r)
	if !ok || !p.Sort.Numeric() || p.ID == catalogue.Number {
		return b
	}
	u := unit.Base(p.Sort.Dim())
	for i := range b {
		b[i], _ = b[i].Moved(&space.Reading{Prop: p, Unit: u}, space.Typical(p, &b[i])+u.ToBase(float64(4*i)))
	}
	return b
}

// rows looks for clubs of a rule that have no row of a chart which it needs: kinds without any row, numbers between
// rows, and clubs that the list of the rule names.
func (a *analyst) rows(r *book.Rule) {
	listed := space.NewSpace()
	listed.Clubs(book.Clubs{Decl: &ast.Selector{Items: r.Among.Decl.Items}, Info: r.Book.Info})
	for _, c := range space.ChartsIn(r) {
		if !a.Pay(50) {
			return
		}
		h := c.Chart
		hasRow := func(d space.Draft) bool {
			a.Pay(3)
			return a.Probe.HasRow(h, d.Club(a.Program.Schema)) != value.False
		}
		rowed, any := space.NewSpace(), false
		for _, row := range h.Decl.Rows {
			rowed.Clubs(book.Clubs{Decl: &ast.Selector{Items: row.Items}, Info: h.Book.Info})
			any = any || slices.ContainsFunc(row.Items, func(i *ast.Item) bool { return h.Book.Info.Items[i].Any })
		}
		for _, k := range space.KindsInOrder {
			var missing []space.Draft
			switch {
			case !any && !rowed.Kinds[k] && listed.Kinds[k] && a.coversKind([]*book.Rule{r}, k):
				missing = append(missing, usual(k))
			case slices.Contains(stepped, k):
				for _, n := range inside(func(n int) bool {
					return hasRow(space.Draft{Kind: k, Number: n}) && a.MayBe(r.Among, space.Draft{Kind: k, Number: n})
				}) {
					missing = append(missing, space.Draft{Kind: k, Number: n})
				}
			}
			for n := range listed.Ranges[k] {
				missing = append(missing, space.Draft{Kind: k, Number: n})
			}
			for _, m := range listed.Marks[k] {
				missing = append(missing, space.Draft{Kind: k, Mark: m})
			}
			slices.SortFunc(missing, func(x, y space.Draft) int { return x.Number - y.Number })
			for _, d := range missing {
				if a.MayBe(r.Among, d) && !hasRow(d) && a.missingRow(r, c, d) {
					break // one of a kind is enough
				}
			}
		}
	}
}

// missingRow reports that a chart has no row for a club that a rule takes, or that an exception holds for; false where
// the witness does not bear it out.
func (a *analyst) missingRow(r *book.Rule, c space.Charted, d space.Draft) bool {
	var found *space.Draft
	for cell := range a.Ask(r).Cells(d) {
		if g := cell.Says[0]; g.Takes == value.True && g.Taken == c.Unless && g.Verdict == decide.Unmeasured {
			found = &cell.Draft
			break
		}
	}
	if found == nil {
		return false
	}
	w := a.shows(r, space.Bag{*found}, decide.Unmeasured)
	if w == nil {
		return false
	}
	at, about := r.Decl.Require.Span, "which "+r.Decl.Name.Text+" is about"
	if c.Unless != nil {
		at, about = c.Unless.Span, "which this exception of "+r.Decl.Name.Text+" can hold for"
	}
	chart := c.Chart.Decl.Name
	a.find(MissingRow, at, w, "a row for it, or a list without it",
		"the chart %s has no row for %s, %s, so it stays unmeasured",
		chart.Text, unit.Article(found.Name()), about).see(chart.Span, "the chart")
	return true
}
