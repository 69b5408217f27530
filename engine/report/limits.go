package report

// This file says what uncertainty makes of a limit: up to where a value passes, from
// where it fails, and what would decide one that stands between.

import (
	"math"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/decide"
	"ferrule/lang/unit"
)

// acceptance says where values pass and fail under a decision that counts uncertainty:
// "up to 45 59/64 in, fails from 46 5/64 in". Amounts are rounded to the safe side, in
// inches to what a bench rule shows, in full to decimals. It is empty where there is nothing
// to say.
func acceptance(r *engine.Result, full bool) string {
	if r.NoneCanPass {
		return "nothing, with so much uncertainty" + failing(r, full, "none")
	}
	from, to := safe(r, r.PassFrom, true, full), safe(r, r.PassTo, false, full)
	switch {
	case from != "" && to != "":
		return "from " + from + " to " + to + failing(r, full, to)
	case to != "":
		return "up to " + to + failing(r, full, to)
	case from != "":
		return "from " + from + " on" + failing(r, full, from)
	}
	return ""
}

// failing is ", fails from 46 3/8 in"; nothing where nothing fails. An amount that passes
// itself, passes, fails only beyond.
func failing(r *engine.Result, full bool, passes string) string {
	below, above := safe(r, r.FailBelow, false, full), safe(r, r.FailAbove, true, full)
	upTo, from := "up to ", "from "
	if above == passes {
		from = "above "
	}
	if below == passes {
		upTo = "below "
	}
	switch {
	case below != "" && above != "":
		return ", fails " + upTo + below + " and " + from + above
	case above != "":
		return ", fails " + from + above
	case below != "":
		return ", fails " + upTo + below
	}
	return ""
}

// safe is an amount rounded up or down: in inches to a sixty-fourth, where that is fine
// enough for the uncertainty and the value; else, and in full, to decimals.
func safe(r *engine.Result, a engine.Amount, up, full bool) string {
	if !a.Known() || !r.Uncertainty.Known() {
		return ""
	}
	const sixtyFourth = 25.4e6 / 64
	round := math.Floor
	if up {
		round = math.Ceil
	}
	if !full && a.Unit.Name == "in" && r.Uncertainty.Base >= sixtyFourth/2 {
		coarse := a
		if near := math.Round(a.Base / sixtyFourth); unit.Compare(a.Base, near*sixtyFourth) != 0 {
			coarse.Base = round(a.Base/sixtyFourth) * sixtyFourth
		}
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

// settled says what would decide a result that is too close to call; "" of others.
func settled(r *engine.Result) string {
	if r.Verdict != decide.TooClose || r.Settle == nil {
		return ""
	}
	largest, most := Visible(r.Settle.Largest), "most"
	if len(r.Budget) > 0 && r.Budget[0].Share < 0.5 {
		most = "the largest part"
	}
	switch byRule := slices.ContainsFunc(leaves(r.Steps, nil), func(s engine.Step) bool { return s.Method != "" }); {
	case r.Settle.Graduation.Known():
		return "a reading to " + r.Settle.Graduation.String() + ", should it read the same"
	case largest == "":
		return ""
	case byRule && strings.HasPrefix(largest, "graduation"):
		return "no finer reading by this method, so near the limit"
	case byRule:
		return "no finer reading by this method: " + most + " of the uncertainty is the " + largest
	}
	return "a surer value: " + most + " of the uncertainty is the " + largest
}

// certain says why a value has no uncertainty where the decision would count it.
func certain(r *engine.Result) string {
	if slices.ContainsFunc(leaves(r.Steps, nil), func(s engine.Step) bool { return s.U.Known() || s.Half.Known() }) {
		return "and nothing uncertain is left in it"
	}
	return "u not stated"
}
