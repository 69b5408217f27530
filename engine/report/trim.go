package report

// This file is the view of plans of cuts: a table a set that a clubmaker takes to the saw, what holds a club in a plan,
// and what cannot be had together if there is none.

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/constrain"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/lists"
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
	data.Cutting
	holder  *picture.Holder
	head    doc.Head
	sets    int
	plans   int // sets that have one
	cut     int // clubs
	longer  int
	waiting int          // sets that wait for a measurement
	missed  map[bool]int // plans that do not meet a length rule after all, and those of which that cannot be told
	after   int          // results that do not pass as planned
	untold  int          // those that cannot be told
	data.Notes
}

// NewTrims returns a writer of plans. Lengths are shown in the unit of the grid.
func NewTrims(w io.Writer, head *data.Head, by data.Cutting, o Options) Trims {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.NewTrims(w, o.Format, o.Tool, head, by)
	}
	name := "Plan of cuts"
	if len(head.Books) > 0 && head.Books[0].Title != "" {
		name = wording.Visible(head.Books[0].Title)
	}
	how := "cuts in steps of " + by.Grid.Written()
	if by.Extend.Known() {
		how += ", extensions up to " + by.Extend.Written()
	}
	if by.Inside.Known() {
		how += ", each club at least " + by.Inside.Written() + " inside each limit"
	}
	notes := []string{"Plan of cuts: " + how + "; lengths by the method of each reading."}
	return &trims{paper: p, holder: p.holding(head), Cutting: by, missed: map[bool]int{},
		head: doc.Head{Title: name, Right: head.On, Notes: notes}}
}

func (t *trims) Add(p *trim.Plan, doubtful []club.Doubt) {
	t.Note(p.Set, doubtful)
	if len(p.Set.Clubs) == 0 {
		t.absent(p.Set)
		return
	}
	t.sets++
	switch {
	case data.Shows(p):
		t.plans++
		if len(p.Broken) > 0 {
			t.missed[p.Lengths == decide.Fail]++
		}
		after := len(failing(p.After))
		t.after += after
		t.untold += len(p.After) - after + len(p.Conflicts) + p.Untold
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
	t.later(t.set(p)...)
}

// length is a length of a club: in the unit of the grid where that is metric, else of its sheet.
func (t *trims) length(c *club.Club, nm float64) unit.Amount {
	in := t.Grid.Unit
	if !in.Metric() {
		in = c.LengthUnit()
	}
	return unit.Amount{Base: nm, Unit: in}
}

// set is the plan of a set, below what is waived on the clubs as read.
func (t *trims) set(p *trim.Plan) []doc.Block {
	out := append(bagHead(p.Set), told(p.Set, nil, p.Waived...)...)
	switch {
	case data.Shows(p):
		out = append(append(out, t.planned(p)...), asPlanned(p)...)
	case p.Feasible:
		out = append(out, doc.Para{Tone: doc.Open, Text: "No plan yet: something is not measured.", Level: 1})
	default:
		out = append(append(out, doc.Para{Tone: doc.Fail, Text: "No plan: " + noPlan(p), Level: 1, Hang: 1}),
			t.blamed(p)...)
	}
	out = append(out, told(p.Set, p.Conflicts, p.Open...)...)
	return append(out, doc.Beside(new(picture.Bag).Taken(p.Set, t.holder)))
}

// titleAt is what a rule says of itself, and where it is.
func titleAt(r *book.Rule) string { return picture.Headline(r) + ", " + wording.BookLine(r.Decl.Span) }

// noPlan says in a few words why there is no plan.
func noPlan(p *trim.Plan) string {
	switch {
	case p.TooLarge:
		return fmt.Sprintf("a set of so many clubs is not planned: the rules set more than %d,000 limits in it. "+
			"Split it into bags.", constrain.Most/1000)
	case p.Coarse:
		return "the steps of the grid are too coarse."
	case len(p.TooShort) > 0:
		return "a cut makes nothing longer."
	}
	return "not every rule can be met on these clubs."
}

// planned are the cuts of a plan, a line a club.
func (t *trims) planned(p *trim.Plan) []doc.Block {
	if p.Rules == 0 {
		return []doc.Block{doc.Para{Text: "No rule asks for a cut that can be planned, so nothing is cut.", Level: 1}}
	}
	table := &doc.Table{Level: 1, Heads: []string{"club", "as read", "", "then", "for", "after that"}}
	methods := lists.Once(lists.Each(p.Cuts, func(c trim.Cut) string { return c.Club.Method }))
	if len(methods) == 1 {
		table.Heads[1] = cmp.Or(wording.Labelled("read by", methods[0]), table.Heads[1])
	}
	for _, c := range p.Cuts {
		row := t.cutRow(c)
		if len(methods) > 1 {
			row.Cells[1] += wording.Labelled(" by", c.Club.Method)
		}
		table.Rows = append(table.Rows, row)
	}
	out := []doc.Block{table}
	if before := picture.Trimmed(p, t.length(p.Set.Clubs[0], 0).Unit); before != nil {
		out = append(out, before)
	}
	if p.Needs != nil {
		words := "To have mass and swing weight after every cut worked out, add " + list(p.Needs)
		if slices.Contains(p.Needs, "butt-mass") {
			words += "; butt-mass is a column of the sheet, or a line at the head of a book"
		}
		out = append(out, doc.Para{Text: words + ".", Level: 1})
	}
	return out
}

// asPlanned is how the clubs are judged as planned.
func asPlanned(p *trim.Plan) []doc.Block {
	judged := doc.Para{Tone: doc.Pass, Lead: "Judged again as planned:", Text: "every rule passes.", Level: 1}
	switch n := len(failing(p.After)); {
	case n > 0:
		judged.Tone, judged.Text = doc.Fail, wording.Counted(n, "result does", "results do")+" not pass."
	case len(p.After)+len(p.Conflicts)+p.Untold > 0:
		judged.Tone, judged.Text = doc.Open, "not every rule can be judged."
	}
	out := append([]doc.Block{judged}, told(p.Set, nil, slices.Concat(p.After, p.Advice)...)...)
	if p.Untold > 0 {
		words := wording.Counted(p.Untold, "result", "results") +
			" of other rules, before the cut or after: measurements are missing"
		out = append(out, &doc.Finding{Stamp: "MISSING", Tone: doc.Open, Text: words})
	}
	if len(p.Broken) > 0 {
		says := "this plan does not meet " + list(data.BrokenRules(p)) + " after all. "
		switch {
		case p.Lengths != decide.Fail:
			says = "nobody can say whether this plan meets " + list(data.BrokenRules(p)) + ". The cut changes a " +
				"measurement that decides it, and what that will be cannot be worked out."
		case slices.ContainsFunc(p.Broken, func(r *judge.Result) bool { return r.Simulated }):
			says += "A plan looks at two clubs at a time. Of several that are nearly alike, some two are more likely " +
				"to be off to opposite sides."
		default:
			says += "Which clubs and exceptions a rule is about was decided by the clubs as read; " +
				"as cut, they are others."
		}
		out = append(out, doc.Para{Level: 1, Hang: 1, Text: "CUT NOTHING YET: " + says})
	}
	return out
}

// cutRow is the line of a club in a plan, and what holds the club.
func (t *trims) cutRow(c trim.Cut) doc.Row {
	do := "leave"
	switch {
	case c.Steps < 0:
		do = "cut " + t.length(c.Club, -c.By).Cut()
	case c.Steps > 0:
		do = "extend " + t.length(c.Club, c.By).Cut()
	}
	mass, _, swing := data.After(c, t.Grid.Unit)
	var foretold []string
	for _, a := range []unit.Amount{swing, mass} {
		if a.Known() {
			foretold = append(foretold, a.String())
		}
	}
	row := doc.Row{Cells: []string{wording.Called(c.Club), t.length(c.Club, c.Length).Written(), do,
		t.length(c.Club, c.Length+c.By).Cut(), "", strings.Join(foretold, ", ")}}
	if c.HeldBy != nil {
		row.Cells[4] = c.HeldBy.Decl.Name.Text
		if t.depth != Line {
			row.Below = []doc.Block{doc.Para{Level: 3, Hang: 1, Text: "held by " + ruleAt(c.HeldBy) + ": " +
				asked(c.Held, t.depth == Full)}}
		}
	}
	return row
}

// blamed says which clubs and rules leave no plan.
func (t *trims) blamed(p *trim.Plan) (out []doc.Block) {
	say := func(level int, words string) { out = append(out, doc.Para{Text: words, Level: level, Hang: 1}) }
	for _, s := range p.TooShort {
		read, by := readAs(s.Club)
		line := fmt.Sprintf("%s reads %s by %s and would have to be %s longer", wording.Called(s.Club), read, by,
			t.length(s.Club, s.By).Text(0, math.Ceil))
		if t.Extend.Known() {
			line += ", more than an extension of " + t.Extend.Written()
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
		say(3, titleAt(r))
		of := slices.DeleteFunc(slices.Clone(p.Ring), func(l constrain.Link) bool { return l.Constraint.Rule != r })
		lines := lists.Once(lists.Each(of, func(l constrain.Link) string { return asked(l, t.depth == Full) }))
		const most = 6
		for _, line := range lines[:min(len(lines), most)] {
			say(4, line)
		}
		if more := len(lines) - most; more > 0 {
			say(4, fmt.Sprintf("and %d more like these", more))
		}
	}
	if t.Inside.Known() && !p.TooLarge {
		say(2, "each club is to be at least "+t.Inside.Written()+" inside each limit; less may give a plan")
	}
	if p.Coarse {
		say(2, "a finer grid would give a plan: try a smaller --grid than "+t.Grid.Written())
	}
	return out
}

// ruleAt names a rule with its line.
func ruleAt(r *book.Rule) string { return r.Decl.Name.Text + ", " + wording.BookLine(r.Decl.Span) }

// failing are the results that do not pass though they can be judged.
func failing(of []*judge.Result) []*judge.Result {
	return slices.DeleteFunc(slices.Clone(of), func(r *judge.Result) bool { return r.Verdict == decide.Unmeasured })
}

func (t *trims) End() error {
	const lead, but = "NOT EVERYTHING COULD BE PLANNED:", "PLANNED, BUT NOT EVERYTHING "
	counts := []count{{t.plans, doc.Pass, "", "set with a plan", "sets with a plan"},
		{t.cut, doc.Pass, "", "club to cut", "clubs to cut"},
		{t.longer, doc.Pass, "", "club to extend", "clubs to extend"},
		{t.untold, doc.Open, but + "CAN BE JUDGED:", "result could not be judged", "results could not be judged"},
		{t.waiting, doc.Open, lead, "set waits for a measurement", "sets wait for a measurement"},
		unread(len(t.Refused), lead),
		{t.missed[false], doc.Open, "CUT NOTHING YET:", "plan may not meet a length rule",
			"plans may not meet a length rule"},
		{t.after, doc.Fail, but + "PASSES:", "result does not pass as planned", "results do not pass as planned"},
		{t.sets - t.plans - t.waiting, doc.Fail, lead, "set without a plan", "sets without a plan"},
		{t.missed[true], doc.Fail, "CUT NOTHING YET:", "plan does not meet a length rule after all",
			"plans do not meet a length rule after all"}}
	out := outcomeOf("PLANNED:", slices.Insert(counts, 3, gaps(t.Order.Gaps(), lead)...)...)
	t.cuts = t.cut+t.longer > 0
	return t.finish(t.head, out, &t.Notes)
}

// asked is what one side of a constraint asks: "i5 and i6: drop of length by soled 1/4 in as read, at
// least 3/8 in".
func asked(l constrain.Link, full bool) string {
	c := l.Constraint
	in := func(base float64) unit.Amount { return unit.Amount{Base: base, Unit: c.Shown} }
	r := judge.Result{Value: in(c.Value)} // with what it is told from
	words := wording.Subject(data.Linked(l)) + ": " + wording.ValueName(c.Rule) + " "
	read := " as read, "
	if full && c.Spread.U > 0 {
		read = " as read, standard uncertainty " + wording.Above(in(c.Spread.U)) + ", "
	}
	pass := c.Passing()
	if pass.Empty() {
		return words + r.Figure(r.Value) + read + "and no value passes with so much uncertainty"
	}
	limit, edge, open := pass.Low, c.Limits.Lower, c.Limits.OpenLower
	of, beyond, round, guarded := "at least ", "above ", math.Ceil, &r.PassFrom
	if l.Upper {
		limit, edge, open = pass.High, c.Limits.Upper, c.Limits.OpenUpper
		of, beyond, round, guarded = "at most ", "below ", math.Floor, &r.PassTo
	}
	if limit != edge {
		*guarded = in(limit)
		of += in(limit).Text(r.Finer(), round)
		return words + r.Figure(r.Value) + read + of + " to pass with its uncertainty"
	}
	if open {
		of = beyond
	}
	r.Upper = in(limit) // whichever it is
	return words + r.Figure(r.Value) + read + of + r.Written(in(limit))
}
