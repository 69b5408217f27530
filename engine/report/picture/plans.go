package picture

// This file makes the pictures of plans, of agreement, of risk and of two editions.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine/build"
	"ferrule/engine/compare"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/trim"
	"ferrule/lang/unit"
)

// Cutting is what to do to a shaft, in its order, with a picture of the shaft to scale.
func Cutting(k *build.Club) doc.Work {
	out := doc.Work{Title: "Shaft " + wording.Visible(k.Shaft) + " into " + wording.Called(k.Club), Big: true}
	say := func(words string) { out.Steps = append(out.Steps, words) }
	switch { // before the first cut
	case k.Short():
		say("Cut nothing yet: with nothing off the butt the shaft is still too short by " + k.ShortBy.String() + ".")
		return out
	case !k.ButtCut.Known():
		say("Cut nothing yet: something is missing, see below.")
		return out
	case k.TipTrim.Base > 0:
		say("Tip: cut " + k.TipTrim.Written() + " off, before anything else.")
	default:
		say("Tip: cut nothing off.")
	}
	if k.ButtCut.Base > 0 {
		say("Measure again: " + k.Finished.String() + " from trimmed tip to cut.")
		say("Butt: cut " + k.ButtCut.String() + " off.")
	} else {
		say("Butt: cut nothing off.")
	}
	if v := k.Expected.Value; v.Known() {
		say("It plays to " + v.String() + " by " + wording.Visible(k.By) + ".")
	}
	if k.Raw.Known() && k.TipTrim.Known() {
		out.Line = shaft(k)
	}
	return out
}

// shaft is a raw shaft to scale, its tip at the left: what comes off, what stays, and the cap beyond it.
func shaft(k *build.Club) *doc.Lanes {
	tip, butt := k.TipTrim.Base, k.TipTrim.Base+k.Finished.Base
	raw := []doc.Stretch{{Look: doc.Solid, From: tip, To: butt}, {Look: doc.Off, From: butt, To: k.Raw.Base}}
	if tip > 0 {
		raw = append(raw, doc.Stretch{Look: doc.Off, From: 0, To: tip})
	}
	all := doc.Lane{Words: "raw " + k.Raw.String() + ", tip left", Parts: raw}
	out := lanesOf("Shaft "+wording.Visible(k.Shaft), k.Raw, all)
	out.Lines = []float64{tip, butt}
	out.Text = fmt.Sprintf("From the tip at the left: %s off the tip, %s finished, %s left over at the butt, of a raw "+
		"shaft of %s.", k.TipTrim, k.Finished, k.ButtCut, k.Raw)
	for _, s := range k.Over {
		if s.Name == "cap" && s.Amount.Known() {
			cap := doc.Stretch{Look: doc.Solid, From: butt, To: butt + math.Abs(s.Amount.Base)}
			out.List = append(out.List, doc.Lane{Words: "cap " + s.Amount.String(), Parts: []doc.Stretch{cap}})
			out.Text += " The cap comes beyond the butt as cut."
		}
	}
	return out
}

// Sum is how a cut was worked out, term by term in the words of a cutting list: from the target to the finished shaft,
// and from the raw shaft to what comes off its butt.
func Sum(k *build.Club) []doc.Fact {
	if !k.Finished.Known() {
		return nil
	}
	var e []doc.Fact
	add := func(label string, a unit.Amount, note string) {
		e = append(e, doc.Fact{Label: label, Amount: a.String(), Note: note})
	}
	add("target-length", k.Target, "by "+k.By)
	edge := k.Target
	var cap *eval.Step
	for i := range k.Over {
		s := &k.Over[i]
		if s.Name == "cap" {
			cap = s
			continue
		}
		note := wording.BookLine(s.Line)
		if s.Name != "crown" {
			note = "what " + k.By + " reads beyond a rule at the club's own lie; " + note
		}
		add("less "+s.Name, s.Amount, note)
		edge.Base -= s.Amount.Base
	}
	if cap != nil {
		add("= to the cap's edge", edge, "at the club's own lie")
		add("less cap", cap.Amount, wording.BookLine(cap.Line))
	}
	add("less bore", k.Bore, "from where the tip stops in the head to the ground")
	add("= finished", k.Finished, "from the trimmed tip")
	if k.Raw.Known() && k.TipTrim.Known() {
		add("raw-length", k.Raw, "")
		add("less tip-trim", k.TipTrim, "")
		if k.Short() {
			left := k.Raw
			left.Base -= k.TipTrim.Base
			add("= left", left, "")
			add("short by", k.ShortBy, "finished less what is left")
		} else {
			add("less finished", k.Finished, "")
			add("= butt cut", k.ButtCut, "")
		}
	}
	return e
}

// Trimmed are the clubs of a plan before and after their cuts, on one scale; nil where nothing is cut or added.
func Trimmed(p *trim.Plan, like *unit.Unit) *doc.Lanes {
	if !slices.ContainsFunc(p.Cuts, func(c trim.Cut) bool { return c.By != 0 }) {
		return nil
	}
	amount := func(nm float64) unit.Amount { return unit.Amount{Base: nm, Unit: like} }
	var list []doc.Lane
	for _, c := range p.Cuts {
		then := c.Length + c.By
		l := doc.Lane{Words: wording.Visible(c.Club.Spoken()) + " " + amount(c.Length).Written()}
		l.Parts = []doc.Stretch{{Look: doc.Solid, From: math.Inf(-1), To: min(then, c.Length)}}
		if c.By != 0 {
			if c.By > 0 {
				l.Words += ", extended"
			}
			l.Words += " to " + doc.Glued(amount(then).Written())
			l.Parts = append(l.Parts, doc.Stretch{Look: doc.Off, From: min(then, c.Length), To: max(then, c.Length)})
		}
		list = append(list, l)
	}
	return lanesOf("Before and after", amount(0), list...)
}

// Agreed is the tone of two readings: whether they agree.
func Agreed(p *compare.Agreement) doc.Tone {
	switch {
	case !p.Told:
		return doc.Open
	case p.Same:
		return doc.Pass
	}
	return doc.Fail
}

// Agreement are two readings with how far each may be off; nil where that is not known.
func Agreement(p *compare.Agreement) *doc.Lanes {
	first := p.Readings[0].Value
	if !p.Told {
		return nil
	}
	var list []doc.Lane
	for i, l := range p.Readings {
		l.Value.Unit = first.Unit
		words, off := [...]string{"first ", "second "}[i]+l.Value.String(), 0.0
		if l.Expanded.Known() {
			off, l.Expanded.Unit = l.Expanded.Base, first.Unit
			words = first.Unit.Bare(words) + " ± " + wording.Rounded(l.Expanded, math.Ceil)
		}
		list = append(list, reading(words, Agreed(p), l.Value.Base, off))
	}
	return lanesOf(wording.Visible(p.Property.Name)+" by two people", first, list...)
}

// Moved is where a value was allowed to lie and is now, with a value that shows it; nil where one of two results has no
// limit.
func Moved(old, new *judge.Result) *doc.Lanes {
	if old == nil || new == nil || old.Bound == nil || new.Bound == nil {
		return nil
	}
	var limits, values []doc.Lane
	for i, r := range []*judge.Result{old, new} {
		words, amount := wording.Limit(r)
		if words == "" || !r.Value.Known() {
			return nil
		}
		when := [...]string{"was: ", "is: "}[i]
		limits = append(limits, doc.Lane{Words: when + words + " " + amount, Parts: within(r)})
		if i == 0 || r.Value != old.Value || r.Verdict != old.Verdict {
			says := r.Figure(r.Value) + " " + when + r.Verdict.String()
			values = append(values, reading(says, Tone(r.Verdict), r.Value.Base, 0))
		}
	}
	return lanesOf("What was allowed, and is", new.Value, slices.Concat(limits, values)...)
}

// Curve is the operating curve of a rule.
func Curve(r *compare.Risk) *doc.Curve {
	out := &doc.Curve{Title: "How one reading is decided, by the true length", Unit: r.Uncertainty.Unit,
		Figure: figures(unit.Amount{Unit: r.Uncertainty.Unit}), Limits: r.Ends(),
		Close: r.Decision.Kind == decide.ThreeWay}
	says := "pass or fail"
	if out.Close {
		says = "pass, fail or are too close to call"
	}
	words, limit := wording.Limit(&r.Result)
	out.Text = fmt.Sprintf("The share of readings that %s, for clubs of each true length; the limit is %s %s.", says,
		words, limit)
	for _, c := range r.Curve() {
		out.Points = append(out.Points, doc.CurvePoint{At: c.True.Base, Pass: c.Pass, Close: c.TooClose, Fail: c.Fail})
	}
	return out
}
