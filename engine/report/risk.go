package report

// This file is the view of how often a rule is wrong: its operating curve, and what a stock has to expect.

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/compare"
	"ferrule/engine/decide"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
)

// Risk writes how often a rule is wrong.
func Risk(w io.Writer, r *compare.Risk, of data.RiskOf, o Options) error {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.Risk(w, o.Tool, r, of)
	}
	p.put(slices.Concat(riskHead(r, of), curve(r))...)
	if of.Stock != nil {
		p.put(riskStock(r, of.Stock)...)
	}
	return p.end()
}

// riskHead says what is judged, by what, and where readings pass and fail.
func riskHead(r *compare.Risk, o data.RiskOf) []doc.Block {
	words, limit := wording.Limit(&r.Result)
	decided := wording.Decision(r.Decision)
	if !r.Rule.Stated {
		decided += ": no guard band (the book states no decision rule)"
	}
	reading := "one by " + r.By
	if r.Marks.Known() {
		reading += ", written down to the nearest " + r.Marks.String()
	}
	if r.By != r.To {
		reading += ", brought to " + r.To
	}
	off := r.Uncertainty
	off.Base *= 2
	entries := []doc.Fact{
		{Label: "club", Note: cmp.Or(wording.Visible(o.Like), "any club that the rule is about")},
		{Label: "limit", Note: fmt.Sprintf("length by %s %s %s", r.To, words, limit)},
		{Label: "decision", Note: decided},
		{Label: "reading", Note: reading + "; could be off by " + offBy(off)},
	}
	if r.Decision.Kind != decide.Simple {
		entries = append(entries, doc.Fact{Label: "passes", Note: wording.Acceptance(&r.Result, false)})
	}
	return []doc.Block{doc.Head{Title: r.Rule.Decl.Name.Text, Right: wording.BookLine(r.Rule.Decl.Span)},
		doc.Facts{Level: 1, List: entries}, doc.Gap{}}
}

// curve is the operating curve: a line for each true length, its bar divided as one reading would be decided. The
// limits are in it.
func curve(r *compare.Risk) []doc.Block {
	step, decimals, three := r.Uncertainty.Base, 4, r.Decision.Kind == decide.ThreeWay
	if step > 0 { // those that count beside the uncertainty
		decimals = max(0, 1-int(math.Floor(math.Log10(r.Uncertainty.Unit.FromBase(step)))))
	}
	cells := func(all ...string) []string {
		if three {
			return all
		}
		return slices.Delete(all, 2, 3) // none is too close
	}
	table := &doc.Table{Level: 2, Heads: cells(r.Uncertainty.Unit.Name, "pass", "close", "fail", "")}
	before := math.Inf(-1)
	for _, c := range r.Curve() {
		note, on := "", c.True.Base-before
		if r.Lower.Known() && c.True.Base == r.Lower.Base || r.Upper.Known() && c.True.Base == r.Upper.Base {
			note = "limit"
		} else if on < 0.35*step { // every second point is enough for the eye
			continue
		}
		if step > 0 && on > step && table.Rows != nil {
			table.Rows = append(table.Rows, doc.Row{Cells: cells("...", "", "", "", "")})
		}
		before = c.True.Base
		length := strconv.FormatFloat(c.True.Unit.FromBase(before), 'f', decimals, 64)
		table.Rows = append(table.Rows, doc.Row{Bar: &doc.Bar{Pass: c.Pass, Open: c.TooClose},
			Cells: cells(length, share(c.Pass), share(c.TooClose), share(c.Fail), note)})
	}
	table.Right = len(table.Heads) - 1
	return []doc.Block{doc.Subject{Name: "How one reading would be decided, by the club's true length by " + r.To,
		Level: 1},
		picture.Curve(r), doc.Gap{}, table, doc.Gap{}, doc.BarLegend{Open: three}}
}

// share is a probability in per cent; one that is not quite 0 or 1 does not look so.
func share(p float64) string {
	switch {
	case p > 0 && p < 0.0005:
		return "<0.1 %"
	case p < 1 && p > 0.9995:
		return ">99.9 %"
	}
	return strconv.FormatFloat(100*p, 'f', 1, 64) + " %"
}

// riskStock says what a stock has to expect.
func riskStock(r *compare.Risk, s *compare.Stock) []doc.Block {
	consumers, producers := r.Global(*s)
	is := "is outside the limit"
	if r.Lower.Known() && r.Upper.Known() {
		is += "s"
	}
	says := "These are the global risks of JCGM 106:2012."
	if r.Decision.Kind == decide.ThreeWay {
		says += " What is too close to call is in neither."
	}
	of := fmt.Sprintf("Of all clubs of a stock whose true lengths by %s have a mean of %s and a standard deviation "+
		"of %s, by one reading each", r.To, s.Mean, s.Deviation)
	return []doc.Block{doc.Gap{}, doc.Para{Level: 1, Text: of}, doc.Gap{}, doc.Facts{Level: 2, List: []doc.Fact{
		{Label: "consumer's risk", Amount: wording.Percent(consumers, 0) + " %", Note: is + " and passes"},
		{Label: "producer's risk", Amount: wording.Percent(producers, 0) + " %",
			Note: strings.Replace(is, "outside", "inside", 1) + " and fails"},
	}}, doc.Gap{}, doc.Para{Level: 1, Text: says}}
}
