package data

// This file writes cutting plans: the schema "ferrule.build/1".

import (
	"io"
	"slices"

	"ferrule/engine/build"
	"ferrule/engine/club"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/book"
)

type jsonBuild struct {
	Set       string      `json:"set"`
	ID        string      `json:"id"`
	Club      string      `json:"-" csv:"club"`
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
	out := jsonBuild{Set: set, ID: k.Club.ID, Club: k.Club.Spoken(), Shaft: k.Shaft, Unmarked: k.Unmarked, Target: amountOf(k.Target, true),
		Finished: amountOf(k.Finished, true), ButtCut: amountOf(k.ButtCut, true), ShortBy: amountOf(k.ShortBy, true),
		LeftOver: amountOf(k.ButtCut, true), Extension: amountOf(k.Extension, true),
		Expected: amountOf(k.Expected.Value, true),
		Swing:    amountOf(k.Swing.Weight, true), AddToHead: amountOf(k.Swing.AddToHead, true),
		Expanded: upOf(k.Expected.Expanded),
		Needs:    append([]string{}, value.Needs(k.Lacks)...), Reasons: wording.Reasons(k.Lacks), File: k.Club.Place().File, Row: k.Club.Row}
	if k.Target.Known() {
		out.By = textOrNull(k.By)
	}
	if d := k.Dry; d != nil {
		out.Dry = &jsonDry{Expected: amountOf(d.Expected, true), Difference: amountOf(d.Difference, true),
			Expanded: upOf(d.Expanded),
			Verdict:  d.Fit.String(), Needs: value.Needed(d.Lacks), Reasons: wording.Reasons(d.Lacks)}
	}
	return out
}

// Builds writes plans set by set as they come.
type Builds struct {
	sets
	swaps []jsonSwap
	rules []jsonResult
}

// NewBuilds begins a document of plans.
func NewBuilds(w io.Writer, format string, t Tool, books []*book.Book, on string) *Builds {
	d := newDocument(w, format, "ferrule.build/1", t, jsonBuild{}, jsonSwap{}, jsonResult{}, jsonUnpaired{})
	d.Member("books", booksOf(books))
	d.Member("on", on)
	d.Open("results")
	b := &Builds{sets: sets{Document: d}}
	b.last = func() {
		list(d, "swaps", b.swaps)
		list(d, "rules", b.rules)
	}
	return b
}

// Add writes the plan of a set.
func (b *Builds) Add(p *build.Plan, doubtful []club.Doubt) {
	b.notes.Note(p.Set, doubtful)
	for i := range p.Clubs {
		b.element(buildOf(p.Set.Name, &p.Clubs[i]))
	}
	for _, s := range p.Swaps {
		b.swaps = append(b.swaps, jsonSwap{p.Set.Name, s.Shafts, s.Heads, s.Found, s.Probability})
	}
	for _, r := range slices.Concat(p.Results, p.Later) {
		b.rules = append(b.rules, resultOf(r, p.Set))
	}
}
