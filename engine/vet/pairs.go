package vet

// This file looks at rules about single clubs two at a time: whether they contradict each other, and
// whether one is idle beside the other.

import (
	"iter"
	"math"
	"slices"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// beside is what is known of two rules about single clubs.
type beside struct {
	meet     bool          // both are about some club
	room     [2]bool       // some club passes both, and the other one not by an exemption
	never    *space.Sample // of a club no value passes both; the first rule or the second fails here
	hard     bool          // and whatever is read, one of them fails
	idle     [2]bool
	fails    [2]*space.Sample // it fails and the other one passes
	bothFail *space.Sample
	excused  [2]*space.Sample // it passes by an exception what the other fails, in a group where it is never stricter
}

// pairs looks at rules two at a time. Of two that another book brings in nothing is said, unless they
// come from two books and contradict each other.
func (a *analyst) pairs() {
	rules := lists.Kept(a.Program.Rules(), func(r *book.Rule) bool { return r.Subject == ast.OfClub })
	for i, r := range rules {
		for k, t := range rules[:i] {
			if k%8 == 0 && !a.Pay(1) {
				return
			}
			if !a.own[r] && !a.own[t] && r.Book == t.Book {
				continue
			}
			if on, ok := space.Together(t, r); ok && a.related(t, r) {
				a.pair(t, r, on)
			}
		}
	}
}

// related reports whether two rules may have to do with each other: they require something of one property
// of clubs that both may be about.
func (a *analyst) related(r, t *book.Rule) bool {
	needs := a.Requires(t)
	if !slices.ContainsFunc(a.Requires(r), func(name string) bool { return slices.Contains(needs, name) }) {
		return false
	}
	x, y := a.study(r), a.study(t)
	if !x.takes && x.surely() || !y.takes && y.surely() || x.lifted() || y.lifted() {
		return false
	}
	meet := false
	for k, one := range x.reach {
		two := y.reach[k]
		meet = meet || two != nil && one[0] <= two[1] && two[0] <= one[1]
	}
	return meet || !x.whole || !y.whole
}

// alike reports whether two rules put a bound on one value, a single property by one method.
func (a *analyst) alike(r, t *book.Rule) bool {
	one, two := r.Value.Ref(), t.Value.Ref()
	return one != nil && two != nil && one.Kind == book.RefProperty && two.Kind == book.RefProperty &&
		one.Property.Name == two.Property.Name && one.Method == two.Method &&
		len(a.Requires(r)) == 1 && len(a.Requires(t)) == 1
}

// wider reports whether the limits of a rule may everywhere leave as much room as those of another.
func (s *study) wider(t *study) bool {
	upper := math.IsInf(s.leastUpper, 1) || t.leastUpper <= s.mostUpper
	lower := math.IsInf(s.mostLower, -1) || t.mostLower >= s.leastLower
	return upper && lower
}

// pair looks at two rules that are in force together on a day.
func (a *analyst) pair(r, t *book.Rule, on book.Day) {
	x, y := a.study(r), a.study(t)
	alike := x.straight && y.straight && a.alike(r, t)
	within := func(strict, loose *book.Rule) bool { // as the rules decide, limits aside
		return judge.DecisionOf(r) == judge.DecisionOf(t) || alike && severer(strict, loose)
	}
	clash := !alike || max(x.mostLower, y.mostLower) >= min(x.leastUpper, y.leastUpper)
	looser := a.own[r] != a.own[t] && (a.own[r] && within(t, r) || a.own[t] && within(r, t))
	b := beside{}
	b.idle[0] = a.own[r] && !a.idle[r] && within(t, r) && r.During(t.Period) && (!alike || x.wider(y)) &&
		(r.Decl.Advice || !t.Decl.Advice)
	b.idle[1] = a.own[t] && !a.idle[t] && within(r, t) && t.During(r.Period) && (!alike || y.wider(x)) &&
		(t.Decl.Advice || !r.Decl.Advice)
	if !clash && !looser && !b.idle[0] && !b.idle[1] {
		return
	}
	q := a.Ask(r, t)
	q.Groups(func(cells iter.Seq[*space.Sample]) bool {
		b.group(cells)
		return clash || looser || b.idle[0] || b.idle[1]
	})
	if q.Cut {
		if a.Budget > 0 {
			a.Leave("too many combinations to check all of %s and %s: the first %d were checked",
				r.Decl.Name.Text, t.Decl.Name.Text, space.MostCells)
		}
		return
	}
	same := a.sameValue(r, t)
	if (same || q.WholeAtLie()) && b.never != nil && a.contradiction(b, r, t, on) {
		return
	}
	if !q.Space.Whole() && (!same || q.Blind || q.Converts()) {
		return
	}
	if !alike {
		b.excused = [2]*space.Sample{}
	}
	a.beside(b, looser, r, t, on)
}

// severer reports whether of two rules on one value and the same limits the first never says better than the other.
func severer(strict, loose *book.Rule) bool {
	s, l := strict.Decision, loose.Decision
	switch s.Kind {
	case ast.GuardedAcceptance:
		return l.Kind == ast.Simple || l.Kind == ast.GuardedRejection || s.Level >= l.Level
	case ast.Simple:
		return l.Kind == ast.GuardedRejection
	}
	return l.Kind == ast.GuardedRejection && s.Level <= l.Level
}

// sameValue reports whether two rules require something of values that are written alike.
func (a *analyst) sameValue(r, t *book.Rule) bool {
	if q := space.NewSpace(); true {
		q.Rule(r)
		q.Rule(t)
		if q.Bags || q.Repeats {
			return false
		}
	}
	return r.Bound != nil && t.Bound != nil && r.Book == t.Book &&
		r.Value.Expr.Place().OneLine() == t.Value.Expr.Place().OneLine()
}

// rank puts verdicts in order, the worst first; exempt counts as a pass.
func rank(v decide.Verdict) decide.Verdict {
	if v == decide.Exempt {
		return decide.Pass
	}
	return v
}

func (b *beside) group(cells iter.Seq[*space.Sample]) {
	r := newRoom(2)
	var excused [2]*space.Sample
	var stricter [2]bool
	for c := range cells {
		x, y := &c.Says[0], &c.Says[1]
		in := [2]bool{x.Takes == value.True && x.Verdict != 0, y.Takes == value.True && y.Verdict != 0}
		v := [2]decide.Verdict{rank(x.Verdict), rank(y.Verdict)}
		for k := range 2 {
			other := in[1-k] && v[1-k] <= v[k]
			if in[k] && v[k] != decide.Unmeasured && c.Says[k].Verdict != decide.Exempt && !other {
				b.idle[k] = false
			}
		}
		if !in[0] || !in[1] {
			continue
		}
		b.meet = true
		if v[0] == decide.Unmeasured || v[1] == decide.Unmeasured {
			continue
		}
		r.add(c)
		for k := range 2 {
			stricter[k] = stricter[k] || v[k] < v[1-k]
			if excused[k] == nil && v[k] == decide.Pass && v[1-k] == decide.Fail && excuses(&c.Says[k], &c.Says[1-k]) {
				excused[k] = c
			}
		}
		for k := range 2 {
			b.room[k] = b.room[k] || v[k] == decide.Pass && c.Says[1-k].Verdict == decide.Pass
			if v[k] == decide.Fail && v[1-k] == decide.Pass && b.fails[k] == nil {
				b.fails[k] = c
			}
		}
		if v[0] == decide.Fail && v[1] == decide.Fail && b.bothFail == nil {
			b.bothFail = c
		}
	}
	for k := range 2 {
		if !stricter[k] && b.excused[k] == nil {
			b.excused[k] = excused[k]
		}
	}
	if c := r.none(); c != nil && (b.never == nil || r.hard && !b.hard) {
		b.never, b.hard = c, r.hard
	}
}

// excuses reports whether a rule passes a club by an exception that lifts the limit beyond which another one fails it.
func excuses(x, fails *judge.Glance) bool {
	if x.Taken == nil || !fails.HasBound {
		return false
	}
	own := x.Sided
	if x.Verdict == decide.Exempt {
		own = x.Plain
	}
	return own.HasBound && (fails.Value > fails.Limits.Upper && own.Limits.HasUpper() ||
		fails.Value < fails.Limits.Lower && own.Limits.HasLower())
}

// contradiction reports that two rules can never both be met; false where the witness does not bear it out.
func (a *analyst) contradiction(b beside, r, t *book.Rule, on book.Day) bool {
	rules := []*book.Rule{r, t}
	if !a.own[t] && a.own[r] {
		slices.Reverse(rules)
	}
	if !a.findNever(b.never, b.hard, on, rules, a.shared(r, t)) {
		return false
	}
	a.opposed = append(a.opposed, [2]*book.Rule{r, t})
	return true
}

// shared is what two rules require something of, in words.
func (a *analyst) shared(r, t *book.Rule) string {
	if a.what(r) == a.what(t) {
		return a.what(r)
	}
	needs := a.Requires(t)
	both := lists.Kept(a.Requires(r), func(n string) bool { return slices.Contains(needs, n) })
	return unit.Listed(both, "and")
}

// beside tells that one of two rules says nothing that the other one does not say, or that a rule of the
// book is looser than one that it uses.
func (a *analyst) beside(b beside, looser bool, r, t *book.Rule, on book.Day) {
	rules := [2]*book.Rule{r, t}
	for _, k := range []int{1, 0} {
		o := besides{loose: rules[k], strict: rules[1-k]}
		if !b.meet || !a.own[o.loose] {
			continue
		}
		o.looser = looser && !a.own[o.strict] && o.loose.Decl.Advice == o.strict.Decl.Advice
		c := b.fails[1-k]
		switch {
		case o.looser && c != nil && b.fails[k] == nil:
		case o.looser && b.excused[k] != nil:
			c = b.excused[k]
			o.by = c.Says[k].Taken
		case !b.idle[k] || !b.room[k]:
			continue
		default:
			if o.looser = false; c == nil {
				c, o.equal = b.bothFail, true
				if judge.DecisionOf(r) == judge.DecisionOf(t) {
					o.same = "every club that it is about"
				}
			}
		}
		if c != nil && a.findBeside(o, space.Bag{c.Draft}, on) {
			return
		}
	}
}
