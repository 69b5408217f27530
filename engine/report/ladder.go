package report

// This file turns the facts behind a result into the lines of the report for the
// bench: a short ladder from the reading to the decision, or everything.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
)

// explained is what was read, the value, its limit, how far it is off and the mend, as
// the lines of a block; in full with every fact, the budget of the uncertainty and the
// rule's own lines.
func explained(r *engine.Result, indent int, full bool) string {
	out := facts(r, full)
	if !full {
		return block(indent, append(out, entry{label: "rule", note: bookLine(r.Rule.Decl.Span, r.Rule.Book)}))
	}
	s := block(indent, out)
	if len(r.Budget) > 0 {
		s += "\n" + budgetTable(indent, r.Budget) + "\n"
	}
	out = nil
	for _, c := range r.Rule.Decl.Cites {
		out = append(out, entry{label: "cite", note: Visible(c.Text.Value)})
	}
	out = append(out, entry{label: "the rule says", note: bookLine(r.Rule.Decl.Span, r.Rule.Book)})
	return s + block(indent, append(out, written(r)...))
}

// facts are the lines of what led to a result: a short ladder, or in full every fact.
func facts(r *engine.Result, full bool) []entry {
	var out []entry
	if full {
		out = tree(r, r.Steps, 0, out)
	} else {
		out = rungs(r)
	}
	out = append(out, value(r, len(out) > 0 && !full, full)...)
	if r.Exception != nil {
		out = append(out, entry{label: "exception", note: oneLine(r.Exception.Span) + ", " + bookLine(r.Exception.Span, r.Rule.Book)})
	}
	if len(r.Reasons) > 0 {
		for i, why := range r.Reasons {
			label := "because"
			if i > 0 {
				label = ""
			}
			out = append(out, entry{label: label, note: Visible(why)})
		}
		if len(r.Needs) > 0 {
			out = append(out, entry{label: "would decide it", note: Visible(strings.Join(r.Needs, ", "))})
		}
	}
	if words := settled(r); words != "" {
		out = append(out, entry{label: "next", note: words})
	}
	if r.Mend != "" {
		out = append(out, entry{label: "mend", note: Visible(r.Mend)})
	}
	return out
}

// rungs are the readings and chart rows that a result rests on.
func rungs(r *engine.Result) []entry {
	var out []entry
	for _, s := range leaves(r.Steps, nil) {
		out = append(out, rung(r, s))
	}
	const most = 8
	if len(out) > most {
		n := len(out) - most
		out = append(out[:most:most], entry{label: "and " + counted(n, "reading", "readings") + " more"})
	}
	return out
}

// leaves gathers the facts that come off a sheet or a chart, each once; those
// behind exceptions are left out.
func leaves(steps, found []engine.Step) []engine.Step {
	for _, s := range steps {
		switch what := s.What; {
		case what == engine.StepReading, what == engine.StepMean, what == engine.StepMissing, what == engine.StepChart, what == engine.StepCorrection, isSpan(s):
			if !slices.ContainsFunc(found, func(f engine.Step) bool {
				return f.What == s.What && f.Name == s.Name && f.Club == s.Club && f.Place == s.Place && f.Method == s.Method && f.Amount == s.Amount && f.Text == s.Text
			}) {
				found = append(found, s)
			}
		case what == engine.StepException:
		default:
			found = leaves(s.Sub, found)
		}
	}
	return found
}

// rung is the line of one recorded fact.
func rung(r *engine.Result, s engine.Step) entry {
	about, e := r.Subject, entry{label: Visible(s.Name), amount: stepAmount(r, s)}
	switch {
	case s.What == engine.StepCorrection:
		e.label += " to " + s.Method
		if s.Amount.Base > 0 {
			e.amount = "+" + e.amount
		}
	case s.Method != "":
		e.label += " by " + s.Method
	}
	var notes []string
	if s.Club != "" && len(about.Clubs) != 1 {
		notes = append(notes, "of "+Visible(s.Club))
	}
	if s.Half.Known() {
		notes = append(notes, "+/- "+s.Half.Written()+" as stated")
	}
	if s.U.Known() && s.U.Base > 0 {
		notes = append(notes, "u "+above(s.U))
	}
	switch s.What {
	case engine.StepMean:
		notes = append(notes, "mean of "+counted(len(s.Sub), "reading", "readings")+": "+values(r, s.Sub))
	case engine.StepChart:
		e.label = "chart " + e.label
		notes = append(notes, spanLine(s.Line))
	case engine.StepCorrection:
		if !s.Line.IsZero() {
			notes = append(notes, spanLine(s.Line))
		}
	case engine.StepMissing:
		e.amount = "not measured"
	case engine.StepLet, engine.StepSet, engine.StepDifference, engine.StepLimit:
	case engine.StepSimulation:
		e.label, notes = "by simulation", append(notes, "each reading drawn many times within its uncertainty")
	case engine.StepCondition, engine.StepException:
		e.amount = s.Truth.String()
	}
	if s.What == engine.StepException {
		e.label = "unless " + e.label
	}
	if s.What == engine.StepReading || s.What == engine.StepMean || s.What == engine.StepMissing {
		notes = append(notes, where(about, s)...)
	}
	e.note = strings.Join(notes, ", ")
	return e
}

// where is the cell that a reading comes from: of one club the column, since the
// heading of the block says the row.
func where(about engine.Subject, s engine.Step) []string {
	var out []string
	switch {
	case s.Place.Row == 0 || len(about.Clubs) == 1:
	case s.Place.File != about.File:
		out = append(out, rowWords(s.Place))
	default:
		out = append(out, "row "+strconv.Itoa(s.Place.Row))
	}
	if s.Column != "" {
		out = append(out, "column "+Visible(s.Column))
	}
	return out
}

// rowWords is "bags.csv row 4".
func rowWords(p club.Row) string { return fileWords(p.File) + " row " + strconv.Itoa(p.Row) }

// values lists amounts, their unit once where they share it: "44 3/4, 44 7/8 in".
func values(r *engine.Result, steps []engine.Step) string {
	texts := make([]string, len(steps))
	for i, s := range steps {
		texts[i] = stepAmount(r, s)
		if u := s.Amount.Unit; i < len(steps)-1 && u != nil && !s.Amount.Swing && u.Name != "" && steps[i+1].Amount.Unit == u {
			texts[i] = strings.TrimSuffix(texts[i], " "+u.Name)
		}
	}
	return strings.Join(texts, ", ")
}

// value is the value, its uncertainty, its limit, the distance and the decision.
// After a ladder of readings the value is said only where it is not the reading itself.
func value(r *engine.Result, after, full bool) []entry {
	var out []entry
	if r.Value.Known() {
		if leaf := leaves(r.Steps, nil); !after || len(leaf) == 0 || leaf[0].Amount.Base != r.Value.Base || leaf[0].Name+byMethod(leaf[0].Method) != valueName(r.Rule) {
			out = append(out, entry{label: "value", amount: r.Figure(r.Value), note: valueName(r.Rule)})
		}
	} else if r.Verdict != decide.Exempt && r.Bound == nil {
		e := entry{label: "asked", note: valueName(r.Rule)}
		switch r.Verdict {
		case decide.Fail:
			e.amount = "does not hold"
		case decide.Pass:
			e.amount = "holds"
		}
		out = append(out, e)
	}
	if r.Uncertainty.Known() {
		e := entry{label: "uncertainty", amount: above(r.Uncertainty), note: "standard uncertainty of the value"}
		if r.Simulated {
			e.note += ", by simulation"
		}
		out = append(out, e)
	}
	if words, amount := limitWords(r); words != "" {
		e := entry{label: "limit", amount: words + " " + amount}
		if r.Bound != nil {
			if text := Visible(r.Bound.Words()); text != e.amount {
				e.note = text
			}
		}
		out = append(out, e)
	} else if r.Bound != nil && r.Verdict == decide.Unmeasured {
		out = append(out, entry{label: "limit", note: Visible(r.Bound.Words())})
	}
	if words := acceptance(r, full); words != "" {
		out = append(out, entry{label: "passes", note: words})
	}
	words, amount := distance(r)
	switch {
	case words != "":
		out = append(out, entry{label: words, amount: amount, note: decided(r)})
	case r.Verdict == decide.Pass && r.Margin.Known():
		out = append(out, entry{label: "inside by", amount: r.Figure(r.Margin), note: decided(r)})
	case r.Verdict == decide.Fail || r.Verdict == decide.Pass || r.Verdict == decide.TooClose:
		out = append(out, entry{label: "decided", note: decided(r)})
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
func decided(r *engine.Result) string {
	s := decisionWords(r.Decision)
	if r.Decision.Kind == decide.Simple {
		s = "decided simply"
		if !r.Rule.Stated {
			s += ", as none is stated"
		}
	}
	if p := number(r.Probability); p != nil && r.Decision.Kind != decide.Simple {
		s += fmt.Sprintf(": it conforms with a probability of %s %%", percent(*p, r.Decision.Level))
	} else if r.Decision.Kind != decide.Simple && !r.Uncertainty.Known() && r.Value.Known() {
		s += ", " + certain(r)
	}
	return s
}

// percent is a probability in per cent with three digits, or with as many as it takes that it is
// seen to lie on its side of the level of a decision and of what the level leaves.
func percent(p, level float64) string {
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
	n := engine.Finer(func(finer int) bool {
		return in(finer) < 100 && (in(finer) >= 100*level) == (p >= level) && (in(finer) < 100-100*level) == (p < 1-level)
	})
	return strconv.FormatFloat(in(n), 'f', -1, 64)
}

// tree is every recorded fact with those behind it.
func tree(r *engine.Result, steps []engine.Step, depth int, out []entry) []entry {
	for _, s := range steps {
		e := rung(r, s)
		e.indent = 2 * depth
		if !s.Line.IsZero() && s.What != engine.StepChart && s.What != engine.StepCorrection {
			e.note = strings.TrimPrefix(e.note+", line "+strconv.Itoa(s.Line.Line()), ", ")
		}
		if s.Note != "" {
			e.note = strings.TrimPrefix(e.note+", "+Visible(s.Note), ", ")
		}
		switch s.What {
		case engine.StepReading:
			e.label = "read " + e.label
		case engine.StepLet:
			e.label = "let " + e.label
		case engine.StepLimit:
			continue
		}
		out = append(out, e)
		out = tree(r, s.Sub, depth+1, out)
	}
	return out
}

// written are the rule's own lines.
func written(r *engine.Result) []entry {
	var out []entry
	span := r.Rule.Decl.Span
	for n := span.Line(); n <= span.EndPos().Line; n++ {
		if text := Visible(strings.TrimRight(span.File.Line(n), " \t")); text != "" {
			out = append(out, entry{label: text, indent: 2, verbatim: true})
		}
	}
	return out
}

// title names a subject: "d1 (driver)", "i5 and i6"; of a set "the whole set".
func title(s engine.Subject) string {
	switch {
	case len(s.Clubs) == 0:
		return "the whole set"
	case s.Kind == ast.OfNeighbours && len(s.Clubs) > 2:
		names := make([]string, 0, len(s.Clubs))
		for _, c := range s.Clubs[1:] {
			names = append(names, Visible(c.ID))
		}
		return clubName(s.Clubs[0]) + " beside " + strings.Join(names, ", ")
	}
	names := make([]string, len(s.Clubs))
	for i, c := range s.Clubs {
		names[i] = clubName(c)
	}
	return strings.Join(names, " and ")
}

// clubName is "d1 (driver)", or the id alone where it says as much.
func clubName(c *club.Club) string {
	name := Visible(c.ID)
	if c.Name != "" && !strings.HasPrefix(c.ID, c.Name) {
		name += " (" + Visible(c.Name) + ")"
	}
	if c.Setting != "" {
		name += " at " + Visible(c.Setting)
	}
	return name
}
