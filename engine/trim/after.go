package trim

// This file works out the clubs as they will be, and has them judged.

import (
	"math"
	"slices"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/measure"
	"ferrule/lang/catalogue"
)

// finish foretells mass, balance and swing weight, and judges the clubs of the plan.
func (p *Plan) finish(j *engine.Judge, o Options) {
	set := &club.Set{Name: p.Set.Name, File: p.Set.File, Refused: p.Set.Refused, Rows: p.Set.Rows}
	cuts := map[*club.Club]*Cut{}
	for i := range p.Cuts {
		cuts[p.Cuts[i].Club] = &p.Cuts[i]
	}
	for _, c := range p.Set.Clubs {
		cut := cuts[c]
		if cut != nil {
			p.foretell(cut, o)
		}
		var first, last *club.Club
		for d := c; d != nil; d = d.Next {
			e := d.Clone()
			if cut != nil {
				after, _ := bodyAfter(d, cut.By, o)
				e.Shift(catalogue.LengthID, cut.By)
				if cut.Steps != 0 || !e.Has(catalogue.SwingWeightID) && after.Sound() {
					put(e, after)
				}
			}
			if first == nil {
				first = e
			} else {
				last.Next = e
			}
			last = e
		}
		set.Clubs = append(set.Clubs, first)
	}
	j.Set(set, engine.Sink{
		Result: func(r *engine.Result) {
			switch {
			case r.Verdict == decide.Pass || r.Verdict == decide.Exempt:
			case !r.Rule.Decl.Advice:
				p.After = append(p.After, r)
			case r.Verdict == decide.Fail:
				p.Advice = append(p.Advice, r)
			}
		},
		Conflict: func(c *engine.Conflict) {
			if !slices.ContainsFunc(p.Conflicts, func(d *engine.Conflict) bool { return d.Rule == c.Rule && d.Message == c.Message }) {
				p.Conflicts = append(p.Conflicts, c)
			}
		},
	})
}

// put gives a club its foretold mass, balance and swing weight. What was measured before the cut
// and cannot be foretold is taken away: it is not true any more.
func put(c *club.Club, b measure.Body) {
	for _, p := range []catalogue.ID{catalogue.MassID, catalogue.Balance, catalogue.SwingWeightID} {
		c.Unset(p)
	}
	if b.Sound() {
		c.SetAmount(catalogue.MassID, b.Mass)
		c.SetAmount(catalogue.Balance, b.Balance)
		c.SetAmount(catalogue.SwingWeightID, b.SwingWeight())
	}
}

// bodyAfter is the club's mass and balance when it is longer by so much, with the name of what is
// lacking to tell it.
func bodyAfter(c *club.Club, by float64, o Options) (measure.Body, string) {
	mass, ok := c.Amount(catalogue.MassID)
	if !ok {
		return measure.Body{}, "mass"
	}
	balance, ok := c.Amount(catalogue.Balance)
	if !ok {
		return measure.Body{}, "balance"
	}
	b := measure.Body{Mass: mass, Balance: balance}
	if by == 0 {
		return b, ""
	}
	q, ok := c.Amount(catalogue.ButtMass)
	if !ok {
		q = o.ButtMass
	}
	if q == 0 {
		return measure.Body{}, "butt-mass"
	}
	return b.CutButt(-by, q), ""
}

// foretell notes in a cut what the club will be, at the first of its settings.
func (p *Plan) foretell(cut *Cut, o Options) {
	after, lacks := bodyAfter(cut.Club, cut.By, o)
	if lacks == "butt-mass" {
		cut.Lacks = lacks
		if !slices.Contains(p.Needs, lacks) {
			p.Needs = append(p.Needs, lacks)
		}
	}
	cut.After = after
	switch n, measured := cut.Club.Amount(catalogue.SwingWeightID); {
	case after.Sound():
		cut.Swing = after.SwingWeight()
	case cut.Steps == 0 && measured:
		cut.Swing = n
	default:
		cut.Swing = math.NaN()
	}
}
