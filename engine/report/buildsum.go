package report

// This file writes out the sum of a cut, term by term, in the words of a cutting list's columns.

import (
	"ferrule/engine/build"
	"ferrule/engine/eval"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/unit"
)

// groundToTip says what the bore is, since many builders use the word for how deep a shaft goes in.
const groundToTip = "from where the tip stops in the head to the ground, along the axis; " +
	"it is not how deep the shaft goes in"

// cutSum is how a cut was worked out: from the target to the finished shaft, and from the raw shaft to
// what comes off its butt.
func cutSum(k *build.Club) []doc.Fact {
	if !k.Finished.Known() {
		return nil
	}
	var e []doc.Fact
	add := func(label string, a unit.Amount, note string) {
		e = append(e, doc.Fact{Label: label, Amount: a.String(), Note: note})
	}
	add("target-length", k.Target, "by "+k.By)
	edge, atButt := k.Target, true
	var last *eval.Step
	for i := range k.Over {
		s := &k.Over[i]
		switch s.Name {
		case "cap":
			atButt, last = false, s
			continue
		case "crown":
			add("less crown", s.Amount, wording.SpanLine(s.Line))
		default:
			add("less "+s.Name, s.Amount, "what "+k.By+" reads beyond a rule at the club's own lie; "+wording.SpanLine(s.Line))
		}
		edge.Base -= s.Amount.Base
	}
	if !atButt {
		add("= to the cap's edge", edge, "at the club's own lie")
		add("less cap", last.Amount, wording.SpanLine(last.Line))
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
