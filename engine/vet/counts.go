package vet

// This file looks at rules on how many clubs a set holds: whether some set could meet all of them.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// counted is a rule that bounds how many clubs of a selector a set holds.
type counted struct {
	rule      *book.Rule
	of        *ast.CountOf
	low, high int
}

const (
	mostCount = 60      // clubs of one sort that are tried in a set
	mostSteps = 100_000 // choices that are tried for some rules

	mostCountedTogether = 8    // rules that are looked at more than two at a time
	mostCounts          = 1000 // pairs of rules
)

// counts looks at the rules on counts that have no exceptions and figures for limits.
func (a *analyst) counts() {
	var rules []counted
	for _, r := range a.Program.Rules() {
		if c, ok := countOf(r); ok {
			rules = append(rules, c)
		}
	}
	told := map[string]bool{}
	pairs := 0
	for i, r := range rules {
		if i < mostCountedTogether {
			for k := range rules[:i+1] {
				a.count(append([]counted{r}, rules[k:i]...), told)
			}
		}
		for _, t := range rules[:i] {
			if pairs++; pairs > mostCounts {
				a.Leave(fmt.Sprintf("too many rules on counts to look at all: the first %d pairs were looked at", mostCounts))
				return
			}
			if i >= mostCountedTogether {
				a.count([]counted{t, r}, told)
			}
			if !a.idleCount(r, t) {
				a.idleCount(t, r)
			}
		}
	}
	if len(rules) > mostCountedTogether {
		a.Leave(fmt.Sprintf("too many rules on counts to look at all together: beyond the first %d they were looked at two at a time", mostCountedTogether))
	}
}

// missing are the counts that a rule on one does not let pass: too few, and too many.
func (c counted) missing() []counted {
	var out []counted
	if c.low > 0 {
		out = append(out, counted{c.rule, c.of, 0, c.low - 1})
	}
	if c.high < mostCount {
		out = append(out, counted{c.rule, c.of, c.high + 1, mostCount})
	}
	return out
}

// idleCount tells of a rule of the book on a count that every set meets which meets another one; false where that is
// not so.
func (a *analyst) idleCount(loose, strict counted) bool {
	on, ok := space.Together(loose.rule, strict.rule)
	if !a.own[loose.rule] || a.idle[loose.rule] || !ok || !covers(strict.rule, loose.rule) {
		return false
	}
	for _, m := range loose.missing() {
		if found, sure := a.fill([]counted{strict, m}); found != nil || !sure {
			return false
		}
	}
	if found, _ := a.fill([]counted{strict}); found == nil {
		return false // nothing meets it, which is told by itself
	}
	name, other := loose.rule.Decl.Name.Text, strict.rule.Decl.Name.Text
	message, code := fmt.Sprintf("%s is idle: whatever passes %s passes it too, wherever it applies", name, other), diag.IdleRule
	var b space.Bag
	for _, m := range strict.missing() {
		if found, _ := a.fill([]counted{loose, m}); len(found) > 0 {
			b = found
		}
	}
	switch {
	case b != nil && !a.own[strict.rule]:
		message, code = fmt.Sprintf("%s is looser than %s of %s, which still judges the same sets", name, other, strict.rule.Book.Name), diag.LooserRule
	case b == nil:
		message = fmt.Sprintf("%s is idle: %s says the same of every set", name, other)
		for _, m := range strict.missing() {
			if found, _ := a.fill([]counted{m}); len(found) > 0 {
				b = found
			}
		}
	}
	w, ok := a.Witness(b, on, loose.rule, strict.rule)
	if len(b) == 0 || !ok || w.Verdict(strict.rule) != decide.Fail {
		return false
	}
	a.idle[loose.rule] = code == diag.IdleRule
	a.find(code, loose.rule.Decl.Require.Span, w, message, "one rule for both", diag.Label{Span: strict.rule.Decl.Require.Span, Text: "what " + other + " requires"})
	return true
}

// countOf reads a rule on a count; false for any other.
func countOf(r *book.Rule) (counted, bool) {
	c := counted{rule: r, low: 0, high: mostCount}
	of, ok := ast.Unparen(r.Value.Expr).(*ast.CountOf)
	b := r.Bound
	if r.Subject != ast.OfSet || !ok || b == nil || len(r.Unless) > 0 || r.Decl.Advice || len(b.Widen) > 0 || !b.Fixed() {
		return c, false
	}
	c.of = of
	if b.Low != nil {
		c.low = int(math.Ceil(b.Low.Fixed.Base))
		if b.Low.Open {
			c.low = int(math.Floor(b.Low.Fixed.Base)) + 1
		}
	}
	if b.High != nil {
		c.high = int(math.Floor(b.High.Fixed.Base))
		if b.High.Open {
			c.high = int(math.Ceil(b.High.Fixed.Base)) - 1
		}
	}
	return c, c.low <= mostCount && c.high <= mostCount
}

// count looks at some rules: where no set meets all of them, at as few of them as no set meets.
func (a *analyst) count(rules []counted, told map[string]bool) {
	var all []*book.Rule
	for _, c := range rules {
		all = append(all, c.rule)
	}
	if _, ok := space.Together(all...); !ok {
		return
	}
	if found, sure := a.fill(rules); found != nil || !sure {
		return
	}
	for i := 0; i < len(rules); {
		fewer := slices.Delete(slices.Clone(rules), i, i+1)
		if found, sure := a.fill(fewer); len(fewer) > 0 && found == nil && sure {
			rules = fewer
			continue
		}
		i++
	}
	slices.SortFunc(rules, func(x, y counted) int { return x.rule.Decl.Span.Start - y.rule.Decl.Span.Start })
	var names []string
	var ring []*book.Rule
	var last *book.Rule
	for _, c := range rules {
		names, ring = append(names, c.rule.Decl.Name.Text), append(ring, c.rule)
		if a.own[c.rule] {
			last = c.rule
		}
	}
	key := unit.Listed(names, "and")
	if told[key] || last == nil {
		return
	}
	on, _ := space.Together(ring...)
	for i := range rules {
		b, _ := a.fill(slices.Delete(slices.Clone(rules), i, i+1))
		if len(b) == 0 {
			b = space.Bag{{Kind: space.KindsInOrder[0], Number: 7}}
		}
		w, ok := a.Witness(b, on, ring...)
		if !ok || w.Verdict(rules[i].rule) != decide.Fail {
			continue
		}
		told[key] = true
		var related []diag.Label
		for _, r := range ring {
			if r != last {
				related = append(related, diag.Label{Span: r.Decl.Require.Span, Text: "what " + r.Decl.Name.Text + " requires"})
			}
		}
		if len(ring) == 1 {
			a.find(diag.NeverMet, last.Decl.Require.Span, w, fmt.Sprintf("%s can never be met, whatever clubs a set holds", key), "a number of clubs that a set can hold")
		} else {
			a.find(diag.Contradiction, last.Decl.Require.Span, w, fmt.Sprintf("%s contradict each other: no set of clubs meets them all", key), "numbers that leave room for all of them", related...)
		}
		return
	}
}

// fill finds clubs that meet some rules on counts; nil where there are none. It is not sure where not all could be
// tried.
func (a *analyst) fill(rules []counted) (found space.Bag, sure bool) {
	s := space.NewSpace()
	for _, c := range rules {
		s.Selector(c.of.Selector, c.rule.Book.Info)
	}
	w := a.Walk(s, s.Axes)
	sorts := map[string]bool{}
	var clubs []space.Draft
	var takes [][]bool
	for _, d := range s.Shapes() {
		w.Each(&d, s.Axes, func(d *space.Draft) bool {
			c := space.Bag{*d}.Lay(a.Program.Schema).Clubs[0]
			in := make([]bool, len(rules))
			for i, r := range rules {
				switch a.Probe.Takes(r.of.Selector, r.rule.Book.Info, c) {
				case engine.Unknown:
					return true
				case engine.True:
					in[i] = true
				}
			}
			if key := fmt.Sprint(in); !sorts[key] {
				sorts[key] = true
				clubs, takes = append(clubs, *d), append(takes, in)
			}
			return true
		})
	}
	have := make([]int, len(rules))
	steps := min(mostSteps, 20*max(0, a.Budget))
	before := steps
	defer func() { a.Pay((before - steps) / 20) }()
	var out space.Bag
	var add func(k int) bool
	add = func(k int) bool {
		if steps--; steps < 0 {
			return false
		}
		for i, r := range rules {
			if have[i] > r.high {
				return false
			}
		}
		if k == len(clubs) {
			for i, r := range rules {
				if have[i] < r.low {
					return false
				}
			}
			return true
		}
		for n := 0; n <= mostCount; n++ {
			if add(k + 1) {
				for range n {
					out = append(out, clubs[k])
				}
				for i := range rules {
					if takes[k][i] {
						have[i] -= n
					}
				}
				return true
			}
			counts := false
			over := false
			for i := range rules {
				if takes[k][i] {
					counts = true
					have[i]++
					over = over || have[i] > rules[i].high
				}
			}
			if !counts || over || n == mostCount {
				for i := range rules {
					if takes[k][i] {
						have[i] -= n + 1
					}
				}
				return false
			}
		}
		return false
	}
	ok := add(0)
	sure = (ok || steps >= 0) && s.Whole() && !w.Cut
	if !ok {
		return nil, sure
	}
	if out == nil {
		out = space.Bag{}
	}
	return out, sure
}
