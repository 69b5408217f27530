package data

// This file writes plans: of cuts that make a set comply, "ferrule.trim/1", and of clubs to build, "ferrule.build/1".

import (
	"io"
	"math"
	"slices"

	"ferrule/engine/build"
	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/trim"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

type jsonTrim struct {
	Set           string         `json:"set"`
	File          string         `json:"file"`
	Feasible      bool           `json:"feasible"`
	Clubs         []jsonCut      `json:"clubs"`
	Contradiction []string       `json:"contradiction"`
	TooShort      []jsonShort    `json:"too_short"`
	FinerGrid     bool           `json:"finer_grid"`
	TooLarge      bool           `json:"too_large,omitempty"`
	Ring          []jsonLink     `json:"ring,omitempty"`
	Unmeasured    []jsonResult   `json:"unmeasured"`
	Waived        []jsonResult   `json:"waived,omitempty"`
	NotMet        []string       `json:"not_met"` // those of afterwards that were to be met by the plan
	Afterwards    []jsonResult   `json:"afterwards"`
	Conflicts     []jsonConflict `json:"conflicts,omitempty"`
	Needs         []string       `json:"needs"`
}

type jsonCut struct {
	ID      string      `json:"id"`
	Club    string      `json:"-" csv:"club"`
	By      string      `json:"by"`
	From    *jsonAmount `json:"from"`
	To      *jsonAmount `json:"to"`
	Cut     *jsonAmount `json:"cut"`
	Extend  *jsonAmount `json:"extend"`
	HeldBy  *string     `json:"held_by"`
	Mass    *jsonAmount `json:"mass"`
	Balance *jsonAmount `json:"balance"`
	Swing   *jsonAmount `json:"swingweight"`
	Needs   []string    `json:"needs"`
}

// jsonLink is a side of what a rule asks of one club, or of two.
type jsonLink struct {
	Rule    string      `json:"rule"`
	Book    string      `json:"book"`
	Line    int         `json:"line"`
	Clubs   []string    `json:"clubs"`
	Names   []string    `json:"-" csv:"names"`
	Value   *jsonAmount `json:"value"`
	AtLeast *jsonAmount `json:"at_least,omitempty"`
	AtMost  *jsonAmount `json:"at_most,omitempty"`
}

type jsonShort struct {
	ID   string      `json:"id"`
	Club string      `json:"-" csv:"club"`
	By   *jsonAmount `json:"by"`
	Rule *string     `json:"rule"`
}

// Shows reports whether there is a plan to be shown: nothing has to be measured first.
func Shows(p *trim.Plan) bool { return p.Feasible && len(p.Open) == 0 }

// Trims writes plans set by set as they come.
type Trims struct {
	sets
	grid unit.Amount
}

// Cutting is how clubs are cut: by whole steps of Grid, made longer by Extend at the most, and kept Inside each limit.
// Of Extend and Inside no amount means that nobody asked for it.
type Cutting struct{ Grid, Extend, Inside unit.Amount }

// NewTrims begins a document of plans.
func NewTrims(w io.Writer, format string, t Tool, head *Head, how Cutting) *Trims {
	d := head.begin(w, format, "ferrule.trim/1", t, jsonTrim{}, jsonUnpaired{})
	d.Member("grid", amountOf(how.Grid, true))
	if how.Inside.Known() {
		d.Member("inside", amountOf(how.Inside, true))
	}
	d.Open("sets")
	return &Trims{sets{Document: d, last: func() {
		if len(head.Waivers) > 0 {
			d.Member("waivers", waivedOf(head.Waivers))
		}
	}}, how.Grid}
}

// length is a length in the unit of the grid, of which it is whole steps.
func (t *Trims) length(nm float64) *jsonAmount {
	a := unit.Amount{Base: nm, Unit: t.grid.Unit}
	out := amountOf(a, true)
	out.Text = a.Written()
	return out
}

// Add writes the plan of a set; of one without clubs only what is to be said of its rows.
func (t *Trims) Add(p *trim.Plan, doubtful []club.Doubt) {
	t.notes.Note(p.Set, doubtful)
	if len(p.Set.Clubs) == 0 {
		return
	}
	result := func(r *judge.Result) jsonResult { return resultOf(r, p.Set) }
	out := jsonTrim{Set: p.Set.Name, File: p.Set.File, Feasible: Shows(p), FinerGrid: p.Coarse, TooLarge: p.TooLarge,
		Clubs:         lists.Each(p.Cuts, func(c trim.Cut) jsonCut { return t.cutOf(c, Shows(p)) }),
		Contradiction: lists.Each(p.Contradiction, nameOf),
		TooShort: lists.Each(p.TooShort, func(s trim.Short) jsonShort {
			return jsonShort{s.Club.ID, s.Club.Spoken(), t.length(s.By), ruleName(s.Rule)}
		}),
		Ring: lists.Each(p.Ring, linkOf), Waived: lists.Each(p.Waived, result), Unmeasured: lists.Each(p.Open, result),
		NotMet: append([]string{}, BrokenRules(p)...), Afterwards: lists.Each(p.After, result),
		Conflicts: lists.Each(p.Conflicts, func(c *judge.Conflict) jsonConflict { return conflictOf(c, p.Set) }),
		Needs:     append([]string{}, p.Needs...)}
	for _, r := range p.Open {
		out.Needs = lists.Also(out.Needs, value.Needs(r.Lacks)...)
	}
	t.element(out)
}

func (t *Trims) cutOf(c trim.Cut, shown bool) jsonCut {
	out := jsonCut{ID: c.Club.ID, Club: c.Club.Spoken(), By: c.Club.Method, From: t.length(c.Length), Needs: []string{}}
	if !shown {
		return out
	}
	out.To = t.length(c.Length + c.By)
	out.Cut, out.Extend = t.length(math.Max(0, -c.By)), t.length(math.Max(0, c.By))
	out.HeldBy = ruleName(c.HeldBy)
	out.Needs = append(out.Needs, c.Lacks...)
	mass, balance, swing := After(c, t.grid.Unit)
	out.Mass, out.Balance, out.Swing = amountOf(mass, true), amountOf(balance, true), amountOf(swing, true)
	return out
}

// After is what a club will be, as far as it can be foretold.
func After(c trim.Cut, of *unit.Unit) (mass, balance, swing unit.Amount) {
	if c.After.Sound() {
		mass = unit.Amount{Base: c.After.Mass, Unit: unit.Base(unit.Mass)}
		balance = unit.Amount{Base: c.After.Balance, Unit: of}
	}
	if !math.IsNaN(c.Swing) {
		swing = unit.Amount{Base: c.Swing, Unit: unit.Base(unit.Swing), Swing: true}
	}
	return mass, balance, swing
}

// BrokenRules names the rules that were to be met by a plan and are not.
func BrokenRules(p *trim.Plan) []string {
	return lists.Once(lists.Each(p.Broken, func(r *judge.Result) string { return nameOf(r.Rule) }))
}

// ruleName is the name of a rule; nil of none.
func ruleName(r *book.Rule) *string {
	if r == nil {
		return nil
	}
	return &r.Decl.Name.Text
}

// Linked are the clubs of a constraint, as its rule names them.
func Linked(l constrain.Link) judge.Subject {
	c := l.Constraint
	s := judge.Subject{Kind: c.Subject.Kind}
	for _, k := range []*club.Club{c.Plus, c.Minus} {
		if k != nil {
			s.Clubs = append(s.Clubs, k)
		}
	}
	if len(c.Subject.Clubs) == len(s.Clubs) {
		return c.Subject
	}
	return s
}

func linkOf(l constrain.Link) jsonLink {
	c, clubs := l.Constraint, Linked(l).Clubs
	out := jsonLink{Rule: c.Rule.Decl.Name.Text, Book: c.Rule.Book.Name, Line: c.Rule.Decl.Span.Line(),
		Clubs: lists.Each(clubs, idOf), Names: lists.Each(clubs, (*club.Club).Spoken),
		Value: amountOf(unit.Amount{Base: c.Value, Unit: c.Shown}, true)}
	if pass := c.Passing(); l.Upper {
		out.AtMost = amountOf(unit.Amount{Base: pass.High, Unit: c.Shown}, true)
	} else {
		out.AtLeast = amountOf(unit.Amount{Base: pass.Low, Unit: c.Shown}, true)
	}
	return out
}

type jsonBuild struct {
	jsonClub
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
	jsonLacks
	Dry  *jsonDry `json:"dry_fit"`
	File string   `json:"file"`
	Row  int      `json:"row"`
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
	Names       []string `json:"-" csv:"names"`
	Found       []string `json:"found"`
	Probability float64  `json:"probability"`
}

func buildOf(set string, k *build.Club) jsonBuild {
	out := jsonBuild{jsonClub: clubOf(set, k.Club), Shaft: k.Shaft, Unmarked: k.Unmarked,
		Target: amountOf(k.Target, true), Finished: amountOf(k.Finished, true),
		ButtCut: amountOf(k.ButtCut, true), LeftOver: amountOf(k.ButtCut, true),
		ShortBy: amountOf(k.ShortBy, true), Extension: amountOf(k.Extension, true),
		Expected: amountOf(k.Expected.Value, true), Expanded: upOf(k.Expected.Expanded),
		Swing: amountOf(k.Swing.Weight, true), AddToHead: amountOf(k.Swing.AddToHead, true),
		jsonLacks: lacksOf(k.Lacks), File: k.Club.Place().File, Row: k.Club.Row}
	if k.Target.Known() {
		out.By = textOrNull(k.By)
	}
	if d := k.Dry; d != nil {
		out.Dry = &jsonDry{amountOf(d.Expected, true), amountOf(d.Difference.Value, true), upOf(d.Expanded),
			d.Fit.String(), value.Needed(d.Lacks), wording.Reasons(d.Lacks)}
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
func NewBuilds(w io.Writer, format string, t Tool, head *Head) *Builds {
	d := head.begin(w, format, "ferrule.build/1", t, jsonBuild{}, jsonSwap{}, jsonResult{}, jsonUnpaired{})
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
		b.swaps = append(b.swaps, jsonSwap{p.Set.Name, s.Shafts, lists.Each(s.Heads, idOf),
			lists.Each(s.Heads, (*club.Club).Spoken), lists.Each(s.Found, idOf), s.Probability})
	}
	for _, r := range slices.Concat(p.Results, p.Later) {
		b.rules = append(b.rules, resultOf(r, p.Set))
	}
}
