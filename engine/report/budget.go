package report

// This file shows lengths with their uncertainty: how one was built up, and the budget of
// its uncertainty as a table.

import (
	"fmt"
	"math"
	"strconv"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// budgetTable is a budget of uncertainty, a line a component, the largest share first; what changes nothing is left
// out. It is nil of an empty budget.
func budgetTable(level int, name string, budget []judge.Component) *doc.Table {
	if len(budget) == 0 {
		return nil
	}
	out := &doc.Table{Name: name, Level: level,
		Heads: []string{"component", "+/- or s", "sensitivity", "contribution", "share"}}
	var of []*club.Club
	for _, c := range budget {
		if c.Of != nil {
			of = also(of, c.Of)
		}
	}
	for _, c := range budget {
		if len(of) == 1 {
			c.Of = nil // it need not be said whose they are
		}
		if c.Contribution.Base == 0 {
			continue
		}
		half := "s " + unit.FormatFine(c.Source.Base, c.Source.Unit)
		if c.Half.Known() {
			half = c.Half.Written()
		}
		out.Rows = append(out.Rows, doc.Row{Cells: []string{wording.Visible(c.Whole()), half, sensitivity(c),
			unit.FormatFine(math.Abs(c.Contribution.Base), c.Contribution.Unit), fmt.Sprintf("%5.1f %%", 100*c.Share)}})
	}
	return out
}

// sensitivity is how much a value changes with the source of a component: "1", "-0.036
// in/deg".
func sensitivity(c judge.Component) string {
	to, from := c.Contribution.Unit, c.Source.Unit
	s := to.Bare(unit.FormatFine(c.Sensitivity*from.ToBase(1), to))
	if to == from || to.Name == "" && from.Name == "" {
		return s
	}
	return s + " " + to.Name + "/" + from.Name
}

// built is how a length was built up: what was read, each correction, what comes out and
// how sure it is.
func built(l judge.Length, full bool) []doc.Block {
	of := &judge.Result{Subject: judge.Subject{File: l.Club.Place().File, Clubs: []*club.Club{l.Club}}}
	var entries []doc.Fact
	if full {
		entries = tree(of, l.Steps, 0, nil)
	} else {
		for _, s := range l.Steps {
			entries = append(entries, rung(of, s, false))
		}
	}
	if l.Value.Known() && l.From != l.To {
		entries = append(entries, doc.Fact{Label: "length by " + l.To, Amount: l.Value.String()})
	}
	if l.U.Known() {
		off := doc.Fact{Label: "could be off by", Amount: offBy(l.Expanded)}
		if full {
			off.Note = fmt.Sprintf("expanded uncertainty %s at 95 %%: k = %s times the standard uncertainty %s",
				wording.Above(l.Expanded), strconv.FormatFloat(l.Coverage, 'g', 3, 64), wording.Above(l.U))
		}
		entries = append(entries, off)
	}
	for _, why := range wording.Reasons(l.Lacks) {
		entries = append(entries, doc.Fact{Label: "because", Note: wording.Visible(why)})
	}
	out := []doc.Block{doc.Facts{Level: 3, List: entries}}
	if table := budgetTable(3, "", l.Budget); full && table != nil {
		out = append(out, doc.Gap{}, table)
	}
	return out
}

// readAs is the length of a club as it was read, by its method; empty where it has none.
func readAs(c *club.Club) (amount, method string) {
	n, ok := c.Amount(catalogue.LengthID)
	if !ok {
		return "", ""
	}
	return unit.Amount{Base: n, Unit: c.LengthUnit()}.Written(), c.Method
}

// offBy is how far a value could be off, rounded up: its expanded uncertainty.
func offBy(u unit.Amount) string {
	if !u.Known() {
		return "unknown"
	}
	return wording.Rounded(u, math.Ceil)
}
