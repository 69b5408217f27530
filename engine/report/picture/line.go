// Package picture makes the tables and pictures of pages from results, as data: it says what is where, and a drawing
// says how it looks.
//
// line.go makes the number line of a result, clubs.go the table of the clubs of a bag and the work on them. steps.go
// makes the steps of a set, taken.go how lengths were taken, plans.go the pictures of the other commands.
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
	"ferrule/lang/lists"
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

// lanesOf is a picture of lanes on a scale of amounts like one. What it shows is what their words say.
func lanesOf(title string, like unit.Amount, list ...doc.Lane) *doc.Lanes {
	out := &doc.Lanes{Title: title, Unit: like.Unit, Figure: figures(like), List: list}
	says := lists.Each(list, func(l doc.Lane) string { return l.Words + "." })
	out.Text = strings.Join(says, " ")
	return out
}

// reading is a lane with a value that may be off by so much.
func reading(words string, tone doc.Tone, at, off float64) doc.Lane {
	part := doc.Stretch{Look: doc.Read, Tone: tone, At: at, From: at - off, To: at + off}
	return doc.Lane{Words: words, Parts: []doc.Stretch{part}}
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
	limits := "Limit: " + words + " " + limit
	if _, allowing, ok := strings.Cut(wording.Visible(r.Bound.Words()), " allowing "); ok {
		limits += ", with an allowance of " + allowing
	}
	list := []doc.Lane{{Words: limits, Parts: within(r)}}
	if words := wording.Acceptance(r, false); words != "" {
		passes := doc.Lane{Words: "Passes " + words}
		from, to := ends(r.PassFrom, r.PassTo)
		if from <= to && !r.NoneCanPass && (r.PassFrom.Known() || r.PassTo.Known()) {
			passes.Parts = []doc.Stretch{{Look: doc.Solid, From: from, To: to}}
		}
		list = append(list, passes)
	}
	value := "Value: " + r.Figure(r.Value)
	if off := wording.OffBy(r); off != "" {
		value = r.Value.Unit.Bare(value) + " ± " + off
	}
	list = append(list, reading(value, Tone(r.Verdict), r.Value.Base, expanded(r)))
	for _, raw := range converted(r) {
		read := "Read: " + wording.StepAmount(r, raw) + " by " + wording.Visible(raw.Method)
		list = append(list, reading(read, doc.Plain, raw.Amount.Base, 0))
	}
	out := lanesOf(wording.Subject(r.Subject)+": "+wording.ValueName(r.Rule), r.Value, list...)
	out.Lines = r.Ends()
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
		read := s.What == eval.StepReading && s.Amount.Known() && s.Method != ""
		if read && i+1 < len(leaves) && leaves[i+1].What == eval.StepCorrection {
			out = append(out, s)
		}
	}
	return out
}
