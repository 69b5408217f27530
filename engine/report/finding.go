package report

// This file turns the facts behind a result into a finding: a short ladder from the reading to the decision, or
// everything. It also shows how a length was built up, and the budget of its uncertainty as a table.

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// finding is what came of a rule: a line, the title of the rule and the mend; with the steps, what led to it and the
// rule's own words; in full every fact, and the budget of the uncertainty.
func finding(r *judge.Result, depth Depth) *doc.Finding {
	out := &doc.Finding{Tone: picture.Tone(r.Verdict), Stamp: stamps[r.Verdict], Title: picture.Headline(r.Rule),
		Next: wording.Settled(r), Text: wording.Line(r)}
	if r.Rule.Decl.Advice && r.Verdict < decide.Pass {
		out.Tone, out.Stamp = doc.Open, "advice"
	}
	if r.Verdict == decide.Fail {
		out.Mend = wording.Visible(r.SpokenMend)
	}
	if depth == Line {
		return out
	}
	if depth == Steps && r.Verdict >= decide.Pass {
		out.Title, out.Facts = "", rungs(r)
		return out
	}
	out.Facts = facts(r, depth == Full)
	out.Rule = &doc.Source{Place: wording.BookLine(r.Rule.Decl.Span), Lines: written(r.Rule)}
	if depth == Full {
		out.More = budgetTable(3, "", r.Budget)
	}
	return out
}

// again leaves out of a finding what was said of its rule before.
func again(f *doc.Finding, r *book.Rule) {
	f.Text += " [" + r.Decl.Name.Text + "]"
	if f.Title = ""; f.Rule != nil {
		f.Rule.Lines = nil
	}
}

var stamps = [...]string{decide.Fail: "FAILS", decide.TooClose: "TOO CLOSE", decide.Unmeasured: "MISSING",
	decide.Pass: "passes", decide.Exempt: "exempt"}

// facts are the lines of what led to a result: a short ladder, or in full every fact.
func facts(r *judge.Result, full bool) []doc.Fact {
	var out []doc.Fact
	if full {
		out = tree(r, r.Steps, 0, out)
	} else {
		out = rungs(r)
	}
	out = append(out, limitFacts(r, full)...)
	if r.Exception != nil {
		out = append(out, doc.Fact{Label: "exception",
			Note: wording.OneLine(r.Exception.Span) + ", " + wording.BookLine(r.Exception.Span)})
	}
	return out
}

// rungs are the readings and chart rows that a result depends on.
func rungs(r *judge.Result) []doc.Fact {
	out := lists.Each(wording.Leaves(r.Steps, nil), func(s eval.Step) doc.Fact { return rung(r, s, false) })
	const most = 8
	if len(out) > most {
		n := len(out) - most
		out = append(out[:most:most], doc.Fact{Label: "and " + wording.Counted(n, "reading", "readings") + " more"})
	}
	return out
}

// rung is the line of one recorded fact.
func rung(r *judge.Result, s eval.Step, full bool) doc.Fact {
	about, e := r.Subject, doc.Fact{Label: wording.Visible(s.Name), Amount: wording.StepAmount(r, s)}
	say := func(note string) { e.Note = wording.Join(", ", e.Note, note) }
	switch {
	case s.What == eval.StepCorrection:
		e.Label += " to " + s.Method
		if s.Amount.Base > 0 {
			e.Amount = "+" + e.Amount
		}
	case s.Method != "":
		e.Label += " by " + s.Method
	}
	if s.Club != "" && len(about.Clubs) != 1 {
		say("of " + clubOf(about, s.Club))
	}
	if s.Half.Known() {
		say("+/- " + s.Half.Written() + " as stated")
	}
	if full && s.U.Known() && s.U.Base > 0 {
		say("u " + wording.Above(s.U))
	}
	if r.Decision.Kind > decide.Simple && (r.Bound == nil || r.Uncertainty.Known()) && wording.Unstated(s) {
		say("+/- not stated")
	}
	written := ""
	if !s.Line.IsZero() {
		written = wording.BookLine(s.Line)
	}
	switch s.What {
	case eval.StepMean:
		say("mean of " + wording.Counted(len(s.Sub), "reading", "readings") + ": " + values(r, s.Sub))
	case eval.StepChart:
		e.Label = "chart " + e.Label
		say(written)
	case eval.StepCorrection:
		say(written)
	case eval.StepDefault:
		say("the cell is empty, " + written)
	case eval.StepMissing:
		if e.Amount = "not measured"; s.Method != "" {
			e.Amount = "not used" // it was read, and cannot be brought to another method
		}
	case eval.StepSimulation:
		e.Label = "by simulation"
		say("each reading drawn many times within its uncertainty")
	case eval.StepException:
		e.Label = "unless " + e.Label
		e.Amount = s.Truth.String()
	case eval.StepCondition:
		e.Amount = s.Truth.String()
	}
	if s.What == eval.StepReading || s.What == eval.StepMean || s.What == eval.StepMissing {
		say(where(r, s, full || len(about.Clubs) == 1))
	}
	return e
}

// clubOf is the club of an id as a person calls it, where the subject has it.
func clubOf(about judge.Subject, id string) string {
	for _, c := range about.Clubs {
		if c.ID == id {
			return wording.Called(c)
		}
	}
	return wording.Visible(id)
}

// where is the row that a reading comes from, of a case the line, and its column.
func where(r *judge.Result, s eval.Step, column bool) string {
	row := ""
	switch n := strconv.Itoa(s.Place.Row); {
	case s.Place.Row == 0:
	case r.Rule != nil && s.Place.File == r.Rule.Book.Name:
		row = "line " + n
	case s.Place.File != r.Subject.File:
		row = rowWords(s.Place)
	default:
		row = "row " + n
	}
	if !column {
		return row
	}
	return wording.Join(", ", row, wording.Labelled("column", wording.Visible(s.Column)))
}

// rowWords is "bags.csv row 4".
func rowWords(p club.Row) string { return wording.File(p.File) + " row " + strconv.Itoa(p.Row) }

// values lists amounts.
func values(r *judge.Result, steps []eval.Step) string {
	texts := lists.Each(steps, func(s eval.Step) string { return wording.StepAmount(r, s) })
	return strings.Join(texts, ", ")
}

// limitFacts are how far the value could be off, what uncertainty makes of the limit, and the decision. What the book
// writes of its limit is among them where that is not the limit itself.
func limitFacts(r *judge.Result, full bool) []doc.Fact {
	var out []doc.Fact
	if off := wording.OffBy(r); off != "" {
		e := doc.Fact{Label: "could be off by", Amount: off}
		if full {
			e.Note = "standard uncertainty " + wording.Above(r.Uncertainty)
		}
		if r.Simulated {
			e.Note = wording.Join(", ", e.Note, "by simulation")
		}
		out = append(out, e)
	}
	if r.Bound != nil {
		words, amount := wording.Limit(r)
		text := wording.Visible(r.Bound.Words())
		plain, limit := text, strings.TrimSpace(words+" "+amount)
		if u := cmp.Or(r.Upper.Unit, r.Lower.Unit); u != nil {
			plain, limit = u.Bare(strings.ReplaceAll(text, " "+u.Name+" and ", " and ")), u.Bare(limit)
		}
		if plain != limit {
			says := wording.Join(", ", strings.TrimSpace(words+" "+amount), text)
			out = append(out, doc.Fact{Label: "limit", Note: says})
		}
	}
	if words := wording.Acceptance(r, full); words != "" {
		out = append(out, doc.Fact{Label: "passes", Note: words})
	}
	switch {
	case r.Verdict == decide.Pass && r.Margin.Known():
		out = append(out, doc.Fact{Label: "inside by", Amount: r.Figure(r.Margin), Note: decided(r)})
	case r.Verdict == decide.Fail || r.Verdict == decide.Pass || r.Verdict == decide.TooClose:
		out = append(out, doc.Fact{Label: "decided", Note: decided(r)})
	}
	return out
}

// decided is the decision as it was applied.
func decided(r *judge.Result) string {
	s := wording.Decision(r.Decision)
	switch p := data.Number(r.Probability); {
	case r.Decision.Kind == decide.Simple && r.Rule.Stated:
		return "no guard band (decision simple)"
	case r.Decision.Kind == decide.Simple:
		return "no guard band (the book states no decision rule)"
	case p != nil:
		s += fmt.Sprintf(": inside with a probability of %s %%", wording.Percent(*p, r.Decision.Level))
	case !r.Uncertainty.Known() && r.Value.Known():
		s += ", " + wording.Certain(r)
	}
	return s
}

// tree is every recorded fact with those behind it.
func tree(r *judge.Result, steps []eval.Step, depth int, out []doc.Fact) []doc.Fact {
	for _, s := range steps {
		e, line := rung(r, s, true), ""
		e.Level = depth
		switch s.What {
		case eval.StepLimit:
			continue
		case eval.StepReading:
			e.Label = "read " + e.Label
		case eval.StepLet:
			e.Label = "let " + e.Label
		}
		if !s.Line.IsZero() && s.What != eval.StepChart && s.What != eval.StepDefault && s.What != eval.StepCorrection {
			line = "line " + strconv.Itoa(s.Line.Line())
		}
		e.Note = wording.Join(", ", e.Note, line, wording.Visible(wording.Note(s)))
		out = tree(r, s.Sub, depth+1, append(out, e))
	}
	return out
}

// written are the rule's own lines.
func written(r *book.Rule) []string {
	var out []string
	span := r.Decl.Span
	for n := span.Line(); n <= span.EndPos().Line; n++ {
		if text := wording.Visible(strings.TrimRight(span.File.Line(n), " \t")); text != "" {
			out = append(out, text)
		}
	}
	return out
}

// setBefore is the name of a set before something that is said of it on one line; nothing where it has none.
func setBefore(s judge.Subject) string {
	if s.Set == "" {
		return ""
	}
	return wording.Visible(s.Set) + ", "
}

// placeFacts show the two places that disagree.
func placeFacts(c *judge.Conflict) (entries []doc.Fact) {
	for _, span := range wording.ConflictPlaces(c) {
		if !span.IsZero() {
			entries = append(entries, doc.Fact{Label: fmt.Sprintf("line %d", span.Line()), Note: wording.OneLine(span)})
		}
	}
	return entries
}

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
			of = lists.Also(of, c.Of)
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
		entries = lists.Each(l.Steps, func(s eval.Step) doc.Fact { return rung(of, s, false) })
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
