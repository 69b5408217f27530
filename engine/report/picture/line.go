// Package picture makes the tables and pictures of pages from results, as data: it says what is where, and a drawing
// says how it looks.
//
// line.go makes the number line of a result, clubs.go the table of the clubs of a bag and the work on them, steps.go the
// steps of a set, taken.go how lengths were taken, plans.go the pictures of the other commands.
package picture

import (
	"math"
	"strings"

	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Tone is the tone of a verdict.
func Tone(v decide.Verdict) doc.Tone {
	switch v {
	case decide.Fail:
		return doc.Fail
	case decide.TooClose, decide.Unmeasured:
		return doc.Open
	}
	return doc.Pass
}

// figures writes values of a scale like an amount, without the unit.
func figures(like unit.Amount) func(base float64) string {
	return func(base float64) string {
		like.Base = base
		return like.Unit.Bare(like.String())
	}
}

// expanded is how far a value may be off either way; 0 where that is not known.
func expanded(r *judge.Result) float64 {
	if !r.Uncertainty.Known() || r.Uncertainty.Base == 0 {
		return 0
	}
	return r.Uncertainty.Base * r.Spread().Coverage()
}

// Line is the number line of a result: the limit with its allowance, where readings pass, and the value with how far it
// may be off, beside what was read where that is another. It is nil of a result that is not such a comparison.
func Line(r *judge.Result) *doc.Lanes {
	words, limit := wording.Limit(r)
	if words == "" || !r.Value.Known() || r.Bound == nil {
		return nil
	}
	out := &doc.Lanes{Title: wording.Subject(r.Subject) + ": " + wording.ValueName(r.Rule),
		Unit: r.Value.Unit, Figure: figures(r.Value)}
	add := func(words string, parts ...doc.Stretch) {
		out.List = append(out.List, doc.Lane{Words: words, Parts: parts})
		out.Text += words + ". "
	}
	limits := "Limit: " + words + " " + limit
	if _, allowing, ok := strings.Cut(wording.Visible(r.Bound.Words()), " allowing "); ok {
		limits += ", with an allowance of " + allowing
	}
	add(limits, within(r)...)
	for _, end := range []unit.Amount{r.Lower, r.Upper} {
		if end.Known() {
			out.Lines = append(out.Lines, end.Base)
		}
	}
	if words := wording.Acceptance(r, false); words != "" {
		var parts []doc.Stretch
		if from, to := ends(r.PassFrom, r.PassTo); from <= to && !r.NoneCanPass && (r.PassFrom.Known() || r.PassTo.Known()) {
			parts = append(parts, doc.Stretch{Look: doc.Solid, From: from, To: to})
		}
		add("Passes "+words, parts...)
	}
	u, says := expanded(r), "Value: "+r.Figure(r.Value)
	if off := wording.OffBy(r); off != "" {
		says = r.Value.Unit.Bare(says) + " ± " + off
	}
	add(says, doc.Stretch{Look: doc.Read, Tone: Tone(r.Verdict), At: r.Value.Base, From: r.Value.Base - u, To: r.Value.Base + u})
	for _, raw := range converted(r) {
		add("Read: "+wording.StepAmount(r, raw)+" by "+wording.Visible(raw.Method),
			doc.Stretch{Look: doc.Read, At: raw.Amount.Base, From: raw.Amount.Base, To: raw.Amount.Base})
	}
	out.Text = strings.TrimSpace(out.Text)
	return out
}

// ends are two ends as numbers, infinite if there is none.
func ends(low, high unit.Amount) (from, to float64) {
	from, to = math.Inf(-1), math.Inf(1)
	if low.Known() {
		from = low.Base
	}
	if high.Known() {
		to = high.Base
	}
	return from, to
}

// within is where a value may lie: within the limits as they are stated, and what an allowance adds.
func within(r *judge.Result) []doc.Stretch {
	from, to := ends(r.Lower, r.Upper)
	low, high := stated(r.Bound.Low, from), stated(r.Bound.High, to)
	if low >= high { // a target with a tolerance
		return []doc.Stretch{{From: from, To: to}}
	}
	out := []doc.Stretch{{From: low, To: high}}
	if from < low {
		out = append(out, doc.Stretch{Look: doc.Off, From: from, To: low})
	}
	if to > high {
		out = append(out, doc.Stretch{Look: doc.Off, From: high, To: to})
	}
	return out
}

// stated is where an end lies as it is written, without an allowance; else where it lies.
func stated(e *book.End, at float64) float64 {
	if e != nil {
		if k := e.At.Constant(); k != nil {
			return k.Base
		}
	}
	return at
}

// converted are the lengths of a club that were read by another method than the rule asks for.
func converted(r *judge.Result) (out []eval.Step) {
	if len(r.Subject.Clubs) != 1 {
		return nil
	}
	leaves := wording.Leaves(r.Steps, nil)
	for i, s := range leaves {
		if i+1 < len(leaves) && s.Amount.Known() && s.Method != "" && leaves[i+1].What == eval.StepCorrection {
			out = append(out, s)
		}
	}
	return out
}
