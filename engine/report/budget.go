package report

// This file shows lengths with their uncertainty: how one was built up, and the budget of
// its uncertainty as a table.

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// budgetTable is a budget of uncertainty, a line a component, the largest share first;
// what changes nothing is left out.
func budgetTable(indent int, budget []engine.Component) string {
	return table(indent, budgetRows(budget))
}

// budgetRows are the rows of a budget's table, the headings first; none of an empty budget.
func budgetRows(budget []engine.Component) [][]string {
	if len(budget) == 0 {
		return nil
	}
	rows := [][]string{{"component", "half-width or s", "sensitivity", "contribution", "share"}}
	for _, c := range budget {
		if c.Contribution.Base == 0 {
			continue
		}
		half := "s " + unit.FormatFine(c.Source.Base, c.Source.Unit)
		if c.Half.Known() {
			half = c.Half.Written()
		}
		rows = append(rows, []string{Visible(c.Name), half, sensitivity(c),
			unit.FormatFine(math.Abs(c.Contribution.Base), c.Contribution.Unit),
			fmt.Sprintf("%5.1f %%", 100*c.Share)})
	}
	return rows
}

// sensitivity is how much a value changes with the source of a component: "1", "-0.036
// in/deg".
func sensitivity(c engine.Component) string {
	to, from := c.Contribution.Unit, c.Source.Unit
	s := strings.TrimSuffix(unit.FormatFine(c.Sensitivity*from.ToBase(1), to), " "+to.Name)
	if to == from || to.Name == "" && from.Name == "" {
		return s
	}
	return s + " " + to.Name + "/" + from.Name
}

// table lays rows out in aligned columns, two blanks apart. What no longer fits on the
// page is left to stand over its edge.
func table(indent int, rows [][]string) string {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], width(cell))
		}
	}
	var b strings.Builder
	for _, row := range rows {
		line := strings.Repeat(" ", indent)
		for i, cell := range row {
			line += pad(cell, widths[i]+2)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// built is how a length was built up: what was read, each correction, what comes out and
// how sure it is.
func built(l engine.Length, full bool) string {
	of := &engine.Result{Subject: engine.Subject{File: l.Club.Place().File, Clubs: []*club.Club{l.Club}}}
	var entries []entry
	if full {
		entries = tree(of, l.Steps, 0, nil)
	} else {
		for _, s := range l.Steps {
			entries = append(entries, rung(of, s))
		}
	}
	if l.Value.Known() && l.From != l.To {
		entries = append(entries, entry{label: "length by " + l.To, amount: l.Value.String()})
	}
	if l.U.Known() {
		entries = append(entries,
			entry{label: "uncertainty", amount: above(l.U), note: "standard uncertainty of the value"},
			entry{label: "expanded", amount: above(l.Expanded), note: "at 95 %, k = " + strconv.FormatFloat(l.Coverage, 'g', 3, 64)})
	}
	for _, why := range l.Reasons {
		entries = append(entries, entry{label: "because", note: Visible(why)})
	}
	s := block(6, entries)
	if full && len(l.Budget) > 0 {
		s += "\n" + budgetTable(6, l.Budget)
	}
	return s + "\n"
}

// readAs is the length of a club as it was read, by its method; empty where it has none.
func readAs(c *club.Club) (amount, method string) {
	n, ok := c.Amount(catalogue.LengthID)
	if !ok {
		return "", ""
	}
	return engine.Amount{Base: n, Unit: unit.Base(unit.Length)}.Written(), c.Method
}

// spread is what stands behind +/-: the expanded uncertainty, or why there is none.
func spread(u engine.Amount) string {
	if !u.Known() {
		return "+/- unknown"
	}
	return "+/- " + above(u)
}
