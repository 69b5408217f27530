package analyse

// This file looks for what a family of rules, those of a book on one value, leaves out between what it is
// about: kinds, numbers and days; and for charts without a row that a rule would need.

import (
	"fmt"
	"slices"

	"ferrule/engine"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/diag"
)

// mostNumber is the highest number at which a family is looked at.
const mostNumber = 12

// families are the book's rules on single clubs, by the value that they put a bound on, and from which side; each in the
// order of the book.
func (a *analyst) families() [][]*check.Rule {
	var out [][]*check.Rule
	place := map[string]int{}
	for _, r := range a.book.Rules {
		ref, ok := ast.Unparen(r.Decl.Require.Value).(*ast.Ref)
		if r.Decl.For.Kind != ast.OfClub || !ok || r.Decl.Require.Bound == nil || r.Decl.Advice {
			continue
		}
		key := ref.Name.Text
		if m := r.Book.Info.Refs[ref].Method; m != nil {
			key += " by " + m.Decl.Name.Text
		}
		switch r.Decl.Require.Bound.Kind {
		case ast.AtMost, ast.Below:
			key += " above"
		case ast.AtLeast, ast.Above:
			key += " below"
		}
		i, ok := place[key]
		if !ok {
			i = len(out)
			place[key] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], r)
	}
	return out
}

// mayTake tells whether a rule may be about a club of which no more is known than its kind, number and mark.
func (a *analyst) mayTake(r *check.Rule, d draft) bool {
	sel := r.Decl.For.Selector
	asks := false
	ast.Walk(sel.Where, func(e ast.Expr) bool {
		_, has := e.(*ast.Has)
		asks = asks || has
		return true
	})
	if asks {
		sel = &ast.Selector{Span: sel.Span, Items: sel.Items, Except: sel.Except}
	}
	c := bag{d}.lay(a.program.Schema).Clubs[0]
	return a.probe.Takes(sel, r.Book.Info, c) != engine.False
}

// carried are the kinds of a bag from the longest to the shortest, the putter aside.
var carried = []catalogue.Kind{catalogue.Driver, catalogue.Fairway, catalogue.Hybrid, catalogue.Iron, catalogue.Wedge}

// stepped are the kinds whose numbers follow each other one by one. Fairway woods skip some by custom.
var stepped = []catalogue.Kind{catalogue.Iron, catalogue.Hybrid}

func (a *analyst) gaps() {
	for _, family := range a.families() {
		if len(family) > 1 {
			a.gapsIn(family)
			a.hole(family)
		}
	}
	for _, r := range a.book.Rules {
		if r.Decl.For.Kind == ast.OfClub {
			a.rows(r)
		}
	}
}

// gapsIn looks for numbers and kinds between those that a family is about.
func (a *analyst) gapsIn(family []*check.Rule) {
	covered := func(d draft) bool {
		return slices.ContainsFunc(family, func(r *check.Rule) bool { return a.mayTake(r, d) })
	}
	for _, k := range stepped {
		if missing := inside(func(n int) bool { return covered(draft{kind: k, number: n}) }); len(missing) > 0 {
			a.gap(family, draft{kind: k, number: missing[0]}, fmt.Sprintf("%s %s", k, numbersText(missing)))
		}
	}
	var has []int
	for i, k := range carried {
		if a.coversKind(family, k) {
			has = append(has, i)
		}
	}
	for i := 1; i < len(has); i++ {
		for _, k := range carried[has[i-1]+1 : has[i]] {
			if a.byKinds(family) {
				a.gap(family, draft{kind: k, number: usualNumbers[k]}, k.Plural())
			}
		}
	}
}

// coversKind tells whether a rule of a family may be about some club of a kind.
func (a *analyst) coversKind(family []*check.Rule, k catalogue.Kind) bool {
	for _, r := range family {
		s := a.study(r)
		if s.reach[k] != nil || a.mayTake(r, draft{kind: k, number: usualNumbers[k]}) {
			return true
		}
	}
	return false
}

// byKinds tells whether the rules of a family part the kinds between them: each is about kinds that no other
// is about.
func (a *analyst) byKinds(family []*check.Rule) bool {
	for _, k := range carried {
		about := 0
		for _, r := range family {
			if a.coversKind([]*check.Rule{r}, k) {
				about++
			}
		}
		if about > 1 {
			return false
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
	var words []string
	for _, n := range numbers {
		words = append(words, fmt.Sprint(n))
	}
	return listed(words, "and")
}

// gap tells that a family says nothing of some clubs, of which d is one.
func (a *analyst) gap(family []*check.Rule, d draft, what string) {
	w, ok := a.witness(bag{d}, check.NoDay, family...)
	if !ok || slices.ContainsFunc(w.Verdicts, func(v RuleVerdict) bool { return v.Verdict != 0 }) {
		return
	}
	last := family[len(family)-1]
	var related []diag.Label
	for _, r := range family[:len(family)-1] {
		related = append(related, diag.Label{Span: r.Decl.For.Span, Text: "what " + r.Decl.Name.Text + " is about"})
	}
	a.find(diag.Gap, last.Decl.For.Span, w, fmt.Sprintf("of the rules on %s none is about %s, though they are about clubs on either side", a.what(last), what),
		"a rule that is about them too, if they have a limit", related...)
}

// hole looks for days between those on which rules of a family are in force.
func (a *analyst) hole(family []*check.Rule) {
	for _, before := range family {
		if before.Until == check.NoDay {
			continue
		}
		day := before.Until + 1
		var next *check.Rule
		filled := false
		for _, r := range family {
			fills := inForce(r, day)
			begins := r.From != check.NoDay && r.From > day && (next == nil || r.From < next.From)
			if filled || r == before || !fills && !begins || !a.overlap(r, before) {
				continue
			}
			if fills {
				filled = true
			} else {
				next = r
			}
		}
		if filled || next == nil {
			continue
		}
		d := a.common(before, next)
		if d == nil {
			continue
		}
		w, ok := a.witness(bag{*d}, day, before, next)
		if !ok || w.Verdicts[0].Verdict != 0 || w.Verdicts[1].Verdict != 0 {
			continue
		}
		a.find(diag.GapInTime, next.Decl.From.Span, w, fmt.Sprintf("from %s to %s no rule on %s is in force: %s has ended, and %s has not begun", day, next.From-1, a.what(next), before.Decl.Name.Text, next.Decl.Name.Text),
			"from "+day.String()+", if nothing lies between", diag.Label{Span: before.Decl.Until.Span, Text: before.Decl.Name.Text + " ends here"})
	}
}

// overlap tells whether two rules are about some club both.
func (a *analyst) overlap(r, t *check.Rule) bool { return a.related(r, t) && a.common(r, t) != nil }

// common is a club that two rules are both about; nil where none is known.
func (a *analyst) common(r, t *check.Rule) *draft {
	var found *draft
	q := a.ask(r, t)
	q.groups(func(cells []cell) bool {
		for i := range cells {
			if cells[i].says[0].Takes == engine.True && cells[i].says[1].Takes == engine.True {
				found = &cells[i].draft
			}
		}
		return found == nil
	})
	return found
}

// rows looks for clubs of a rule that have no row of a chart which it needs: kinds without any row, numbers between
// rows, and clubs that the list of the rule names.
func (a *analyst) rows(r *check.Rule) {
	for _, h := range chartsOf(r) {
		hasRow := func(d draft) bool {
			return a.probe.HasRow(h, bag{d}.lay(a.program.Schema).Clubs[0]) != engine.False
		}
		rowed := map[catalogue.Kind]bool{}
		for _, row := range h.Decl.Rows {
			s := newSpace()
			s.items(row.Items, h.Book.Info)
			for k := range s.kinds {
				rowed[k] = true
			}
			if slices.ContainsFunc(row.Items, func(i *ast.Item) bool { return h.Book.Info.Items[i].Any }) {
				for _, k := range kindsInOrder {
					rowed[k] = true
				}
			}
		}
		listedNumbers := newSpace()
		listedNumbers.items(r.Decl.For.Selector.Items, r.Book.Info)
		for _, k := range kindsInOrder {
			one := draft{kind: k, number: usualNumbers[k]}
			if k == catalogue.Driver {
				one.number = 1
			}
			named := listedNumbers.kinds[k]
			var missing []draft
			switch {
			case !rowed[k] && named && a.coversKind([]*check.Rule{r}, k):
				missing = append(missing, one)
			case slices.Contains(stepped, k):
				for _, n := range inside(func(n int) bool { return hasRow(draft{kind: k, number: n}) && a.mayTake(r, draft{kind: k, number: n}) }) {
					missing = append(missing, draft{kind: k, number: n})
				}
			}
			for n := range listedNumbers.ranges[k] {
				missing = append(missing, draft{kind: k, number: n})
			}
			for _, m := range listedNumbers.marks[k] {
				missing = append(missing, draft{kind: k, mark: m})
			}
			slices.SortFunc(missing, func(x, y draft) int { return x.number - y.number })
			for _, d := range missing {
				if a.mayTake(r, d) && !hasRow(d) && a.missingRow(r, h, d) {
					break // one of a kind tells enough
				}
			}
		}
	}
}

// missingRow tells that a chart has no row for a club that a rule takes; false where the witness does not bear
// it out.
func (a *analyst) missingRow(r *check.Rule, h *check.Chart, d draft) bool {
	q := a.ask(r)
	var found *draft
	q.each(&d, slices.Concat(q.scope, q.free), func(d *draft) bool {
		q.sweep(d, func(d *draft) {
			if g := q.glance(d)[0]; found == nil && g.Takes == engine.True && g.Taken == nil {
				found = d
			}
		})
		return found == nil
	})
	if found == nil {
		return false
	}
	on, _ := together(r)
	w, ok := a.witness(bag{*found}, on, r)
	if !ok || w.of(r).String() != "unmeasured" {
		return false
	}
	a.find(diag.MissingRow, r.Decl.Require.Span, w, fmt.Sprintf("the chart %s has no row for %s, which %s is about, so that it stays unmeasured", h.Decl.Name.Text, found.phrase(), r.Decl.Name.Text),
		"a row for it, or a list without it", diag.Label{Span: h.Decl.Name.Span, Text: "the chart"})
	return true
}

// chartsOf lists the charts that what a rule requires rests on.
func chartsOf(r *check.Rule) []*check.Chart {
	var out []*check.Chart
	var of func(e ast.Expr, info *check.Info)
	of = func(e ast.Expr, info *check.Info) {
		ast.Walk(e, func(n ast.Expr) bool {
			if ref, ok := n.(*ast.Ref); ok && info.Refs[ref] != nil {
				switch i := info.Refs[ref]; i.Kind {
				case check.RefLet:
					of(i.Let.Decl.Value, i.Let.Book.Info)
				case check.RefChart:
					if !slices.Contains(out, i.Chart) {
						out = append(out, i.Chart)
					}
				}
			}
			return true
		})
	}
	of(r.Decl.Require.Value, r.Book.Info)
	if b := r.Decl.Require.Bound; b != nil {
		for _, e := range []ast.Expr{b.Q, b.Q2, b.PlusMinus, b.Of, b.Allowing} {
			if e != nil {
				of(e, r.Book.Info)
			}
		}
	}
	return out
}
