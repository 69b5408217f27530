package engine

// This file fills in the text of a rule's mend.

import (
	"math"
	"strings"

	"ferrule/lang/unit"
)

// mend fills in the rule's mend for a result that does not pass. It is empty
// where the rule has none, or where the text speaks of an amount that there is
// not (how much too long, of a club too short).
func mend(r *Result) string {
	if r.Rule.Decl.Mend == nil {
		return ""
	}
	names := make([]string, len(r.Subject.Clubs))
	for i, c := range r.Subject.Clubs {
		names[i] = c.ID
	}
	club := strings.Join(names, " and ")
	if club == "" {
		club = r.Subject.name()
	}
	limit := r.Upper
	if !limit.Known() || r.Under.Known() {
		limit = r.Lower
	}
	text := r.Rule.Decl.Mend.Text.Value
	over, under := r.Over, r.Under
	if strings.Contains(text, "{over}") && strings.Contains(text, "{under}") { // one of them is nothing
		switch {
		case over.Known() && !under.Known():
			under = Amount{Unit: over.Unit}
		case under.Known() && !over.Known():
			over = Amount{Unit: under.Unit}
		}
	}
	for _, p := range []struct {
		name  string
		text  string
		known bool
	}{
		{"{club}", club, true},
		{"{value}", r.Figure(r.Value), r.Value.Known()},
		{"{limit}", r.Written(limit), limit.Known()},
		{"{over}", toCut(over), over.Known()},
		{"{under}", toCut(under), under.Known()},
		{"{margin}", r.Figure(r.Margin), r.Margin.Known()},
	} {
		if !strings.Contains(text, p.name) {
			continue
		}
		if !p.known {
			return ""
		}
		text = strings.ReplaceAll(text, p.name, p.text)
	}
	return text
}

// toCut says how much to take off or to add, so that the mended club does pass: in
// inches what no bench rule shows is brought up to the next sixteenth, and elsewhere a
// long decimal to the next one of three digits.
func toCut(a Amount) string {
	if !a.Known() {
		return a.String()
	}
	if a.Unit == unit.Lookup("in") {
		const inch = 25.4e6
		if sixty := a.Base / (inch / 64); unit.Compare(sixty, math.Round(sixty)) != 0 {
			a.Base = math.Ceil(a.Base/(inch/16)) * (inch / 16)
		}
		return a.String()
	}
	amount := a.Unit.FromBase(a.Base)
	if short := math.Round(amount*1e3) / 1e3; unit.Compare(amount, short) != 0 && amount > 0 {
		digit := math.Pow(10, math.Floor(math.Log10(amount))-2)
		a.Base = a.Unit.ToBase(math.Ceil(amount/digit) * digit)
	}
	return a.String()
}
