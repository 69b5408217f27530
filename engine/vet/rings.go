package vet

// This file looks for rules about neighbours and whole sets that go round in a ring with others on the same property.
// Each step down between two irons, say, may be met by itself, and all of them together leave no room between what the
// first and the last may be. In a bag the clubs, their order and the exceptions are fixed, and what the rules ask of
// the readings are differences (engine/constrain). graph.go finds the bags.

import (
	"fmt"
	"slices"

	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// tied is a rule that a ring may hold.
type tied struct {
	rule    *book.Rule
	form    book.Form
	bagwise bool // which clubs it is about, or what it asks of them, depends on others of the bag
}

// rings looks at each property that a rule about neighbours or sets binds.
func (a *analyst) rings() {
	by := map[string][]tied{}
	var names []string
	for _, r := range a.Program.Rules() {
		f, ok := r.Value.Form()
		if !ok || r.Bound == nil || r.Decl.Advice || len(a.Requires(r)) != 1 || a.moves(r, f.Property.Name) {
			continue
		}
		if by[f.Property.Name] == nil {
			names = append(names, f.Property.Name)
		}
		scope := space.ScopeOf(r)
		for _, b := range r.Bounds() {
			for _, p := range b.Parts() {
				scope.Part(p, false)
			}
		}
		by[f.Property.Name] = append(by[f.Property.Name], tied{r, f, scope.Bags})
	}
	for _, name := range names {
		rules := by[name]
		if slices.ContainsFunc(rules, func(t tied) bool { return t.form.Step != nil || t.form.Set != nil }) {
			a.ringsOf(rules)
		}
	}
}

// moves reports whether which clubs a rule is about, in which order, or which exception counts, depends on a property.
func (a *analyst) moves(r *book.Rule, name string) bool {
	return slices.ContainsFunc(space.ScopeOf(r).Axes, func(x *space.Axis) bool { return x.Prop.Name == name })
}

// ringsOf looks at rules on one property, on each day on which another choice of them is in force. Of rings of which
// one holds all rules of another that one is told.
func (a *analyst) ringsOf(rules []tied) {
	s := &ringSearch{analyst: a, rules: rules, label: map[*book.Rule]int{}, left: mostRings}
	for l, t := range rules {
		s.label[t.rule] = l
	}
	all := lists.Each(rules, func(t tied) *book.Rule { return t.rule })
	stocks := a.stocks(all)
	for _, s.on = range turningDays(rules) {
		if !s.Pay(len(rules)) {
			break
		}
		var labels, free []int // of the rules in force, and of those that depend on no others of the bag
		for l, t := range rules {
			if t.rule.InForce(s.on) {
				if labels = append(labels, l); !t.bagwise {
					free = append(free, l)
				}
			}
		}
		for _, stock := range stocks {
			s.tried = map[string]bool{}
			s.explore(s.graph(stock, free).search, free)
		}
		if len(free) == len(labels) {
			continue
		}
		for _, b := range chains(stocks) {
			s.tried = map[string]bool{}
			s.explore(func([]int) (space.Bag, []int) { return b, nil }, labels)
		}
	}
	for _, r := range s.found {
		smaller := func(o ring) bool { return len(o.rules) < len(r.rules) && within(o.rules, r.rules) }
		opposed := func(two [2]*book.Rule) bool { return within(two[:], r.rules) }
		if !slices.ContainsFunc(s.found, smaller) && !slices.ContainsFunc(a.opposed, opposed) {
			s.report(r)
		}
	}
}

// within reports whether all of some rules are among others.
func within(some, others []*book.Rule) bool {
	return !slices.ContainsFunc(some, func(r *book.Rule) bool { return !slices.Contains(others, r) })
}

// turningDays are a day for each choice of rules that may be in force together.
func turningDays(rules []tied) []book.Day {
	var out []book.Day
	for _, t := range rules {
		out = lists.Also(out, t.rule.From, t.rule.Until)
	}
	if out = lists.Kept(out, func(d book.Day) bool { return d != book.NoDay }); out == nil {
		return []book.Day{book.NoDay}
	}
	slices.Sort(out)
	return out
}

// mostRings bounds for how many choices of rules on one property a ring is looked for.
const mostRings = 64

// ring is rules that contradict each other on a bag, on a day; without any one of them the others do not.
type ring struct {
	rules []*book.Rule
	bag   space.Bag
	on    book.Day
}

// ringSearch looks for rings of some rules on one property, which its labels count, on a day.
type ringSearch struct {
	*analyst
	on    book.Day
	rules []tied // by label
	label map[*book.Rule]int
	tried map[string]bool // choices of rules
	left  int
	found []ring
}

// explore looks for a ring of some rules, then for others that are there without one of these. search finds a bag that
// some rules leave no room, and of which of them that is known; nil where it finds none.
func (s *ringSearch) explore(search func(labels []int) (space.Bag, []int), labels []int) {
	key := fmt.Sprint(labels)
	if s.tried[key] || s.Budget <= 0 {
		return
	}
	s.tried[key] = true
	b, of := search(labels)
	if b == nil {
		return
	}
	if of == nil {
		of = labels
	}
	ringed := s.in(b, of)
	for i := 0; i < len(ringed); i++ { // another bag may need fewer of them
		if other, of := search(slices.Delete(slices.Clone(ringed), i, i+1)); of != nil {
			if fewer := s.in(other, of); fewer != nil {
				b, ringed, i = other, fewer, -1
			}
		}
	}
	if ringed == nil {
		return
	}
	if s.left--; s.left < 0 {
		s.Leave("too many rules contradict each other on %s to list all", s.rules[0].form.Property.Name)
		return
	}
	r := ring{bag: b, on: s.on}
	r.rules = lists.Each(ringed, func(l int) *book.Rule { return s.rules[l].rule })
	if !slices.ContainsFunc(s.found, func(o ring) bool { return slices.Equal(o.rules, r.rules) }) {
		s.found = append(s.found, r)
	}
	for _, l := range ringed {
		s.explore(search, slices.DeleteFunc(slices.Clone(labels), func(k int) bool { return k == l }))
	}
}

// ringSteps are those in which readings are moved: a thousand of the smallest units. So what is lost in sums is far
// below the dust of bounds. A value that has to be beyond a limit is one of the smallest units beyond it.
var ringSteps = constrain.Steps{Size: 1000, Beyond: 1e-3, Hopeless: true}

// system is what some rules ask of the readings of a bag, as differences to what they are; nil where they are no sheet.
// What cannot be judged asks nothing.
func (s *ringSearch) system(b space.Bag, labels []int) *constrain.System {
	set, ok := space.ReadRows(s.Program, b.Example(s.on, s.Program).Rows)
	if !s.Pay(200+len(b)*s.costOf(labels)) || !ok {
		return nil
	}
	index := map[*club.Club]int{}
	for i, c := range set.Clubs {
		index[c] = i
	}
	return constrain.Find(s.judge(labels), set, s.rules[0].form.Property.ID).System(len(b),
		func(c *club.Club) int { return index[c] }, func(r *book.Rule) int { return s.label[r] }, ringSteps)
}

// costOf is the work of judging a club by the rules of some labels.
func (s *ringSearch) costOf(labels []int) int {
	cost := 0
	for _, l := range labels {
		cost += s.CostOf(s.rules[l].rule)
	}
	return cost
}

// judge judges by the rules of some labels.
func (s *ringSearch) judge(labels []int) *judge.Judge {
	asked := s.choice(labels)
	s.Pay(s.Size / 50)
	return s.Program.NewJudge(judge.Options{Day: s.on, All: true, Rules: func(r *book.Rule) bool {
		l, ok := s.label[r]
		return ok && asked[l]
	}})
}

// choice tells by label which rules are among some.
func (s *ringSearch) choice(labels []int) []bool {
	out := make([]bool, len(s.rules))
	for _, l := range labels {
		out[l] = true
	}
	return out
}

// in are rules of some labels that contradict each other on a bag, none of which can be left out; nil where they do
// not.
func (s *ringSearch) in(b space.Bag, labels []int) []int {
	y := s.system(b, labels)
	if y == nil {
		return nil
	}
	solution := bounds.Greatest(y.N, y.Edges)
	if solution.Feasible() {
		return nil
	}
	out := bounds.Irreducible(y.N, y.Edges, solution.Ring, -1)
	slices.Sort(out)
	return out
}

// report reports a ring of which one rule is of the book and one is not about single clubs: two that are were held
// against each other already.
func (s *ringSearch) report(r ring) {
	name := s.rules[0].form.Property.Name
	last := s.lastOwn(r.rules)
	joins := func(one *book.Rule) bool { return one.Subject != ast.OfClub }
	if last == nil || !slices.ContainsFunc(r.rules, joins) || len(r.rules) == 1 && s.unmet[last] {
		return
	}
	w, ok := s.witness(r, name)
	if !ok {
		return
	}
	if len(r.rules) == 1 {
		s.find(NeverMet, last.Decl.Require.Span, w, "limits with room between them",
			"%s can never be met in a bag such as this one, whatever %s its clubs have", named(r.rules), name)
		return
	}
	s.contradict(r.rules, w, "limits that leave room for all of them",
		"whatever %s the clubs of a bag such as this one have, one of them fails", name)
}

// witness is a bag on which all rules of a ring but one pass, where that can be had.
func (s *ringSearch) witness(r ring, name string) (*space.Witness, bool) {
	on := r.on
	if !slices.ContainsFunc(r.rules, func(r *book.Rule) bool { return r.From != book.NoDay || r.Until != book.NoDay }) {
		on = book.NoDay
	}
	for skip := len(r.rules) - 1; skip >= 0; skip-- {
		if b, ok := s.met(r, name, skip); ok {
			if w, ok := s.borneOut(b, on, r.rules...); ok {
				return w, true
			}
		}
	}
	return s.borneOut(r.bag, on, r.rules...)
}

// met is the bag of a ring with readings that meet all of its rules but one.
func (s *ringSearch) met(r ring, name string, skip int) (space.Bag, bool) {
	var labels []int
	for i, one := range r.rules {
		if i != skip {
			labels = append(labels, s.label[one])
		}
	}
	y := s.system(r.bag, labels)
	if y == nil {
		return nil, false
	}
	for _, up := range []float64{0, 0.5, 1, 10} { // no more above the common figures than it takes
		edges := slices.Clip(y.Edges)
		b := r.bag.Clone()
		for i := range b {
			if one := b[i].Of(name); one != nil {
				most := up * one.Step() / ringSteps.Size
				edges = append(edges, bounds.Edge{Plus: i, Minus: bounds.Origin, Most: most, Label: -1})
			}
		}
		found := bounds.Greatest(y.N, edges)
		if !found.Feasible() {
			continue
		}
		ok := true
		for i := range b {
			if one := b[i].Of(name); one != nil && ok {
				_, one.Amount, ok = space.Settled(one.Amount+found.X[i]*ringSteps.Size, one.Prop, one.Unit)
			}
		}
		if ok {
			return b, true
		}
	}
	return nil, false
}
