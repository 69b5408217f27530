package analyse

// This file looks for rules about neighbours and whole sets that go round in a ring with others on the same
// property: each step down between two irons may be met by itself, and all of them together leave no room between what the
// first and the last may be. In a bag the clubs, their order and the exceptions are fixed, and what the rules ask of the
// readings are differences, which engine/bounds solves.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/diag"
)

// tied is a rule that a ring may hold.
type tied struct {
	rule *check.Rule
	form engine.Form
}

// rings looks at each property that a rule about neighbours or sets binds.
func (a *analyst) rings() {
	by := map[string][]tied{}
	var names []string
	for _, r := range a.program.Rules() {
		f, ok := engine.FormOf(r.Value, r.Book.Info)
		if !ok || r.Bound == nil || r.Decl.Advice || len(a.requires(r)) != 1 || a.moves(r, f.Property.Name) {
			continue
		}
		if by[f.Property.Name] == nil {
			names = append(names, f.Property.Name)
		}
		by[f.Property.Name] = append(by[f.Property.Name], tied{r, f})
	}
	for _, name := range names {
		rules := by[name]
		if slices.ContainsFunc(rules, func(t tied) bool { return t.form.Step != nil || t.form.Set != nil }) {
			a.ringsOf(rules)
		}
	}
}

// moves tells whether which clubs a rule is about, in which order, or which exception counts, rests on the property
// itself.
func (a *analyst) moves(r *check.Rule, name string) bool {
	s := newSpace()
	if r.Decl.For.Selector != nil {
		s.selector(r.Decl.For.Selector, r.Book.Info)
	}
	if r.Decl.For.By != nil {
		s.formula(r.Decl.For.By, r.Book.Info, false)
	}
	for _, u := range r.Decl.Unless {
		s.formula(u.Condition, r.Book.Info, false)
	}
	if v, ok := ast.Unparen(r.Value).(*ast.SetValue); ok {
		s.selector(v.Among, r.Book.Info)
	}
	return slices.ContainsFunc(s.axes, func(x *axis) bool { return x.prop.Name == name })
}

// ringsOf looks at rules on one property, on each day on which another choice of them is in force.
func (a *analyst) ringsOf(rules []tied) {
	told := map[string]bool{}
	for _, on := range turningDays(rules) {
		var now []tied
		for _, t := range rules {
			if inForce(t.rule, on) {
				now = append(now, t)
			}
		}
		for _, b := range a.chains(now) {
			a.ring(b, on, now, told)
		}
	}
}

// turningDays are a day for each choice of rules that may be in force together.
func turningDays(rules []tied) []check.Day {
	var out []check.Day
	for _, t := range rules {
		for _, d := range []check.Day{t.rule.From, t.rule.Until} {
			if d != check.NoDay && !slices.Contains(out, d) {
				out = append(out, d)
			}
		}
	}
	slices.Sort(out)
	if len(out) == 0 {
		out = []check.Day{check.NoDay}
	}
	return out
}

func inForce(r *check.Rule, on check.Day) bool {
	return on == check.NoDay || (r.From == check.NoDay || r.From <= on) && (r.Until == check.NoDay || on <= r.Until)
}

// mostRings bounds how many rings are looked for in one bag.
const mostRings = 24

// ring looks at one bag on one day: for a ring of rules, and for others that are there without one of these.
func (a *analyst) ring(b bag, on check.Day, rules []tied, told map[string]bool) {
	if len(b) == 0 {
		return
	}
	edges := a.asked(b, on, rules)
	left := mostRings
	var look func(edges []bounds.Edge)
	look = func(edges []bounds.Edge) {
		if left--; left < 0 {
			return
		}
		s := bounds.Greatest(len(b), edges)
		if s.Feasible() {
			return
		}
		labels := bounds.Irreducible(len(b), edges, s.Ring, -1)
		slices.Sort(labels)
		a.tellRing(b, on, rules, labels, edges, told)
		for _, l := range labels {
			look(slices.DeleteFunc(slices.Clone(edges), func(e bounds.Edge) bool { return e.Label == l }))
		}
	}
	look(edges)
}

// tellRing tells of the rules of some labels, where it was not told of them before, and one is of the book and one is not
// about single clubs: two that are were held against each other already.
func (a *analyst) tellRing(b bag, on check.Day, rules []tied, labels []int, edges []bounds.Edge, told map[string]bool) {
	if len(labels) == 0 {
		return
	}
	name := rules[0].form.Property.Name
	var ring []*check.Rule
	var names []string
	var last *check.Rule
	group := false
	for _, l := range labels {
		r := rules[l].rule
		ring = append(ring, r)
		names = append(names, r.Decl.Name.Text)
		group = group || r.Decl.For.Kind != ast.OfClub
		if a.own[r] {
			last = r
		}
	}
	key := listed(names, "and")
	if told[key] || last == nil || !group {
		return
	}
	w, ok := a.ringWitness(b, on, name, ring, labels, edges)
	if !ok {
		return
	}
	told[key] = true
	if len(ring) == 1 {
		a.find(diag.NeverMet, last.Decl.Require.Span, w, fmt.Sprintf("%s can never be met in a bag such as this one, whatever %s its clubs have", key, name), "limits with room between them")
		return
	}
	var related []diag.Label
	for _, r := range ring {
		if r != last {
			related = append(related, diag.Label{Span: r.Decl.Require.Span, Text: "what " + r.Decl.Name.Text + " requires"})
		}
	}
	a.find(diag.Contradiction, last.Decl.Require.Span, w, fmt.Sprintf("%s contradict each other: whatever %s the clubs of a bag such as this one have, one of them fails", key, name),
		"limits that leave room for all of them", related...)
}

// ringWitness is a bag on which all rules of a ring but one pass, where that can be had.
func (a *analyst) ringWitness(b bag, on check.Day, name string, ring []*check.Rule, labels []int, edges []bounds.Edge) (*Witness, bool) {
	if !slices.ContainsFunc(ring, func(r *check.Rule) bool { return r.From != check.NoDay || r.Until != check.NoDay }) {
		on = check.NoDay
	}
	for skip := len(labels) - 1; skip >= 0; skip-- {
		var some []bounds.Edge
		for _, e := range edges {
			if e.Label != labels[skip] && slices.Contains(labels, e.Label) {
				some = append(some, e)
			}
		}
		s := bounds.Greatest(len(b), some)
		least := bounds.Least(len(b), some)
		moved := b.clone()
		ok := s.Feasible()
		for i := range moved {
			r := moved[i].of(name)
			if r == nil || !ok {
				continue
			}
			by := s.X[i]
			if math.IsInf(by, 0) {
				by = least.X[i]
			}
			if math.IsInf(by, 0) {
				by = 0
			}
			_, r.amount, ok = settled(r.amount+by, r.prop, r.unit)
		}
		if !ok {
			continue
		}
		w, ok := a.witness(moved, on, ring...)
		if ok && slices.ContainsFunc(w.Verdicts, func(v RuleVerdict) bool { return v.Verdict == decide.Fail }) {
			w.about(subjectOf(w))
			return w, true
		}
	}
	w, ok := a.witness(b, on, ring...)
	if !ok || !slices.ContainsFunc(w.Verdicts, func(v RuleVerdict) bool { return v.Verdict == decide.Fail }) {
		return nil, false
	}
	w.about(subjectOf(w))
	return w, true
}

// subjectOf is the subject of the first rule that fails on a witness.
func subjectOf(w *Witness) (ast.SubjectKind, []string) {
	for _, v := range w.Verdicts {
		if v.Verdict == decide.Fail {
			return v.Rule.Decl.For.Kind, v.On
		}
	}
	return w.Of, w.Clubs
}

// asked is what rules ask of the readings of a bag, as differences to what they are. What cannot be judged asks nothing.
func (a *analyst) asked(b bag, on check.Day, rules []tied) (edges []bounds.Edge) {
	set, ok := read(a.program, b)
	if !ok {
		return nil
	}
	index := map[*club.Club]int{}
	for i, c := range set.Clubs {
		index[c] = i
	}
	label := map[*check.Rule]int{}
	for i, t := range rules {
		label[t.rule] = i
	}
	j := a.program.NewJudge(engine.Options{Day: on, All: true, Rules: func(r *check.Rule) bool { _, ok := label[r]; return ok }})
	j.Set(set, engine.Sink{Result: func(r *engine.Result) {
		if r.Verdict == decide.Unmeasured || r.Verdict == decide.Exempt || !r.Value.Known() {
			return
		}
		l := label[r.Rule]
		low, high := span(r)
		add := func(plus, minus int, low, high, factor float64) {
			if !math.IsInf(high, 0) {
				edges = append(edges, bounds.Edge{Plus: plus, Minus: minus, Most: high / factor, Label: l})
			}
			if !math.IsInf(low, 0) {
				edges = append(edges, bounds.Edge{Plus: minus, Minus: plus, Most: -low / factor, Label: l})
			}
		}
		switch f := rules[l].form; {
		case f.Step != nil:
			if len(r.Subject.Clubs) != 2 {
				return
			}
			first, second := r.Subject.Clubs[0], r.Subject.Clubs[1]
			factor := 1.0
			if f.Step.PerNumber {
				m, _ := first.Amount(catalogue.Number)
				n, _ := second.Amount(catalogue.Number)
				factor = 1 / math.Abs(m-n)
			}
			if f.Step.Rise {
				first, second = second, first
			}
			add(index[first], index[second], low, high, factor)
		case f.Set != nil:
			a.ofSet(set, index, f, r, add)
		default:
			add(index[r.Subject.Clubs[0]], bounds.Origin, low, high, 1)
		}
	}})
	return edges
}

// span is by how much the value of a result may change, down and up, and pass.
func span(r *engine.Result) (low, high float64) {
	l := limitsOf(r)
	p := r.Decision.Passing(l, r.Spread())
	if p.Empty() {
		p = decide.Region{Low: l.Lower, High: l.Upper} // that it can never pass is told by itself
	}
	low, high = p.Low-r.Value.Base, p.High-r.Value.Base
	if l.OpenLower {
		low++ // of the smallest unit there is
	}
	if l.OpenUpper {
		high--
	}
	return low, high
}

// ofSet spells out what holds for a value of the set for its members: upper limits of a spread and a longest, lower ones of a
// shortest.
func (a *analyst) ofSet(set *club.Set, index map[*club.Club]int, f engine.Form, r *engine.Result, add func(plus, minus int, low, high, factor float64)) {
	low, high := span(r)
	low, high = low+r.Value.Base, high+r.Value.Base
	value := func(c *club.Club) (float64, bool) {
		n, ok := c.Amount(f.Property.ID)
		return n, ok && a.probe.Takes(f.Set.Among, f.Info, c) == engine.True
	}
	for _, c := range set.Clubs {
		x, ok := value(c)
		if !ok {
			continue
		}
		switch f.Set.How {
		case ast.Longest, ast.Highest:
			add(index[c], bounds.Origin, math.Inf(-1), high-x, 1)
		case ast.Shortest, ast.Lowest:
			add(index[c], bounds.Origin, low-x, math.Inf(1), 1)
		case ast.Spread:
			for _, d := range set.Clubs {
				if y, ok := value(d); ok && c != d {
					add(index[c], index[d], math.Inf(-1), high-(x-y), 1)
				}
			}
		}
	}
}
