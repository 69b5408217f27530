package report

// This file writes plans of cuts: a table a set that a clubmaker takes to the saw, or for other
// programs the schema "ferrule.trim/1".

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/report/doc"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Trims writes plans of cuts, set by set as they come. Add is called for each set, End once after all.
type Trims struct {
	paper
	o       Options
	head    *Head
	grid    engine.Amount
	extend  engine.Amount // no amount: nothing may be extended
	begun   bool
	sets    int
	plans   int // sets that have one
	cut     int // clubs
	longer  int
	waiting int // sets in whose way something stands that is not measured
	rowNotes
	broken int // plans that do not meet a length rule after all
}

// NewTrims returns a writer of plans on a grid. Lengths are shown in the unit of the grid.
func NewTrims(w io.Writer, head *Head, grid, extend engine.Amount, o Options) *Trims {
	return &Trims{paper: newPaper(w, o), o: o, head: head, grid: grid, extend: extend}
}

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
	NotMet        []string       `json:"not_met"` // those of afterwards that were to be met by the plan
	Afterwards    []jsonResult   `json:"afterwards"`
	Conflicts     []jsonConflict `json:"conflicts,omitempty"`
	Needs         []string       `json:"needs"`
}

type jsonCut struct {
	ID      string      `json:"id"`
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
	Value   *jsonAmount `json:"value"`
	AtLeast *jsonAmount `json:"at_least,omitempty"`
	AtMost  *jsonAmount `json:"at_most,omitempty"`
}

type jsonShort struct {
	ID   string      `json:"id"`
	By   *jsonAmount `json:"by"`
	Rule *string     `json:"rule"`
}

// shows reports whether the plan can be shown as one: it is there, and nothing unmeasured stands in
// its way.
func shows(p *trim.Plan) bool { return p.Feasible && len(p.Open) == 0 }

// Add writes the plan of a set.
func (t *Trims) Add(p *trim.Plan, doubtful []club.Doubt) {
	t.note(p.Set, doubtful)
	if len(p.Set.Clubs) == 0 {
		return
	}
	t.sets++
	switch {
	case shows(p):
		t.plans++
		if len(p.Broken) > 0 {
			t.broken++
		}
		for _, c := range p.Cuts {
			if c.Steps < 0 {
				t.cut++
			} else if c.Steps > 0 {
				t.longer++
			}
		}
	case p.Feasible:
		t.waiting++
	}
	if t.draw == nil {
		t.addJSON(p)
		return
	}
	t.opening()
	t.put(t.set(p)...)
}

// length is a length in the unit of the grid.
func (t *Trims) length(nm float64) engine.Amount { return engine.Amount{Base: nm, Unit: t.grid.Unit} }

func (t *Trims) lengthOf(nm float64) *jsonAmount {
	out := amountOf(t.length(nm), true)
	out.Text = t.length(nm).Written() // whole steps of the grid
	return out
}

func (t *Trims) opening() {
	if t.begun {
		return
	}
	t.begun = true
	if t.draw != nil {
		name := "Plan of cuts"
		if len(t.head.Books) > 0 && t.head.Books[0].Title != "" {
			name = Visible(t.head.Books[0].Title)
		}
		how := "cuts in steps of " + t.grid.Written()
		if t.extend.Known() {
			how += ", extensions up to " + t.extend.Written()
		}
		t.put(doc.Head{Title: name, Right: "on " + t.head.On, Below: how + "; lengths by the method of each reading"})
		return
	}
	fmt.Fprintf(t.w, "{\n  \"schema\": \"ferrule.trim/1\",\n  \"books\": %s,\n  \"on\": %s,\n  \"grid\": %s,\n  \"sets\": [",
		inline(booksOf(t.head)), inline(t.head.On), inline(amountOf(t.grid, true)))
}

// inline is a value as JSON on one line.
func inline(v any) string { return strings.TrimSuffix(string(appendJSON(nil, v)), "\n") }

func (t *Trims) addJSON(p *trim.Plan) {
	if t.begun {
		t.w.WriteByte(',')
	}
	t.opening()
	out := jsonTrim{Set: p.Set.Name, File: p.Set.File, Feasible: shows(p), Clubs: []jsonCut{}, Contradiction: []string{}, TooShort: []jsonShort{},
		FinerGrid: p.Coarse, TooLarge: p.TooLarge, Unmeasured: []jsonResult{}, NotMet: []string{}, Afterwards: []jsonResult{}, Needs: append([]string{}, p.Needs...)}
	for _, c := range p.Cuts {
		out.Clubs = append(out.Clubs, t.cutOf(c, shows(p)))
	}
	for _, r := range p.Contradiction {
		out.Contradiction = append(out.Contradiction, r.Decl.Name.Text)
	}
	for _, s := range p.TooShort {
		out.TooShort = append(out.TooShort, jsonShort{s.Club.ID, t.lengthOf(s.By), ruleName(s.Rule)})
	}
	for _, l := range p.Ring {
		out.Ring = append(out.Ring, linkOf(l))
	}
	for _, r := range p.Open {
		out.Unmeasured = append(out.Unmeasured, resultOf(r, p.Set))
		for _, n := range r.Needs {
			if !slices.Contains(out.Needs, n) {
				out.Needs = append(out.Needs, n)
			}
		}
	}
	out.NotMet = append(out.NotMet, brokenRules(p)...)
	for _, r := range p.After {
		out.Afterwards = append(out.Afterwards, resultOf(r, p.Set))
	}
	for _, c := range p.Conflicts {
		out.Conflicts = append(out.Conflicts, conflictOf(c, p.Set))
	}
	t.w.WriteString("\n    " + inline(out))
}

func (t *Trims) cutOf(c trim.Cut, shown bool) jsonCut {
	out := jsonCut{ID: c.Club.ID, By: c.Club.Method, From: t.lengthOf(c.Length), Needs: []string{}}
	if !shown {
		return out
	}
	out.To = t.lengthOf(c.Length + c.By)
	out.Cut, out.Extend = t.lengthOf(math.Max(0, -c.By)), t.lengthOf(math.Max(0, c.By))
	out.HeldBy = ruleName(c.HeldBy)
	out.Needs = append(out.Needs, c.Lacks...)
	mass, balance, swing := t.after(c)
	out.Mass, out.Balance, out.Swing = amountOf(mass, true), amountOf(balance, true), amountOf(swing, true)
	return out
}

// after is what a club will be, as far as it can be foretold.
func (t *Trims) after(c trim.Cut) (mass, balance, swing engine.Amount) {
	if c.After.Sound() {
		mass = engine.Amount{Base: c.After.Mass, Unit: unit.Base(unit.Mass)}
		balance = t.length(c.After.Balance)
	}
	if !math.IsNaN(c.Swing) {
		swing = engine.Amount{Base: c.Swing, Unit: unit.Base(unit.Swing), Swing: true}
	}
	return mass, balance, swing
}

// set is the plan of a set.
func (t *Trims) set(p *trim.Plan) []doc.Block {
	out := []doc.Block{doc.Section{Title: bagName(p.Set.Name, p.Set.File), Right: sheetName(p.Set.Name, p.Set.File), Page: true}}
	switch {
	case shows(p) && p.Rules == 0:
		return append(out, doc.Para{Text: "no rule here asks anything of these lengths, so nothing is cut", Level: 1}, doc.Gap{})
	case shows(p):
		out = append(out, t.planned(p)...)
	case p.Feasible:
		out = append(out, doc.Para{Tone: doc.Open, Text: "No plan yet: what is not measured stands in the way", Level: 1})
	default:
		out = append(append(out, doc.Para{Tone: doc.Fail, Text: "No plan: " + noPlan(p), Level: 1, Hang: 1}), t.blamed(p)...)
	}
	for _, r := range p.Open {
		out = append(out, doc.Para{Text: "not measured: " + ruleResult(r), Level: 1, Hang: 2})
	}
	for _, c := range p.Conflicts {
		out = append(out, doc.Para{Text: "the books disagree: " + Conflict(c), Level: 1, Hang: 2})
	}
	return append(out, doc.Gap{})
}

// ruleResult is a rule with its line, and what came of it.
func ruleResult(r *engine.Result) string {
	return ruleAt(r.Rule) + ": " + string(appendMessage(nil, r))
}

// noPlan says in a few words why there is no plan.
func noPlan(p *trim.Plan) string {
	switch {
	case p.TooLarge:
		return fmt.Sprintf("a set of so many clubs is not planned: the rules set more than %d,000 limits in it. Split it into bags.", constrain.Most/1000)
	case p.Coarse:
		return "the steps of the grid are too coarse"
	case len(p.TooShort) > 0:
		return "a cut makes nothing longer"
	}
	return "the rules contradict each other on these clubs"
}

// planned are the cuts of a plan, a line a club, and how the clubs are judged after them.
func (t *Trims) planned(p *trim.Plan) []doc.Block {
	table := &doc.Table{Level: 1, Heads: []string{"club", "", "as read", "", "then", "after that"}}
	for _, c := range p.Cuts {
		table.Rows = append(table.Rows, t.cutRow(c))
	}
	out := []doc.Block{table}
	if p.Needs != nil {
		words := "Mass and swing weight after the cut are not foretold for want of " + list(p.Needs)
		if slices.Contains(p.Needs, "butt-mass") {
			words += "; butt-mass is a column of the sheet, or a line at the head of a book"
		}
		out = append(out, doc.Para{Text: words + ".", Level: 1})
	}
	say := func(level, hang int, words string) {
		out = append(out, doc.Para{Text: words, Level: level, Hang: hang})
	}
	judged := doc.Para{Tone: doc.Pass, Lead: "judged again as planned:", Text: "every rule passes", Level: 1}
	switch {
	case len(p.After) > 0:
		judged.Tone, judged.Text = doc.Fail, counted(len(p.After), "result does", "results do")+" not pass"
	case p.Untold > 0:
		judged.Text = "nothing fails"
	}
	out = append(out, judged)
	for _, r := range p.After {
		say(2, 2, r.Verdict.String()+": "+ruleResult(r))
	}
	if p.Untold > 0 {
		say(2, 2, counted(p.Untold, "result", "results")+" of other rules cannot be told, before the cut or after, for want of measurements")
	}
	if len(p.Broken) > 0 {
		why := "Which clubs and exceptions a rule is about was told by the clubs as read; as cut, they are others."
		if slices.ContainsFunc(p.Broken, func(r *engine.Result) bool { return r.Simulated }) {
			why = "A plan looks at two clubs at a time. Of several that are nearly alike, some two are more likely to be off to opposite sides."
		}
		say(1, 1, "CUT NOTHING YET: this plan does not meet "+list(brokenRules(p))+" after all. "+why)
	}
	for _, r := range p.Advice {
		say(2, 2, "advice: "+ruleResult(r))
	}
	return out
}

// cutRow is the line of a club in a plan, and what holds the club.
func (t *Trims) cutRow(c trim.Cut) doc.Row {
	do := "leave"
	switch {
	case c.Steps < 0:
		do = "cut " + t.length(-c.By).Written()
	case c.Steps > 0:
		do = "extend " + t.length(c.By).Written()
	}
	mass, _, swing := t.after(c)
	var foretold []string
	if swing.Known() {
		foretold = append(foretold, swing.String())
	}
	if mass.Known() {
		foretold = append(foretold, mass.String())
	}
	if c.Lacks != nil {
		foretold = append(foretold, "no "+strings.Join(c.Lacks, ", no "))
	}
	row := doc.Row{Cells: []string{Visible(c.Club.ID), kindName(c.Club), t.length(c.Length).Written(), do,
		t.length(c.Length + c.By).Written(), strings.Join(foretold, ", ")}}
	if c.HeldBy != nil {
		row.Below = []doc.Block{doc.Para{Text: "held by " + ruleAt(c.HeldBy) + t.how(c.Held), Level: 3, Hang: 1}}
	}
	return row
}

// brokenRules names the rules that were to be met by a plan and are not.
func brokenRules(p *trim.Plan) []string {
	var names []string
	for _, r := range p.Broken {
		if n := r.Rule.Decl.Name.Text; !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names
}

// blamed says which clubs and rules leave no plan.
func (t *Trims) blamed(p *trim.Plan) (out []doc.Block) {
	say := func(level int, words string) { out = append(out, doc.Para{Text: words, Level: level, Hang: 1}) }
	for _, s := range p.TooShort {
		line := fmt.Sprintf("%s, a %s, reads %s and would have to be %s longer", Visible(s.Club.ID), kindName(s.Club), readOf(s.Club, t.grid.Unit), t.length(s.By).Text(0, math.Ceil))
		if t.extend.Known() {
			line += ", more than an extension of " + t.extend.Written()
		}
		if s.Rule != nil {
			line += ", for " + ruleAt(s.Rule)
		}
		say(2, line)
	}
	switch n := len(p.Contradiction); {
	case n == 1:
		say(2, "this rule cannot be met here:")
	case n > 1:
		say(2, "these rules cannot all be met here; leave any one out, and the others no longer contradict each other:")
	}
	for _, r := range p.Contradiction {
		words := ruleAt(r)
		if r.Decl.Title != nil {
			words += " \"" + Visible(r.Decl.Title.Value) + "\""
		}
		say(3, words)
		of := linksOf(p.Ring, r)
		const most = 6
		for _, l := range of[:min(len(of), most)] {
			say(4, asked(l, t.o.Depth == Full))
		}
		if more := len(of) - most; more > 0 {
			say(4, fmt.Sprintf("and %d more like these", more))
		}
	}
	if p.Coarse {
		say(2, "a finer grid would give a plan: try a smaller --grid than "+t.grid.Written())
	}
	return out
}

// readOf is the length of a club as it was read, in a unit.
func readOf(c *club.Club, u *unit.Unit) string {
	amount, by := readAs(c)
	if by == "" {
		return amount
	}
	return amount + " by " + by
}

// ruleAt names a rule with its line.
func ruleAt(r *book.Rule) string {
	return r.Decl.Name.Text + ", " + fileWords(r.Book.Name) + " line " + fmt.Sprint(r.Decl.Span.Line())
}

// End writes the refused rows and, for the bench, the totals and the cautions.
func (t *Trims) End() error {
	t.opening()
	if t.draw == nil {
		t.w.WriteString("\n  ]" + t.members())
		return t.w.Flush()
	}
	t.put(t.blocks()...)
	plans := fmt.Sprintf("%d of %d have a plan", t.plans, t.sets)
	if t.waiting > 0 {
		plans += ", " + counted(t.waiting, "waits for a measurement", "wait for a measurement")
	}
	if t.broken > 0 {
		plans += ", " + counted(t.broken, "of them does", "of them do") + " not meet a length rule after all"
	}
	work := fmt.Sprintf("%d to cut", t.cut)
	if t.longer > 0 {
		work += fmt.Sprintf(", %d to extend", t.longer)
	}
	t.put(totals(doc.Fact{Label: "sets", Note: plans}, doc.Fact{Label: "clubs", Note: work})...)
	if t.cut+t.longer > 0 {
		t.put(append([]doc.Block{doc.Gap{}}, cautions()...)...)
	}
	return t.end()
}
