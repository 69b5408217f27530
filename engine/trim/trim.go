// Package trim finds where to cut the clubs of a set so that every length rule of the books
// passes, and cuts no more than that.
//
// A cut shortens a club by every method alike. So rules on single clubs bound each length, and rules on
// neighbours bound differences. With cutting alone there is one plan in which no club is cut more than in any other.
// It is found exactly on a grid, as the greatest solution of difference constraints (engine/bounds), and judged again
// by all rules before it is shown.
//
// trim.go finds the plan, in whole steps of the grid. after.go works out the clubs as they will be and has them judged.
package trim

import (
	"cmp"
	"math"
	"slices"

	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/measure"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Options says what a plan may do. Lengths are in nanometres.
type Options struct {
	Grid     float64 // cuts are whole multiples of it; above 0
	Extend   float64 // the most that a club may be extended by; 0 for no extensions
	Inside   float64 // how far each club is kept inside each limit; 0 where it may be at the limit
	ButtMass float64 // mass per length at the butt where the sheet does not say, ng/nm; 0 where it is not known
}

// Plan says what to do to a set.
type Plan struct {
	Set      *club.Set
	Feasible bool
	Cuts     []Cut // of each club with a length, in the order of the sheet

	// without a plan: rules that contradict each other; without any one of them there would be a plan
	Contradiction []*book.Rule
	// without a plan: clubs that would have to be longer than they are, or than an extension makes them
	TooShort []Short
	TooLarge bool             // without a plan: the rules make more constraints than constrain.Most
	Coarse   bool             // without a plan: a finer grid would have one
	Ring     []constrain.Link // without a plan: the demands that cannot be met together, in turn

	Open      []*judge.Result   // what has to be measured first
	Waived    []*judge.Result   // what is waived, so that it binds no length
	After     []*judge.Result   // what fails on the plan, is too close to call, or lost a measurement to it
	Broken    []*judge.Result   // those of After that were constraints: a condition that looks at the length, say
	Lengths   decide.Verdict    // of a plan: the worst of rules that limit lengths; 0: none but passes
	Advice    []*judge.Result   // advice that fails on the plan
	Conflicts []*judge.Conflict // faults of the books that show on the set
	Rules     int               // how many rules ask something of the lengths
	Untold    int               // results of other rules that are unmeasured both before and after
	Needs     []string          // what is missing to work out mass, balance and swing weight, sorted
}

// Cut says what to do to a club.
type Cut struct {
	Club  *club.Club
	Steps int     // of the grid: below 0 cut, above 0 extended
	By    float64 // the same as a length, nm

	// the rule that keeps it from being longer, or shorter where it is extended; nil where it stays as it is
	HeldBy *book.Rule
	Held   constrain.Link // what of that rule does

	After measure.Body // mass and balance afterwards; not sound where they are not known
	Swing float64      // swing weight afterwards, points from A0; NaN where it is not known
	// what is missing to work them out, where the cut makes one of them untrue
	Lacks  []string
	Length float64 // as read by its own method, nm
}

// Short is a club that is too short.
type Short struct {
	Club *club.Club
	Rule *book.Rule // that asks for it
	By   float64    // how much longer it would have to be than it was read, nm, not rounded to the grid
}

// asRead labels the bounds that are not those of a rule: that a club is no longer than it was read, or
// than an extension makes it, and that something of it is left.
const asRead = -1

// Make finds the plan of a set.
func Make(j *judge.Judge, s *club.Set, o Options) *Plan {
	asked := constrain.Find(j, s, catalogue.LengthID, catalogue.MassID, catalogue.Balance, catalogue.SwingWeightID)
	p := &Plan{Set: s, Open: asked.Open, Waived: asked.Waived, Conflicts: asked.Conflicts, Rules: len(asked.Rules)}
	t := newTask(s, asked, o)
	for _, c := range t.clubs {
		n, _ := c.Amount(catalogue.LengthID)
		p.Cuts = append(p.Cuts, Cut{Club: c, Length: n, Swing: math.NaN()})
	}
	if asked.TooMany {
		p.TooLarge = true
		return p
	}
	if !t.solve(p) {
		return p
	}
	p.Feasible = true
	p.finish(j, o, asked.Rules)
	return p
}

// solve fills the steps of the cuts; if there is no plan it says why, and returns false.
//
// Which clubs to extend: let least be the least solution of what the rules ask, without a word on how long a club may
// get. Every solution is at least as long in every club. So a club whose least is above 0 has to be extended, by so
// much at the least, and one whose least is not need not be: least itself extends no other, and none by more. Bounding
// each club by its least, or by 0 where that is below, thus leaves exactly the plans that extend the fewest clubs and
// add the least in total. They hold least, so there is one. The greatest of them cuts the least from every club. It is
// the only one that does.
func (t *task) solve(p *Plan) bool {
	rules := t.system(true)
	if s := bounds.Greatest(rules.N, rules.Edges); !s.Feasible() {
		t.blame(p, rules, s.Ring)
		return false
	}
	least := bounds.Least(rules.N, rules.Edges)
	most := math.Floor(t.Extend/t.Grid + 1e-9)
	all := t.upTo(rules, func(i int) float64 { return min(most, max(0, least.X[i])) })
	s := bounds.Greatest(all.N, all.Edges)
	if !s.Feasible() {
		t.tooShort(p, all, s.Ring)
		return false
	}
	for i := range t.clubs {
		cut := &p.Cuts[i]
		cut.Steps = int(math.Round(s.X[i]))
		cut.By = float64(cut.Steps) * t.Grid
		switch {
		case cut.Steps < 0:
			cut.Held = all.Held(s.Holds[i], &s)
		case cut.Steps > 0:
			cut.Held = rules.Held(least.Holds[i], &least)
		}
		cut.HeldBy = cut.Held.Rule()
		cut.Club = t.decides(i, cut.Held)
		cut.Length, _ = cut.Club.Amount(catalogue.LengthID)
	}
	return true
}

// decides is club i at the setting that a link is about; without one at the first that has a length.
func (t *task) decides(i int, l constrain.Link) *club.Club {
	if c := l.Constraint; c != nil {
		for _, d := range []*club.Club{c.Plus, c.Minus} {
			if d != nil && t.index[d] == i {
				return d
			}
		}
	}
	return t.clubs[i]
}

// blame finds the rules that contradict each other on the set.
func (t *task) blame(p *Plan, s *constrain.System, ring []int) {
	t.contradiction(p, s, ring)
	finer := t.upTo(t.system(false), func(int) float64 { return t.Extend / t.Grid })
	found := bounds.Greatest(finer.N, finer.Edges)
	p.Coarse = found.Feasible()
}

// contradiction names rules of which each is needed for a system to have no solution, and shows
// what they ask.
func (t *task) contradiction(p *Plan, s *constrain.System, ring []int) {
	labels := bounds.Irreducible(s.N, s.Edges, ring, asRead)
	slices.Sort(labels)
	for _, l := range labels {
		p.Contradiction = append(p.Contradiction, t.asked.Rules[l])
	}
	some := s.Only(append(labels, asRead)...)
	left := bounds.Greatest(some.N, some.Edges)
	p.Ring = some.Ring(left.Ring)
}

// tooShort says which clubs would have to be longer than they may be, and by how much. Where several
// rules together ask for it they are a contradiction too.
func (t *task) tooShort(p *Plan, s *constrain.System, ring []int) {
	exact := t.system(false)
	least := bounds.Least(exact.N, exact.Edges)
	for i := range t.clubs {
		if least.X[i] > t.Extend/t.Grid+1e-6 {
			held := exact.Held(least.Holds[i], &least)
			p.TooShort = append(p.TooShort, Short{t.decides(i, held), held.Rule(), least.X[i] * t.Grid})
		}
	}
	t.contradiction(p, s, ring)
	p.Coarse = len(p.TooShort) == 0
	if !p.Coarse && len(p.Contradiction) == 1 {
		p.Contradiction = nil
	}
}

// task is a set as a system of constraints: number i is by how many steps club i is longer
// than it was read.
type task struct {
	Options
	clubs   []*club.Club // at the first setting with a length
	lengths []float64    // nm, the shortest of its settings
	index   map[*club.Club]int
	asked   *constrain.Demands
}

func newTask(s *club.Set, asked *constrain.Demands, o Options) *task {
	t := &task{Options: o, index: map[*club.Club]int{}, asked: asked}
	for _, c := range s.Clubs {
		var first *club.Club
		shortest := math.Inf(1)
		for d := c; d != nil; d = d.Next {
			t.index[d] = len(t.clubs)
			if n, ok := d.Amount(catalogue.LengthID); ok {
				first, shortest = cmp.Or(first, d), min(shortest, n)
			}
		}
		if first != nil {
			t.clubs, t.lengths = append(t.clubs, first), append(t.lengths, shortest)
		}
	}
	return t
}

// system is what the rules ask in steps of the grid, and that something is left of each club: it cannot be cut to
// nothing.
func (t *task) system(whole bool) *constrain.System {
	out := t.asked.System(len(t.clubs), func(c *club.Club) int { return t.index[c] },
		func(r *book.Rule) int { return slices.Index(t.asked.Rules, r) },
		constrain.Steps{Size: t.Grid, Whole: whole, Inside: t.Inside})
	for i, l := range t.lengths {
		out.Edges = append(out.Edges, bounds.Edge{Plus: bounds.Origin, Minus: i,
			Most: max(0, math.Ceil(l/t.Grid)-1), Label: asRead})
	}
	return out
}

// upTo adds how much longer than read each club may be, in steps.
func (t *task) upTo(s *constrain.System, most func(i int) float64) *constrain.System {
	out := *s
	out.Edges = slices.Clip(s.Edges)
	for i := range t.clubs {
		out.Edges = append(out.Edges, bounds.Edge{Plus: i, Minus: bounds.Origin, Most: most(i), Label: asRead})
	}
	return &out
}
