package trim

// This file works out the clubs as they will be, and has them judged.

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
)

// finish works out mass, balance and swing weight, and judges the clubs of the plan.
func (p *Plan) finish(j *judge.Judge, o Options, asked []*book.Rule) {
	j.Set(p.planned(o), judge.Sink{
		Result: func(r *judge.Result) {
			switch {
			case r.Verdict == decide.Pass || r.Verdict == decide.Exempt:
			case r.Verdict == decide.Unmeasured && among(p.Open, r): // not worse than on the clubs as read
			case !r.Rule.Decl.Advice:
				p.unmet(r, slices.Contains(asked, r.Rule))
			case r.Verdict == decide.Fail:
				p.Advice = append(p.Advice, r)
			}
		},
		Conflict: func(c *judge.Conflict) {
			if !slices.ContainsFunc(p.Conflicts, func(d *judge.Conflict) bool {
				return d.Rule == c.Rule && d.Between == c.Between && d.Rows == c.Rows &&
					d.Subject.Name() == c.Subject.Name()
			}) {
				p.Conflicts = append(p.Conflicts, c)
			}
		},
	})
	if len(p.Open) > 0 {
		p.Lengths = decide.Unmeasured
	}
}

// unmet notes a result that does not pass on the plan. Asked: the rule was a constraint.
func (p *Plan) unmet(r *judge.Result, asked bool) {
	unmeasured := r.Verdict == decide.Unmeasured
	ofLength := constrain.LooksAt(r.Rule.Value, catalogue.LengthID) &&
		(!unmeasured || constrain.Waits(r) && !among(p.Waived, r))
	switch {
	case asked && !unmeasured: // too close is not what was asked either
		p.Lengths = decide.Fail
	case ofLength:
		p.Lengths = decide.Worse(p.Lengths, r.Verdict)
	case unmeasured && !loses(r):
		p.Untold++
		return
	}
	if asked {
		p.Broken = append(p.Broken, r)
	}
	p.After = append(p.After, r)
}

// planned is the set as it will be.
func (p *Plan) planned(o Options) *club.Set {
	set := &club.Set{Name: p.Set.Name, File: p.Set.File, Refused: p.Set.Refused, Rows: p.Set.Rows}
	cuts := map[*club.Club]*Cut{}
	for i := range p.Cuts {
		cuts[p.Cuts[i].Club] = &p.Cuts[i]
	}
	for _, c := range p.Set.Clubs {
		var cut *Cut
		for d := c; d != nil && cut == nil; d = d.Next {
			cut = cuts[d]
		}
		if cut != nil {
			p.foretell(cut, o)
		}
		var first *club.Club
		for last, d := &first, c; d != nil; d = d.Next {
			e := d.Clone()
			if cut != nil {
				after, _ := bodyAfter(d, cut.By, o)
				e.Shift(catalogue.LengthID, cut.By)
				if cut.Steps != 0 || !e.Has(catalogue.SwingWeightID) && after.Sound() {
					put(e, after)
				}
			}
			*last, last = e, &e.Next
		}
		set.Clubs = append(set.Clubs, first)
	}
	return set
}

// among reports whether a list has a result of that rule on those clubs.
func among(list []*judge.Result, r *judge.Result) bool {
	return slices.ContainsFunc(list, func(o *judge.Result) bool {
		return o.Rule == r.Rule && slices.EqualFunc(o.Subject.Clubs, r.Subject.Clubs,
			func(a, b *club.Club) bool { return a.ID == b.ID })
	})
}

// foretold are the properties that a cut changes besides the length.
var foretold = map[string]catalogue.ID{"mass": catalogue.MassID, "balance": catalogue.Balance,
	"swingweight": catalogue.SwingWeightID}

// lost says that a measurement is made untrue by the cut and cannot be worked out.
func lost(name string) string { return "the " + name + " after the cut cannot be worked out" }

// loses reports whether a result is unmeasured for lack of such a measurement.
func loses(r *judge.Result) bool {
	made := func(l value.Lack) bool { return l.Kind == value.Odd && l.Words == lost(l.Property) }
	return slices.ContainsFunc(r.Lacks, made)
}

// put gives a club its mass, balance and swing weight after the cut. What was measured before
// and cannot be worked out is removed: it is not true any more.
func put(c *club.Club, b measure.Body) {
	for name, p := range foretold {
		c.Lose(p, lost(name))
	}
	if b.Sound() {
		c.SetAmount(catalogue.MassID, b.Mass)
		c.SetAmount(catalogue.Balance, b.Balance)
		c.SetAmount(catalogue.SwingWeightID, b.SwingWeight())
	}
}

// bodyAfter is the club's mass and balance when it is longer by so much, with the names of what is
// missing for it.
func bodyAfter(c *club.Club, by float64, o Options) (after measure.Body, lacks []string) {
	need := func(id catalogue.ID, name string) float64 {
		n, ok := c.Amount(id)
		if !ok {
			lacks = append(lacks, name)
		}
		return n
	}
	b := measure.Body{Mass: need(catalogue.MassID, "mass"), Balance: need(catalogue.Balance, "balance")}
	if by != 0 {
		q := o.ButtMass
		if q == 0 || c.Stated(catalogue.ButtMass) {
			q = need(catalogue.ButtMass, "butt-mass")
		}
		b = b.CutButt(-by, q)
	}
	if lacks != nil {
		return measure.Body{}, lacks
	}
	return b, nil
}

// foretell notes in a cut what the club will be, at the first setting that was read.
func (p *Plan) foretell(cut *Cut, o Options) {
	after, lacks := bodyAfter(cut.Club, cut.By, o)
	cut.After = after
	swing, swung := cut.Club.Amount(catalogue.SwingWeightID)
	if cut.Steps != 0 && (swung || cut.Club.Has(catalogue.MassID) || cut.Club.Has(catalogue.Balance)) {
		cut.Lacks = lacks // something was known that the cut makes untrue
		p.Needs = lists.Also(p.Needs, lacks...)
		slices.Sort(p.Needs)
	}
	switch {
	case cut.Steps == 0 && swung:
		cut.Swing = swing
	case after.Sound():
		cut.Swing = after.SwingWeight()
	default:
		cut.Swing = math.NaN()
	}
}
