package contrast

// This file puts parts of a rule from two editions together in thought: what would the rule say of a club if this
// part alone were another? A part that alone makes a difference has changed.

import (
	"math"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/lists"
)

// whatIf is the two editions of a rule on one club, part by part.
type whatIf struct {
	parts     [2]judge.Parts
	decisions [2]decide.Rule
	inForce   [2]bool
}

// whatIf takes the rule of both editions apart on a club; false where that cannot be done: for rules about pairs and
// sets, and where a sheet with the club cannot be read.
func (u *Comparison) whatIf(w window, b space.Bag) (whatIf, bool) {
	x := whatIf{inForce: [2]bool{w.old, w.new}}
	if u.Kind != ast.OfClub || len(b) != 1 {
		return x, false
	}
	for i, s := range u.Sides {
		if s.Rule == nil || !s.Legible(b) {
			return x, false
		}
		x.parts[i] = s.Probe.Parts(s.Rule, s.Lay(&b[0]))
		x.decisions[i] = judge.DecisionOf(s.Rule)
		if x.parts[i].Faulty {
			return x, false
		}
	}
	return x, true
}

// verdict is what one edition would say if one part were that of the other; 0 of What is not a part.
func (x *whatIf) verdict(edition int, other What) decide.Verdict {
	from := func(w What) int {
		if w == other {
			return 1 - edition
		}
		return edition
	}
	if !x.inForce[from(Dates)] {
		return 0
	}
	switch x.parts[from(Scope)].Takes {
	case value.False:
		return 0
	case value.Unknown:
		return decide.Unmeasured
	}
	decision := x.decisions[from(Decides)]
	plain := x.parts[from(Limit)].Plain
	lifts := x.parts[from(Exception)].Lifts
	holds := lists.Each(lifts, func(l judge.Lift) value.Truth { return l.Holds })
	alike := func(i, k int) value.Truth { return agree(&lifts[i], &lifts[k]) }
	return judge.Weigh(holds, x.parts[from(Exception)].Unordered, alike, func(i int) decide.Verdict {
		if i < 0 {
			return under(nil, plain, decision)
		}
		return under(&lifts[i], plain, decision)
	}).Verdict
}

// agree reports whether two exceptions have the same result.
func agree(a, b *judge.Lift) value.Truth {
	if a.Exempt == b.Exempt && (a.Exempt || a.Limits == b.Limits) {
		return value.True
	}
	return value.False
}

// under is the verdict on a value under an exception, nil for none, and a decision.
func under(l *judge.Lift, plain judge.Sided, d decide.Rule) decide.Verdict {
	limits := plain.Limits
	switch {
	case l == nil:
	case l.Exempt:
		return decide.Exempt
	case !l.HasBound:
		return l.Verdict
	default:
		limits = l.Limits
	}
	if !plain.HasBound {
		return plain.Verdict
	}
	if math.IsNaN(plain.Spread.U) && d.Kind != decide.Simple {
		return decide.Unmeasured
	}
	v, _ := decide.Decide(d, limits, plain.Value, plain.Spread)
	return v
}

// alone are the parts each of which alone makes a difference: one edition would judge otherwise with that part of the
// other.
func (x *whatIf) alone(edition int, parts []What) []What {
	is := x.verdict(edition, 0)
	return lists.Kept(parts, func(p What) bool { return x.verdict(edition, p) != is })
}
