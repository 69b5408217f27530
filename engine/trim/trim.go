// Package trim finds where to cut the clubs of a set so that every length rule of the books
// passes, and cuts no more than that.
//
// A cut shortens a club by every method alike. So rules on single clubs bound each length, rules on
// neighbours bound differences, and with cutting alone there is one plan in which no club is cut more
// than in any other. It is found exactly on a grid, as the greatest solution of difference
// constraints (engine/bounds), and judged again by all rules before it is shown.
//
// trim.go holds the plan, limits.go turns what the rules ask into whole steps of the grid, after.go
// works out the clubs as they will be and has them judged.
package trim

import (
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/engine/bounds"
	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
)

// Options says what a plan may do. Lengths are in nanometres.
type Options struct {
	Grid     float64 // cuts are whole multiples of it; above 0
	Extend   float64 // the most that a club may be extended by; 0: none may be
	ButtMass float64 // mass per length at the butt where the sheet does not say, ng/nm; 0: nobody says
}

// Plan is what is to be done to a set.
type Plan struct {
	Set      *club.Set
	Feasible bool
	Cuts     []Cut // of each club with a length, in the order of the sheet

	Contradiction []*check.Rule // of no plan: rules of which each is needed for there to be none
	TooShort      []Short       // of no plan: clubs that would have to be longer than they are, or than an extension makes them
	Coarse        bool          // of no plan: there would be one on a finer grid

	Open      []*engine.Result   // what is not measured and would have to be
	After     []*engine.Result   // rules that do not pass on the plan; nil where there is none
	Advice    []*engine.Result   // advice that fails on the plan
	Conflicts []*engine.Conflict // faults of the books that show on the set
	Rules     int                // how many rules ask something of the lengths
	Needs     []string           // what would have to be known to foretell mass, balance and swing weight
}

// Cut is what is to be done to a club.
type Cut struct {
	Club   *club.Club
	Steps  int         // of the grid: below 0 cut, above 0 extended
	By     float64     // the same as a length, nm
	HeldBy *check.Rule // the rule that keeps it from being longer, or shorter where it is extended; nil where it stays as it is

	After  measure.Body // mass and balance when it is done; not sound where they cannot be foretold
	Swing  float64      // swing weight then, points from A0; NaN where it cannot be foretold
	Lacks  string       // "butt-mass" where that alone keeps After from being foretold
	Length float64      // as read by its own method, nm
}

// Short is a club that is too short.
type Short struct {
	Club *club.Club
	By   float64 // how much longer it would have to be than it was read, nm, not rounded to the grid
}

// asRead labels the bounds that are not those of a rule: that a club is no longer than it was read, or
// than an extension makes it, and that something of it is left.
const asRead = -1

// Make finds the plan of a set. The judge must give all results, and judge by the rules that count.
func Make(j *engine.Judge, s *club.Set, o Options) *Plan {
	asked := j.Constraints(s)
	p := &Plan{Set: s, Open: asked.Open, Conflicts: asked.Conflicts, Rules: len(asked.Rules)}
	t := newTask(s, asked, o)
	for i, c := range t.clubs {
		p.Cuts = append(p.Cuts, Cut{Club: c, Length: t.lengths[i], Swing: math.NaN()})
	}
	if !t.solve(p) {
		return p
	}
	p.Feasible = true
	p.finish(j, o)
	return p
}

// solve fills the steps of the cuts; where there is no plan it says why, and returns false.
//
// With extensions: every ring through the origin of the constraints goes through one bound of the sort "no
// longer than this", so a club has to be extended exactly where the least solution of all other
// constraints is above 0, by that much at least. Giving each of these that bound and each other
// club 0 leaves a system that the least solution meets, or would but for the clubs below 0; its greatest solution
// therefore extends the fewest clubs, adds the least in total, and cuts the least of all such plans. There is one.
func (t *task) solve(p *Plan) bool {
	n := len(t.clubs)
	rules := append(t.edges(t.whole), t.remains()...)
	if s := bounds.Greatest(n, rules); !s.Feasible() {
		t.blame(p, rules, s.Ring)
		return false
	}
	least := bounds.Least(n, rules)
	most := t.most()
	for i := range n {
		limit := math.Min(most, math.Max(0, least.X[i]))
		rules = append(rules, bounds.Edge{Plus: i, Minus: bounds.Origin, Most: limit, Label: asRead})
	}
	s := bounds.Greatest(n, rules)
	if !s.Feasible() {
		t.tooShort(p, rules, s.Ring)
		return false
	}
	for i := range n {
		cut := &p.Cuts[i]
		cut.Steps = int(math.Round(s.X[i]))
		cut.By = s.X[i] * t.grid
		switch held := s.Holds[i]; {
		case cut.Steps < 0 && held >= 0 && rules[held].Label >= 0:
			cut.HeldBy = t.rules[rules[held].Label]
		case cut.Steps > 0 && least.Holds[i] >= 0 && rules[least.Holds[i]].Label >= 0:
			cut.HeldBy = t.rules[rules[least.Holds[i]].Label]
		}
	}
	return true
}

// blame says which rules contradict each other on the set.
func (t *task) blame(p *Plan, edges []bounds.Edge, ring []int) {
	p.Contradiction = t.named(bounds.Irreducible(len(t.clubs), edges, ring, asRead))
	p.Coarse = bounds.Greatest(len(t.clubs), append(t.edges(t.exact), t.remains()...)).Ring == nil
}

// tooShort says which clubs would have to be longer than they may be, and by how much.
func (t *task) tooShort(p *Plan, edges []bounds.Edge, ring []int) {
	n := len(t.clubs)
	least := bounds.Least(n, append(t.edges(t.exact), t.remains()...))
	for i := range n {
		if least.Feasible() && least.X[i] > t.most()+1e-6 {
			p.TooShort = append(p.TooShort, Short{t.clubs[i], least.X[i] * t.grid})
		}
	}
	rules := t.named(bounds.Irreducible(n, edges, ring, asRead))
	if len(p.TooShort) == 0 || len(rules) > 1 {
		p.Contradiction = rules
	}
	p.Coarse = len(p.TooShort) == 0
}

func (t *task) named(labels []int) []*check.Rule {
	slices.Sort(labels)
	var out []*check.Rule
	for _, l := range labels {
		out = append(out, t.rules[l])
	}
	return out
}

// hasLength reports whether a club, at any of its settings, has a length.
func hasLength(c *club.Club) bool {
	for ; c != nil; c = c.Next {
		if c.Has(catalogue.LengthID) {
			return true
		}
	}
	return false
}
