package engine

// This file tells what the rules ask of the lengths of a set, as far as a cut at the butt can
// answer it: constraints on single clubs and on differences of two.

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/unit"
)

// Constraint is what a rule asks of one length, or of the difference of two. Cutting a club
// shortens its length by every method by the same amount, so a constraint holds on for what a
// plan leaves of the clubs.
type Constraint struct {
	Rule        *check.Rule
	Subject     Subject
	Plus, Minus *club.Club    // the value grows with the length of Plus and falls with that of Minus; either may be nil
	Factor      float64       // of the value to the length, above 0: 1 over the numbers apart under "per number"
	Value       float64       // as read, base units
	Spread      decide.Spread // how sure it is, with the limits
	Shown       *unit.Unit    // the unit in which the rule shows it
	Limits      decide.Limits
}

// Passes reports whether the value passes under the rule's decision when it is larger by
// delta, in base units of the value.
func (c *Constraint) Passes(delta float64) bool {
	v, _ := decide.Decide(decisionOf(c.Rule), c.Limits, c.onLimit(c.Value+delta), c.Spread)
	return v == decide.Pass
}

// onLimit is the limit that a value is on but for what is lost in sums of lengths, a few
// millionths of a nanometre: a drop of 0 in between two equal clubs has nothing else to be measured by.
func (c *Constraint) onLimit(value float64) float64 {
	const lost = 1e-3 // nm
	for _, limit := range []float64{c.Limits.Lower, c.Limits.Upper} {
		if math.Abs(value-limit) < lost {
			return limit
		}
	}
	return value
}

// Passing returns the values that pass under the rule's decision.
func (c *Constraint) Passing() decide.Region { return decisionOf(c.Rule).Passing(c.Limits, c.Spread) }

func decisionOf(r *check.Rule) decide.Rule {
	return decide.Rule{Kind: decisionKinds[r.Decision.Kind], Level: r.Decision.Level}
}

// Constraints is what the rules of a judge ask of the lengths of a set.
type Constraints struct {
	Of        []Constraint
	Rules     []*check.Rule // those that are constraints on some subject, in the order of the books
	Open      []*Result     // Unmeasured: what would have to be known to say what they ask
	Conflicts []*Conflict   // faults of the books that show on the set
}

// Constraints finds what the rules ask of the lengths of a set. A rule counts whose value is a
// length by a method, a drop or a rise of it, or the spread, longest or shortest of it in the set, with a
// bound that a cut does not move; the upper side of a spread and a longest, the lower one of a shortest.
// Advice does not count. Which clubs, neighbours and exceptions a rule is about is told by the clubs as
// read, at each combination of their settings.
func (j *Judge) Constraints(s *club.Set) Constraints {
	var out Constraints
	bags := j.combinations(s)
	clear(j.subjects)
	all := j.all
	j.all = true
	defer func() { j.all = all }()
	told := map[string]bool{}
	once := func(r *check.Rule, s Subject) bool {
		key := r.Book.Name + "\x00" + r.Decl.Name.Text + "\x00" + s.key()
		seen := told[key]
		told[key] = true
		return !seen
	}
	for _, r := range j.rules {
		form, ok := FormOf(r.value, r.info)
		if !ok || form.Property.ID != catalogue.LengthID || !form.fits(r.subject) || r.Decl.Advice || r.bound == nil || !r.still() {
			continue
		}
		before := len(out.Of)
		clear(told)
		take := func(x *env) Sink {
			return Sink{
				Conflict: func(c *Conflict) {
					if once(r.Rule, c.Subject) {
						out.Conflicts = append(out.Conflicts, c)
					}
				},
				Result: func(res *Result) {
					if res.Verdict == decide.Unmeasured {
						if !x.memberless(form) && once(r.Rule, res.Subject) {
							out.Open = append(out.Open, res)
						}
						return
					}
					if c, ok := constraintOf(res); ok {
						out.Of = x.constrain(out.Of, r, form, c, res.Bound)
					}
				},
			}
		}
		clear(j.known)
		switch {
		case r.subject == ast.OfClub && !r.usesSet:
			x := env{j: j, info: r.info, bag: &bag{set: s, clubs: s.Clubs, refused: s.Refused}}
			for _, c := range s.Clubs {
				j.give(r, j.atUnread(&x, r, c), nil, &Tally{}, take(&x))
				for ; c != nil && r.selector.quick(c) != False; c = c.Next {
					res, clash := j.one(&x, r, c)
					j.give(r, res, clash, &Tally{}, take(&x))
				}
			}
		case bags == nil:
			j.tooMany(s, r, &Tally{}, take(&env{j: j, info: r.info, bag: &bag{set: s, clubs: s.Clubs, refused: s.Refused}}))
		}
		if r.subject != ast.OfClub || r.usesSet {
			for i := range bags {
				clear(j.known)
				j.bag(r, &bags[i], &Tally{}, take(&env{j: j, info: r.info, bag: &bags[i]}))
			}
		}
		if len(out.Of) > before {
			out.Rules = append(out.Rules, r.Rule)
		}
	}
	return out
}

// constraintOf is what a result says of its value; false where it has none to be held.
func constraintOf(res *Result) (Constraint, bool) {
	if res.Verdict == decide.Exempt || !res.Value.Known() {
		return Constraint{}, false
	}
	c := Constraint{Rule: res.Rule, Subject: res.Subject, Factor: 1, Value: res.Value.Base, Shown: res.Value.Unit, Limits: decide.None(), Spread: res.Spread()}
	if res.Lower.Known() {
		c.Limits.Lower, c.Limits.OpenLower = res.Lower.Base, res.Open
	}
	if res.Upper.Known() {
		c.Limits.Upper, c.Limits.OpenUpper = res.Upper.Base, res.Open
	}
	return c, true
}

// fits reports whether a length is one that a cut of the rule's subject answers: a length is that of a club,
// and a step that of neighbours.
func (v Form) fits(of ast.SubjectKind) bool {
	switch {
	case v.Step != nil:
		return of == ast.OfNeighbours
	case v.Set == nil:
		return of == ast.OfClub
	}
	return true
}

// still reports whether no limit of the rule, nor of its exceptions, moves with a cut.
func (r *rule) still() bool {
	moves := func(b *bound) bool {
		if b == nil {
			return false
		}
		return slices.ContainsFunc([]ast.Expr{b.decl.Q, b.decl.Q2, b.decl.PlusMinus, b.decl.Of, b.decl.Allowing}, func(e ast.Expr) bool { return e != nil && movesWithCut(e, r.info) })
	}
	return !moves(r.bound) && !slices.ContainsFunc(r.unless, func(e *exception) bool { return moves(e.bound) })
}

// movesWithCut reports whether a formula holds what a cut at the butt changes.
func movesWithCut(e ast.Expr, info *check.Info) bool {
	found := false
	ast.Walk(e, func(n ast.Expr) bool {
		if ref, ok := n.(*ast.Ref); ok {
			switch f := info.Refs[ref]; {
			case f == nil:
			case f.Kind == check.RefLet:
				found = found || movesWithCut(f.Let.Decl.Value, f.Let.Book.Info)
			case f.Kind == check.RefProperty:
				switch f.Property.ID {
				case catalogue.LengthID, catalogue.MassID, catalogue.Balance, catalogue.SwingWeightID:
					found = true
				}
			}
		}
		return !found
	})
	return found
}

// constrain adds what c, which holds for the value of a rule's subject, asks of single lengths.
func (x *env) constrain(to []Constraint, r *rule, form Form, c Constraint, b *ast.Bound) []Constraint {
	clubs := c.Subject.Clubs
	switch {
	case form.Set != nil:
		return x.constrainSet(to, r, form, c, b)
	case form.Step != nil && len(clubs) == 2:
		c.Plus, c.Minus = clubs[0], clubs[1]
		if form.Step.Rise {
			c.Plus, c.Minus = c.Minus, c.Plus
		}
		if form.Step.PerNumber {
			apart, _ := numbersApart(c.Plus, c.Minus)
			c.Factor = 1 / apart
		}
	case form.Step == nil && len(clubs) == 1:
		c.Plus = clubs[0]
	default:
		return to
	}
	return append(to, c)
}

// constrainSet spells out for the members of a set what holds for the spread, the longest or the shortest;
// b is the bound that was applied.
func (x *env) constrainSet(to []Constraint, r *rule, form Form, c Constraint, b *ast.Bound) []Constraint {
	how := form.Set.How
	lower := how == ast.Shortest || how == ast.Lowest
	if lower {
		c.Limits.Upper, c.Limits.OpenUpper = math.Inf(1), false
	} else {
		c.Limits.Lower, c.Limits.OpenLower = math.Inf(-1), false
	}
	if !c.Limits.HasLower() && !c.Limits.HasUpper() {
		return to
	}
	y := *x
	limit := y.limitOf(r, b, lower)
	y.info = form.Info
	type member struct {
		club *club.Club
		v    value
	}
	var members []member
	for _, m := range x.bag.clubs {
		y.club = m
		if y.takes(form.Set.Among).truth == True {
			members = append(members, member{m, y.eval(form.Set.Of)})
		}
	}
	for _, a := range members {
		if how != ast.Spread {
			d := c
			d.Plus, d.Value, d.Spread = a.club, a.v.num, apart(a.v, limit)
			to = append(to, d)
			continue
		}
		for _, b := range members {
			if a.club != b.club {
				d := c
				v := linear(a.v.num-b.v.num, a.v, 1, b.v, -1)
				d.Plus, d.Minus, d.Value, d.Spread = a.club, b.club, v.num, apart(v, limit)
				to = append(to, d)
			}
		}
	}
	return to
}

// memberless reports whether a value of the set is that of no club at all, so that it asks nothing of any.
func (x *env) memberless(form Form) bool {
	if form.Set == nil {
		return false
	}
	y := *x
	y.info, y.steps = form.Info, nil
	may := func(c *club.Club) bool {
		y.club = c
		return y.takes(form.Set.Among).truth != False
	}
	return !slices.ContainsFunc(x.bag.clubs, may) && !slices.ContainsFunc(x.bag.refused, func(f club.Refusal) bool { return may(f.Club) })
}

// limitOf is a limit of the bound that was applied, the rule's own or that of an exception, with its
// uncertainty.
func (x *env) limitOf(r *rule, b *ast.Bound, lower bool) value {
	applied := r.bound
	for _, e := range r.unless {
		if e.bound != nil && e.bound.decl == b {
			applied = e.bound
		}
	}
	low, high := x.limitValues(applied)
	if lower {
		return low
	}
	return high
}

// apart is how sure the difference of a value and its limit is.
func apart(v, limit value) decide.Spread {
	d := plus(v, limit, -1)
	if d.unsure != nil {
		return decide.Spread{U: math.NaN()}
	}
	return d.spread()
}
