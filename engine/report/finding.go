package report

// This file turns the facts behind a result into a finding: a short ladder from the reading to the decision, or
// everything.

import (
	"fmt"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/ast"
)

// finding is what came of a rule: in full with every fact, and the budget of the uncertainty.
func finding(r *judge.Result, full bool) *doc.Finding {
	out := &doc.Finding{Tone: toneOf(r.Verdict), Stamp: stamps[r.Verdict], Title: wording.RuleTitle(r.Rule),
		Facts: facts(r, full), Mend: wording.Visible(r.Mend),
		Rule: doc.Source{Place: wording.BookLine(r.Rule.Decl.Span, r.Rule.Book), Lines: written(r), Whole: full}}
	if r.Rule.Decl.Advice && r.Verdict == decide.Fail {
		out.Tone, out.Stamp = doc.Open, "ADVICE"
	}
	for _, c := range r.Rule.Decl.Cites {
		out.Rule.Cites = append(out.Rule.Cites, wording.Visible(c.Text.Value))
	}
	if full {
		out.Budget = budgetTable(2, "", r.Budget)
	}
	return out
}

var stamps = [...]string{decide.Fail: "FAILS", decide.TooClose: "TOO CLOSE", decide.Unmeasured: "NOT MEASURED",
	decide.Pass: "PASSES", decide.Exempt: "EXEMPT"}

// toneOf is the tone of a verdict.
func toneOf(v decide.Verdict) doc.Tone {
	switch v {
	case decide.Fail:
		return doc.Fail
	case decide.TooClose, decide.Unmeasured:
		return doc.Open
	}
	return doc.Pass
}

// facts are the lines of what led to a result: a short ladder, or in full every fact.
func facts(r *judge.Result, full bool) []doc.Fact {
	var out []doc.Fact
	if full {
		out = tree(r, r.Steps, 0, out)
	} else {
		out = rungs(r)
	}
	out = append(out, valueFacts(r, len(out) > 0 && !full, full)...)
	if r.Exception != nil {
		out = append(out, doc.Fact{Label: "exception",
			Note: wording.OneLine(r.Exception.Span) + ", " + wording.BookLine(r.Exception.Span, r.Rule.Book)})
	}
	label := "because"
	for _, why := range wording.Reasons(r.Lacks) {
		out = append(out, doc.Fact{Label: label, Note: wording.Visible(why)})
		label = ""
	}
	if needs := value.Needs(r.Lacks); label == "" && needs != nil {
		out = append(out, doc.Fact{Label: "would decide it", Note: wording.Visible(strings.Join(needs, ", "))})
	}
	if words := wording.Settled(r); words != "" {
		out = append(out, doc.Fact{Label: "next", Note: words})
	}
	return out
}

// rungs are the readings and chart rows that a result rests on.
func rungs(r *judge.Result) []doc.Fact {
	var out []doc.Fact
	for _, s := range wording.Leaves(r.Steps, nil) {
		out = append(out, rung(r, s))
	}
	const most = 8
	if len(out) > most {
		n := len(out) - most
		out = append(out[:most:most], doc.Fact{Label: "and " + wording.Counted(n, "reading", "readings") + " more"})
	}
	return out
}

// rung is the line of one recorded fact.
func rung(r *judge.Result, s eval.Step) doc.Fact {
	about, e := r.Subject, doc.Fact{Label: wording.Visible(s.Name), Amount: wording.StepAmount(r, s)}
	switch {
	case s.What == eval.StepCorrection:
		e.Label += " to " + s.Method
		if s.Amount.Base > 0 {
			e.Amount = "+" + e.Amount
		}
	case s.Method != "":
		e.Label += " by " + s.Method
	}
	var notes []string
	if s.Club != "" && len(about.Clubs) != 1 {
		notes = append(notes, "of "+wording.Visible(s.Club))
	}
	if s.Half.Known() {
		notes = append(notes, "+/- "+s.Half.Written()+" as stated")
	}
	if s.U.Known() && s.U.Base > 0 {
		notes = append(notes, "u "+wording.Above(s.U))
	}
	switch s.What {
	case eval.StepMean:
		notes = append(notes, "mean of "+wording.Counted(len(s.Sub), "reading", "readings")+": "+values(r, s.Sub))
	case eval.StepChart:
		e.Label = "chart " + e.Label
		notes = append(notes, wording.SpanLine(s.Line))
	case eval.StepCorrection:
		if !s.Line.IsZero() {
			notes = append(notes, wording.SpanLine(s.Line))
		}
	case eval.StepDefault:
		notes = append(notes, "the cell is empty, "+wording.SpanLine(s.Line))
	case eval.StepMissing:
		e.Amount = "not measured"
	case eval.StepLet, eval.StepSet, eval.StepDifference, eval.StepLimit:
	case eval.StepSimulation:
		e.Label, notes = "by simulation", append(notes, "each reading drawn many times within its uncertainty")
	case eval.StepCondition, eval.StepException:
		e.Amount = s.Truth.String()
	}
	if s.What == eval.StepException {
		e.Label = "unless " + e.Label
	}
	if s.What == eval.StepReading || s.What == eval.StepMean || s.What == eval.StepMissing {
		notes = append(notes, where(about, s)...)
	}
	e.Note = strings.Join(notes, ", ")
	return e
}

// where is the cell that a reading comes from: of one club the column, since the
// heading of the block says the row.
func where(about judge.Subject, s eval.Step) []string {
	var out []string
	switch {
	case s.Place.Row == 0 || len(about.Clubs) == 1:
	case s.Place.File != about.File:
		out = append(out, rowWords(s.Place))
	default:
		out = append(out, "row "+strconv.Itoa(s.Place.Row))
	}
	if s.Column != "" {
		out = append(out, "column "+wording.Visible(s.Column))
	}
	return out
}

// rowWords is "bags.csv row 4".
func rowWords(p club.Row) string { return wording.File(p.File) + " row " + strconv.Itoa(p.Row) }

// values lists amounts, their unit once where they share it: "44 3/4, 44 7/8 in".
func values(r *judge.Result, steps []eval.Step) string {
	texts := make([]string, len(steps))
	for i, s := range steps {
		texts[i] = wording.StepAmount(r, s)
		if u := s.Amount.Unit; i < len(steps)-1 && u != nil && !s.Amount.Swing && u.Name != "" && steps[i+1].Amount.Unit == u {
			texts[i] = strings.TrimSuffix(texts[i], " "+u.Name)
		}
	}
	return strings.Join(texts, ", ")
}

// valueFacts are the value, its uncertainty, its limit, the distance and the decision.
// After a ladder of readings the value is said only where it is not the reading itself.
func valueFacts(r *judge.Result, after, full bool) []doc.Fact {
	var out []doc.Fact
	if r.Value.Known() {
		if leaf := wording.Leaves(r.Steps, nil); !after || len(leaf) == 0 || leaf[0].Amount.Base != r.Value.Base || leaf[0].Name+byMethod(leaf[0].Method) != wording.ValueName(r.Rule) {
			out = append(out, doc.Fact{Label: "value", Amount: r.Figure(r.Value), Note: wording.ValueName(r.Rule)})
		}
	} else if r.Verdict != decide.Exempt && r.Bound == nil {
		e := doc.Fact{Label: "asked", Note: wording.ValueName(r.Rule)}
		switch r.Verdict {
		case decide.Fail:
			e.Amount = "does not hold"
		case decide.Pass:
			e.Amount = "holds"
		}
		out = append(out, e)
	}
	if r.Uncertainty.Known() {
		e := doc.Fact{Label: "uncertainty", Amount: wording.Above(r.Uncertainty),
			Note: "standard uncertainty of the value"}
		if r.Simulated {
			e.Note += ", by simulation"
		}
		out = append(out, e)
	}
	if words, amount := wording.Limit(r); words != "" {
		e := doc.Fact{Label: "limit", Amount: words + " " + amount}
		if r.Bound != nil {
			if text := wording.Visible(r.Bound.Words()); text != e.Amount {
				e.Note = text
			}
		}
		out = append(out, e)
	} else if r.Bound != nil && r.Verdict == decide.Unmeasured {
		out = append(out, doc.Fact{Label: "limit", Note: wording.Visible(r.Bound.Words())})
	}
	if words := wording.Acceptance(r, full); words != "" {
		out = append(out, doc.Fact{Label: "passes", Note: words})
	}
	words, amount := wording.Distance(r)
	switch {
	case words != "":
		out = append(out, doc.Fact{Label: words, Amount: amount, Note: decided(r)})
	case r.Verdict == decide.Pass && r.Margin.Known():
		out = append(out, doc.Fact{Label: "inside by", Amount: r.Figure(r.Margin), Note: decided(r)})
	case r.Verdict == decide.Fail || r.Verdict == decide.Pass || r.Verdict == decide.TooClose:
		out = append(out, doc.Fact{Label: "decided", Note: decided(r)})
	}
	return out
}

func byMethod(method string) string {
	if method == "" {
		return ""
	}
	return " by " + method
}

// decided is the decision as it was applied.
func decided(r *judge.Result) string {
	s := wording.Decision(r.Decision)
	if r.Decision.Kind == decide.Simple {
		s = "decided simply"
		if !r.Rule.Stated {
			s += ", as none is stated"
		}
	}
	if p := data.Number(r.Probability); p != nil && r.Decision.Kind != decide.Simple {
		s += fmt.Sprintf(": it conforms with a probability of %s %%", wording.Percent(*p, r.Decision.Level))
	} else if r.Decision.Kind != decide.Simple && !r.Uncertainty.Known() && r.Value.Known() {
		s += ", " + wording.Certain(r)
	}
	return s
}

// tree is every recorded fact with those behind it.
func tree(r *judge.Result, steps []eval.Step, depth int, out []doc.Fact) []doc.Fact {
	for _, s := range steps {
		e := rung(r, s)
		e.Level = depth
		if !s.Line.IsZero() && s.What != eval.StepChart && s.What != eval.StepDefault && s.What != eval.StepCorrection {
			e.Note = strings.TrimPrefix(e.Note+", line "+strconv.Itoa(s.Line.Line()), ", ")
		}
		if note := wording.Note(s); note != "" {
			e.Note = strings.TrimPrefix(e.Note+", "+wording.Visible(note), ", ")
		}
		switch s.What {
		case eval.StepReading:
			e.Label = "read " + e.Label
		case eval.StepLet:
			e.Label = "let " + e.Label
		case eval.StepLimit:
			continue
		}
		out = append(out, e)
		out = tree(r, s.Sub, depth+1, out)
	}
	return out
}

// written are the rule's own lines.
func written(r *judge.Result) []string {
	var out []string
	span := r.Rule.Decl.Span
	for n := span.Line(); n <= span.EndPos().Line; n++ {
		if text := wording.Visible(strings.TrimRight(span.File.Line(n), " \t")); text != "" {
			out = append(out, text)
		}
	}
	return out
}

// title names a subject: "d1 (driver)", "i5 and i6"; of a set "the whole set".
func title(s judge.Subject) string {
	switch {
	case len(s.Clubs) == 0:
		return "the whole set"
	case s.Kind == ast.OfNeighbours && len(s.Clubs) > 2:
		names := make([]string, 0, len(s.Clubs))
		for _, c := range s.Clubs[1:] {
			names = append(names, wording.Visible(c.ID))
		}
		return clubName(s.Clubs[0]) + " beside " + strings.Join(names, ", ")
	}
	names := make([]string, len(s.Clubs))
	for i, c := range s.Clubs {
		names[i] = clubName(c)
	}
	return list(names)
}

// clubName is "d1 (driver)", or the id alone where it says as much.
func clubName(c *club.Club) string {
	name := wording.Visible(c.ID)
	if c.Name != "" && !strings.HasPrefix(c.ID, c.Name) {
		name += " (" + wording.Visible(c.Name) + ")"
	}
	if c.Setting != "" {
		name += " at " + wording.Visible(c.Setting)
	}
	return name
}

// setBefore is the name of a set before something that is said of it on one line; nothing where it has none.
func setBefore(s judge.Subject) string {
	if s.Set == "" {
		return ""
	}
	return wording.Visible(s.Set) + ", "
}

// subjectLine names a subject, and its row.
func subjectLine(s judge.Subject) (left, right string) {
	left = setBefore(s) + title(s)
	switch len(s.Clubs) {
	case 0:
		right = wording.File(s.File)
	case 1:
		right = rowWords(s.Clubs[0].Place())
	default:
		var rows []string
		for _, c := range s.Clubs {
			rows = append(rows, strconv.Itoa(c.Place().Row))
		}
		right = wording.File(s.Clubs[0].Place().File) + " rows " + list(rows)
	}
	return left, right
}

// faultFacts say what is wrong where the books disagree with themselves, and show both places.
func faultFacts(c *judge.Conflict) []doc.Fact {
	return append([]doc.Fact{{Label: "wrong", Note: wording.Visible(wording.Conflicting(c))}}, placeFacts(c)...)
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
