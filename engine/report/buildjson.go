package report

// This file writes cutting plans for other programs: the schema "ferrule.build/1".

import (
	"slices"

	"ferrule/engine/build"
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
	out := jsonBuild{Set: set, ID: k.Club.ID, Shaft: k.Shaft, Unmarked: k.Unmarked, Target: amountOf(k.Target, true),
		Finished: amountOf(k.Finished, true), ButtCut: amountOf(k.ButtCut, true), ShortBy: amountOf(k.ShortBy, true),
		LeftOver: amountOf(k.ButtCut, true), Extension: amountOf(k.Extension, true), Expected: amountOf(k.Expected.Value, true),
		Swing: amountOf(k.Swing.Weight, true), AddToHead: amountOf(k.Swing.AddToHead, true),
		Expanded: upOf(k.Expected.Expanded),
		Needs:    append([]string{}, k.Needs...), Reasons: k.Reasons, File: k.Club.Place().File, Row: k.Club.Row}
	if k.Target.Known() {
		out.By = textOrNull(k.By)
	}
	if d := k.Dry; d != nil {
		out.Dry = &jsonDry{Expected: amountOf(d.Expected, true), Difference: amountOf(d.Difference, true), Expanded: upOf(d.Expanded),
			Verdict: d.Fit.String(), Needs: d.Needs, Reasons: d.Reasons}
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
