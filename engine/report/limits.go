package report

// This file says what uncertainty makes of a limit: up to where a value passes, from
// where it fails, and what would decide one that stands between.

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/decide"
)

// acceptance says where values pass and fail under a decision that counts uncertainty:
// "up to 45 59/64 in, fails from 46 5/64 in". Amounts are rounded to the safe side, in
// inches to what a bench rule shows, in full to decimals. It is empty where there is nothing
// to say.
func acceptance(r *engine.Result, full bool) string {
	if r.NoneCanPass {
		return "nothing, with so much uncertainty" + failing(r, full, "none")
	}
	from, to := safe(r.PassFrom, r.Uncertainty, true, full), safe(r.PassTo, r.Uncertainty, false, full)
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
	below, above := safe(r.FailBelow, r.Uncertainty, false, full), safe(r.FailAbove, r.Uncertainty, true, full)
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
// enough for the uncertainty u; else, and in full, to decimals that suit u.
func safe(a, u engine.Amount, up, full bool) string {
	if !a.Known() || !u.Known() {
		return ""
	}
	const bench = 1. / 64
	n, width := a.Unit.FromBase(a.Base), u.Unit.FromBase(u.Base)
	steps, decimals := 64., -1
	if full || a.Unit.Name != "in" || width < bench/2 {
		if decimals = max(0, 1-int(math.Floor(math.Log10(width)))); full {
			decimals++
		}
		steps = math.Pow(10, float64(decimals))
	}
	const dust = 1e-9
	if up {
		n = math.Ceil(n*steps - dust)
	} else {
		n = math.Floor(n*steps + dust)
	}
	n /= steps
	if decimals >= 0 {
		text := strconv.FormatFloat(n, 'f', decimals, 64)
		if !a.Swing {
			return strings.TrimRight(text+" "+a.Unit.Name, " ")
		}
		n, _ = strconv.ParseFloat(text, 64)
	}
	a.Base = a.Unit.ToBase(n)
	return a.String()
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
