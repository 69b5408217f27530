package report

// This file is the view of plans of cuts: a table a set that a clubmaker takes to the saw.

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// Plans writes plans, set by set as they come. Add is called for each set, End once after all.
type Plans[P any] interface {
	Add(p P, doubtful []club.Doubt)
	End() error
}

// Trims writes plans of cuts.
type Trims = Plans[*trim.Plan]

// trims are those for a reader.
type trims struct {
	paper
	o       Options
	grid    unit.Amount
	extend  unit.Amount // no amount: nothing may be extended
	sets    int
	plans   int // sets that have one
	cut     int // clubs
	longer  int
	waiting int // sets in whose way something stands that is not measured
	broken  int // plans that do not meet a length rule after all
	data.Notes
}

// NewTrims returns a writer of plans on a grid. Lengths are shown in the unit of the grid.
func NewTrims(w io.Writer, head *data.Head, grid, extend unit.Amount, o Options) Trims {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.NewTrims(w, o.Format, o.Tool, head, grid)
	}
	name := "Plan of cuts"
	if len(head.Books) > 0 && head.Books[0].Title != "" {
		name = wording.Visible(head.Books[0].Title)
	}
	how := "cuts in steps of " + grid.Written()
	if extend.Known() {
		how += ", extensions up to " + extend.Written()
	}
	p.put(doc.Head{Title: name, Right: "on " + head.On, Below: how + "; lengths by the method of each reading"})
	return &trims{paper: p, o: o, grid: grid, extend: extend}
}

func (t *trims) Add(p *trim.Plan, doubtful []club.Doubt) {
	t.Note(p.Set, doubtful)
	if len(p.Set.Clubs) == 0 {
		return
	}
	t.sets++
	switch {
	case data.Shows(p):
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
	t.put(t.set(p)...)
}

// length is a length in the unit of the grid.
func (t *trims) length(nm float64) unit.Amount { return unit.Amount{Base: nm, Unit: t.grid.Unit} }

// set is the plan of a set.
func (t *trims) set(p *trim.Plan) []doc.Block {
	out := []doc.Block{bagSection(p.Set)}
	switch {
	case data.Shows(p) && p.Rules == 0:
		out = append(out, doc.Para{Text: "no rule here asks anything of these lengths, so nothing is cut", Level: 1})
	case data.Shows(p):
		out = append(out, t.planned(p)...)
	case p.Feasible:
		out = append(out, doc.Para{Tone: doc.Open, Text: "No plan yet: what is not measured stands in the way",
			Level: 1})
	default:
		out = append(append(out, doc.Para{Tone: doc.Fail, Text: "No plan: " + noPlan(p), Level: 1, Hang: 1}),
			t.blamed(p)...)
	}
	for _, r := range p.Open {
		out = append(out, doc.Para{Text: "not measured: " + ruleResult(r), Level: 1, Hang: 2})
	}
	for _, c := range p.Conflicts {
		out = append(out, doc.Para{Text: "the books disagree: " + wording.Conflict(c), Level: 1, Hang: 2})
	}
	return append(out, doc.Gap{})
}

// ruleResult is a rule with its line, and what came of it.
func ruleResult(r *judge.Result) string {
	return ruleAt(r.Rule) + ": " + string(wording.AppendMessage(nil, r))
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
func (t *trims) planned(p *trim.Plan) []doc.Block {
	table := &doc.Table{Level: 1, Heads: []string{"club", "as read", "", "then", "after that"}}
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
		judged.Tone, judged.Text = doc.Fail, wording.Counted(len(p.After), "result does", "results do")+" not pass"
	case len(p.Conflicts) > 0:
		judged.Tone, judged.Text = doc.Open, "not every rule has a verdict"
	case p.Untold > 0:
		judged.Tone, judged.Text = doc.Open, "nothing fails"
	}
	out = append(out, judged)
	for _, r := range p.After {
		say(2, 2, r.Verdict.String()+": "+ruleResult(r))
	}
	if p.Untold > 0 {
		say(2, 2, wording.Counted(p.Untold, "result", "results")+
			" of other rules cannot be told, before the cut or after, for want of measurements")
	}
	if len(p.Broken) > 0 {
		why := "Which clubs and exceptions a rule is about was told by the clubs as read; as cut, they are others."
		if slices.ContainsFunc(p.Broken, func(r *judge.Result) bool { return r.Simulated }) {
			why = "A plan looks at two clubs at a time. Of several that are nearly alike, some two are more likely to be off to opposite sides."
		}
		say(1, 1, "CUT NOTHING YET: this plan does not meet "+list(data.BrokenRules(p))+" after all. "+why)
	}
	for _, r := range p.Advice {
		say(2, 2, "advice: "+ruleResult(r))
	}
	return out
}

// cutRow is the line of a club in a plan, and what holds the club.
func (t *trims) cutRow(c trim.Cut) doc.Row {
	do := "leave"
	switch {
	case c.Steps < 0:
		do = "cut " + t.length(-c.By).Written()
	case c.Steps > 0:
		do = "extend " + t.length(c.By).Written()
	}
	mass, _, swing := data.After(c, t.grid.Unit)
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
	row := doc.Row{Cells: []string{wording.Called(c.Club), t.length(c.Length).Written(), do,
		t.length(c.Length + c.By).Written(), strings.Join(foretold, ", ")}}
	if c.HeldBy != nil {
		row.Below = []doc.Block{doc.Para{Text: "held by " + ruleAt(c.HeldBy) + t.how(c.Held), Level: 3, Hang: 1}}
	}
	return row
}

// blamed says which clubs and rules leave no plan.
func (t *trims) blamed(p *trim.Plan) (out []doc.Block) {
	say := func(level int, words string) { out = append(out, doc.Para{Text: words, Level: level, Hang: 1}) }
	for _, s := range p.TooShort {
		read, by := readAs(s.Club)
		if by != "" {
			read += " by " + by
		}
		line := fmt.Sprintf("%s reads %s and would have to be %s longer", wording.Called(s.Club), read,
			t.length(s.By).Text(0, math.Ceil))
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
			words += " \"" + wording.Visible(r.Decl.Title.Value) + "\""
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

// ruleAt names a rule with its line.
func ruleAt(r *book.Rule) string {
	return r.Decl.Name.Text + ", " + wording.File(r.Book.Name) + " line " + fmt.Sprint(r.Decl.Span.Line())
}

func (t *trims) End() error {
	t.put(rowSections(&t.Notes)...)
	plans := fmt.Sprintf("%d of %d have a plan", t.plans, t.sets)
	if t.waiting > 0 {
		plans += ", " + wording.Counted(t.waiting, "waits for a measurement", "wait for a measurement")
	}
	if t.broken > 0 {
		plans += ", " + wording.Counted(t.broken, "of them does", "of them do") + " not meet a length rule after all"
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
