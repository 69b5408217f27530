package vet

// This file looks at rules on how many clubs a set holds: whether some set could meet all of them.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// counted is a rule that bounds how many clubs of a selector a set holds.
type counted struct {
	rule      *book.Rule
	of        book.Clubs
	low, high int
}

const (
	mostCount = 60      // clubs of one sort that are tried in a set
	mostSteps = 100_000 // choices that are tried for some rules

	mostCountedTogether = 8 // rules that are looked at more than two at a time
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
	for i, r := range rules {
		if i < mostCountedTogether {
			for k := range rules[:i+1] {
				a.count(append([]counted{r}, rules[k:i]...), told)
			}
		}
		for _, t := range rules[:i] {
			if !a.Pay(1) {
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
		a.Leave("too many rules on counts to check all together: after the first %d they were checked two at a time",
			mostCountedTogether)
	}
}

// rulesOf are the rules on some counts.
func rulesOf(counts []counted) []*book.Rule {
	return lists.Each(counts, func(c counted) *book.Rule { return c.rule })
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

// idleCount reports a rule of the book on a count that every set meets which meets another one; false where that is
// not so.
func (a *analyst) idleCount(loose, strict counted) bool {
	on, ok := space.Together(loose.rule, strict.rule)
	if !a.own[loose.rule] || a.idle[loose.rule] || !ok || !loose.rule.During(strict.rule.Period) {
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
	failing := func(met ...counted) (b space.Bag) {
		for _, m := range strict.missing() {
			if found, _ := a.fill(append(met, m)); len(found) > 0 {
				b = found
			}
		}
		return b
	}
	o, b := besides{loose: loose.rule, strict: strict.rule}, failing(loose)
	if o.looser = b != nil && !a.own[strict.rule]; b == nil {
		o.equal, o.same = true, "every set"
		b = failing()
	}
	return len(b) > 0 && a.findBeside(o, b, on)
}

// countOf reads a rule on a count; false for any other.
func countOf(r *book.Rule) (counted, bool) {
	c := counted{rule: r, low: 0, high: mostCount}
	of, ok := r.Value.Counts()
	b := r.Bound
	if r.Subject != ast.OfSet || !ok || b == nil || len(r.Unless) > 0 || r.Among.Decl != nil || r.Decl.Advice ||
		len(b.Widen) > 0 || !b.Fixed() {
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
	if _, ok := space.Together(rulesOf(rules)...); !ok {
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
	ring := rulesOf(rules)
	key := named(ring)
	if told[key] || a.lastOwn(ring) == nil || a.unmet[ring[0]] && len(ring) == 1 {
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
		a.contradict(ring, w, "numbers that leave room for all of them", "no set of clubs meets them all")
		return
	}
}

// fill finds clubs that meet some rules on counts; nil if there are none. It is not sure where not all could be
// tried.
func (a *analyst) fill(rules []counted) (found space.Bag, sure bool) {
	s := space.NewSpace()
	for _, c := range rules {
		s.Clubs(c.of)
	}
	w := a.Walk(s, s.Axes)
	sorts := map[string]bool{}
	var clubs []space.Draft
	var takes [][]bool
next:
	for d := range w.All() {
		c := d.Club(a.Program.Schema)
		in := make([]bool, len(rules))
		for i, r := range rules {
			t := a.Probe.Takes(r.of.Decl, r.of.Info, c)
			if t == value.Unknown {
				continue next
			}
			in[i] = t == value.True
		}
		if key := fmt.Sprint(in); !sorts[key] {
			sorts[key] = true
			clubs, takes = append(clubs, *d), append(takes, in)
		}
	}
	steps := min(mostSteps, 20*max(0, a.Budget))
	before := steps
	found = enough(rules, clubs, takes, make([]int, len(rules)), &steps)
	sure = (found != nil || steps >= 0) && s.Whole() && !w.Cut
	a.Pay((before - steps) / 20)
	return found, sure
}

// enough are as many clubs of each sort as rules want that have counted some already; nil where no number of them will
// do. takes says for each sort which rules count it.
func enough(rules []counted, clubs []space.Draft, takes [][]bool, have []int, steps *int) space.Bag {
	over := func() bool {
		for i, r := range rules {
			if have[i] > r.high {
				return true
			}
		}
		return false
	}
	if *steps--; *steps < 0 || over() {
		return nil
	}
	if len(clubs) == 0 {
		for i, r := range rules {
			if have[i] < r.low {
				return nil
			}
		}
		return space.Bag{}
	}
	for n := 0; n <= mostCount && !over(); n++ {
		if b := enough(rules, clubs[1:], takes[1:], have, steps); b != nil {
			return append(b, slices.Repeat(space.Bag{clubs[0]}, n)...)
		}
		if !slices.Contains(takes[0], true) {
			break
		}
		have = slices.Clone(have)
		for i, counts := range takes[0] {
			if counts {
				have[i]++
			}
		}
	}
	return nil
}
