package report

// This file writes cutting plans for other programs: the schema "ferrule.build/1".

import (
	"math"
	"slices"
	"strconv"

	"ferrule/engine"
	"ferrule/engine/build"
	"ferrule/lang/unit"
)

type jsonBuild struct {
	Set       string      `json:"set"`
	ID        string      `json:"id"`
	Shaft     string      `json:"shaft"`
	Unmarked  bool        `json:"shaft_unmarked,omitempty"`
	Target    *jsonAmount `json:"target"`
	By        *string     `json:"by"`
	Finished  *jsonAmount `json:"finished"`
	ButtCut   *jsonAmount `json:"butt_cut"`
	ShortBy   *jsonAmount `json:"short_by"`
	LeftOver  *jsonAmount `json:"left_over"`
	Extension *jsonAmount `json:"extension"`
	Expected  *jsonAmount `json:"expected_length"`
	Swing     *jsonAmount `json:"swingweight"`
	AddToHead *jsonAmount `json:"add_to_head"`
	Expanded  *jsonAmount `json:"expanded_uncertainty"`
	Needs     []string    `json:"needs"`
	Reasons   []string    `json:"reasons,omitempty"`
	Dry       *jsonDry    `json:"dry_fit"`
	File      string      `json:"file"`
	Row       int         `json:"row"`
}

type jsonDry struct {
	Expected   *jsonAmount `json:"expected"`
	Difference *jsonAmount `json:"difference"`
	Expanded   *jsonAmount `json:"expanded_uncertainty"`
	Verdict    string      `json:"verdict"`
	Needs      []string    `json:"needs,omitempty"`
	Reasons    []string    `json:"reasons,omitempty"`
}

type jsonSwap struct {
	Set         string   `json:"set"`
	Shafts      []string `json:"shafts"`
	Heads       []string `json:"heads"`
	Found       []string `json:"found"`
	Probability float64  `json:"probability"`
}

func buildOf(set string, k *build.Club) jsonBuild {
	out := jsonBuild{Set: set, ID: k.Club.ID, Shaft: k.Shaft, Unmarked: k.Unmarked, Target: benchAmount(k.Target),
		Finished: benchAmount(k.Finished), ButtCut: benchAmount(k.ButtCut), ShortBy: benchAmount(k.ShortBy),
		LeftOver: benchAmount(k.ButtCut), Extension: benchAmount(k.Extension), Expected: benchAmount(k.Expected.Value),
		Swing: benchAmount(k.Swing.Weight), AddToHead: benchAmount(k.Swing.AddToHead),
		Expanded: fineAmount(k.Expected.Expanded),
		Needs:    append([]string{}, k.Needs...), Reasons: k.Reasons, File: k.Club.Place().File, Row: k.Club.Row}
	if k.Target.Known() {
		out.By = textOrNull(k.By)
	}
	if d := k.Dry; d != nil {
		out.Dry = &jsonDry{Expected: benchAmount(d.Expected), Difference: benchAmount(d.Difference),
			Expanded: fineAmount(d.Expanded), Verdict: d.Fit.String(), Needs: d.Needs, Reasons: d.Reasons}
	}
	return out
}

// benchAmount is an amount in full with the text that a bench reads: a swing weight and a mass to a tenth.
func benchAmount(a engine.Amount) *jsonAmount {
	out := amountOf(a, false)
	switch {
	case out == nil:
	case a.Swing:
		out.Text = swing(a)
	case a.Unit.Dim == unit.Mass:
		out.Text = strconv.FormatFloat(math.Round(out.Amount*10)/10+0, 'f', -1, 64) + " " + out.Unit
	default:
		out.Text = inches(a)
	}
	return out
}

// fineAmount is an expanded uncertainty in full with its text.
func fineAmount(a engine.Amount) *jsonAmount {
	out := amountOf(a, false)
	if out != nil {
		out.Text = unit.FormatFine(a.Base, a.Unit)
	}
	return out
}

func (b *Builds) addJSON(p *build.Plan) {
	for i := range p.Clubs {
		if b.begun {
			b.w.WriteByte(',')
		}
		b.begun = true
		b.w.WriteString("\n    ")
		b.element(buildOf(p.Set.Name, &p.Clubs[i]))
	}
	add := func(l *jsonList, v any) {
		line := appendJSON(nil, v)
		l.add(line[:len(line)-1])
	}
	for _, s := range p.Swaps {
		add(&b.swaps, jsonSwap{Set: p.Set.Name, Shafts: s.Shafts, Heads: s.Heads, Found: s.Found, Probability: s.Probability})
	}
	for _, r := range slices.Concat(p.Results, p.Later) {
		add(&b.rules, resultOf(r, p.Set))
	}
}

// listed is a list as JSON, its elements on lines of their own.
func listed(l *jsonList) string {
	if l.n == 0 {
		return "[]"
	}
	return "[" + l.String() + "\n  ]"
}
