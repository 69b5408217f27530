package wording

// This file says what uncertainty makes of a limit: up to where a value passes, from
// where it fails, and what would decide one that is between.

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/lang/unit"
)

// Acceptance says where values pass and fail under a decision that counts uncertainty:
// "up to 45 59/64 in, fails from 46 5/64 in". Amounts are rounded to the safe side, in
// inches to what a bench rule shows, in full to decimals. It is empty where there is nothing
// to say.
func Acceptance(r *judge.Result, full bool) string {
	if r.NoneCanPass {
		return "nothing, with so much uncertainty" + failing(r, full, "none", "none")
	}
	from, to := safe(r, r.PassFrom, true, full), safe(r, r.PassTo, false, full)
	switch {
	case from != "" && to != "":
		return "from " + from + " to " + to + failing(r, full, from, to)
	case to != "":
		return "up to " + to + failing(r, full, "none", to)
	case from != "":
		return "from " + from + " on" + failing(r, full, from, "none")
	}
	return ""
}

// failing is ", fails from 46 3/8 in"; nothing where nothing fails. An end from or to which values pass passes itself,
// so they fail only beyond.
func failing(r *judge.Result, full bool, from, to string) string {
	below, above := safe(r, r.FailBelow, false, full), safe(r, r.FailAbove, true, full)
	down, up := "up to ", "from "
	if above == to {
		up = "above "
	}
	if below == from {
		down = "below "
	}
	switch {
	case below != "" && above != "":
		return ", fails " + down + below + " and " + up + above
	case above != "":
		return ", fails " + up + above
	case below != "":
		return ", fails " + down + below
	}
	return ""
}

// safe is an amount rounded up or down: in inches to a sixty-fourth, where that is fine
// enough for the uncertainty and the value; else, and in full, to decimals.
func safe(r *judge.Result, a unit.Amount, up, full bool) string {
	if !a.Known() || !r.Uncertainty.Known() {
		return ""
	}
	round := math.Floor
	if up {
		round = math.Ceil
	}
	if !full && a.Unit.Name == "in" && r.Uncertainty.Base >= sixtyFourth/2 {
		coarse := toSixtyFourths(a, round)
		printed := r.Value
		if r.Value.Known() {
			printed.Base = a.Unit.ToBase(r.Value.Shown(r.Finer(), math.Round))
		}
		if !r.Value.Known() || unit.Compare(r.Value.Base, a.Base) == unit.Compare(printed.Base, coarse.Base) {
			return coarse.String()
		}
	}
	return a.Text(r.Finer(), round)
}

// Settled says what would decide a result that is too close to call; "" of others.
func Settled(r *judge.Result) string {
	s := r.Settle
	if r.Verdict != decide.TooClose || s == nil {
		return ""
	}
	most, now := "most", ""
	if len(r.Budget) > 0 {
		if r.Budget[0].Share < 0.5 {
			most = "the largest part"
		}
		if half := r.Budget[0].Half; half.Known() {
			now = ", now +/- " + half.Written()
		}
	}
	name := ValueName(r.Rule)
	if s.Within.Known() {
		what, within := "a reading", " within "
		if len(s.Of) > 1 {
			what, within = "readings", " each within "
		}
		own := len(r.Subject.Clubs) == 1 && slices.Equal(r.Subject.Clubs, s.Of)
		if !own || name != s.Measure && !strings.HasPrefix(name, s.Measure+" by ") {
			what += " of the " + s.Measure + " of " + Clubs(s.Of)
		}
		return "Measure again: " + what + within + Rounded(s.Within, math.Floor) + " would settle it."
	}
	switch {
	case r.Margin.Known() && r.Margin.Base == 0:
		return "The value is on the limit: no closer reading would settle it."
	case s.Measure == "":
		return "No single closer reading would settle it."
	case len(s.Of) > 0:
		return "Measure again, first the " + s.Measure + " of " + Clubs(s.Of) + now + ": it is " + most +
			" of the doubt. No single closer reading would settle it."
	}
	return "No closer reading would settle it: " + most + " of the doubt is the " + Visible(s.Measure) + now + "."
}

// OffBy is how far the value of a result could be off, rounded up. It is its expanded uncertainty, or what all
// half-widths come to where that is less and all of them are known. Of a value that was drawn they are not. It is empty
// where nobody knows.
func OffBy(r *judge.Result) string {
	if !r.Uncertainty.Known() || r.Uncertainty.Base == 0 {
		return ""
	}
	off, halves := r.Uncertainty, 0.0
	off.Base *= r.Spread().Coverage()
	for _, c := range r.Budget {
		if !c.Half.Known() {
			halves = math.Inf(1)
		}
		halves += math.Abs(c.Contribution.Base) * math.Sqrt(3) // of a rectangle
	}
	if off.Swing = false; !r.Simulated && halves > 0 && halves < off.Base {
		off.Base = halves
	}
	return Rounded(off, math.Ceil)
}

// Rounded is an amount rounded up or down: in inches to a sixty-fourth where there is one, else to decimals.
func Rounded(a unit.Amount, round func(float64) float64) string {
	if a.Unit.Name == "in" && a.Base >= sixtyFourth {
		a = toSixtyFourths(a, round)
	}
	return a.Text(0, round)
}

const sixtyFourth = 25.4e6 / 64 // of an inch, in base units

// toSixtyFourths is a length rounded up or down to whole sixty-fourths of an inch.
func toSixtyFourths(a unit.Amount, round func(float64) float64) unit.Amount {
	n := a.Base / sixtyFourth
	if near := math.Round(n); unit.Compare(n, near) == 0 {
		n = near
	}
	a.Base = round(n) * sixtyFourth
	return a
}

// Certain says why a value has no uncertainty where the decision would count it.
func Certain(r *judge.Result) string {
	if slices.ContainsFunc(Leaves(r.Steps, nil), Unstated) {
		return "and how far off it could be is not stated"
	}
	return "and nothing uncertain is left in it"
}

// Unstated reports whether a step is a measurement that does not say how far off it could be.
func Unstated(s eval.Step) bool {
	return (s.What == eval.StepReading || s.What == eval.StepMean) && s.Amount.Known() && !s.Amount.Unit.Dim.Pure() &&
		!s.Half.Known() && !s.U.Known()
}

// Percent is a probability in per cent with three digits. It has more where it would else seem to be on the other side
// of the level of a decision, or of what the level leaves.
func Percent(p, level float64) string {
	switch {
	case p < 0.0001:
		return "less than 0.01"
	case p > 0.9999:
		return "more than 99.99"
	}
	in := func(finer int) float64 {
		n, _ := strconv.ParseFloat(strconv.FormatFloat(p*100, 'g', 3+finer, 64), 64) // it was just written
		return n
	}
	n := unit.Finer(func(finer int) bool {
		shown := in(finer)
		return shown < 100 && (shown >= 100*level) == (p >= level) && (shown < 100-100*level) == (p < 1-level)
	})
	return strconv.FormatFloat(in(n), 'f', -1, 64)
}
