package report

// This file writes the report of a check as one page for a customer or a committee, to read on
// a screen or to print. page.html is its layout; here is what stands in it. Every text goes
// through html/template, which escapes it.

import (
	"bufio"
	_ "embed"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/decide"
)

//go:embed page.html
var pageText string

// page writes the report for a reader who was not at the bench. It gathers.
type page struct {
	gathering
	w      io.Writer
	charts []string
	sheets []string
	taken  takings
}

func newPage(w io.Writer, o Options) *page {
	o.Colour = false // a page has its own
	return &page{w: w, gathering: gathering{o: o}}
}

func (p *page) Add(_ []byte, sets []*Set) error {
	for _, s := range sets {
		p.add(s)
		p.taken.add(s.Bag)
		if c := stepCharts(s, p.o); c != "" {
			p.charts = append(p.charts, strings.TrimRight(c, "\n"))
		}
		if name := fileWords(s.Bag.File); !slices.Contains(p.sheets, name) {
			p.sheets = append(p.sheets, name)
		}
	}
	return nil
}

// pageView is what the layout shows.
type pageView struct {
	Name, On      string
	Class         string // of the outcome: fail, open or pass
	Lead, Outcome string
	Top           []pageFact
	Parts         []pagePart
}

// pagePart is a part of the page below its heading; what it does not have is empty.
type pagePart struct {
	Title    string
	Note     string // below the heading
	Lines    []string
	Subjects []pageSubject
	Bags     []pageBag
	Tables   []pageTable
	Charts   []string
	Facts    []pageFact
}

// pageSubject is a club, a pair or a set with what was found of it.
type pageSubject struct {
	Name, Place string
	Findings    []pageFinding
}

// pageFinding is a result with its numbers, its mend and the rule's own words.
type pageFinding struct {
	Stamp, Class string // the verdict
	Title        string
	Facts        []pageFact
	Tables       []pageTable
	Mend, From   string
	Rule         string
}

type pageBag struct {
	Name, Place string
	Facts       []pageFact
}

// pageFact is an entry; Indent is the class that indents it.
type pageFact struct{ Label, Amount, Note, Indent string }

// pageTable has a heading for each column; the first cell of a row names it.
type pageTable struct {
	Name, Place string
	Heads       []string
	Rows        [][]string
}

func pageFacts(entries []entry) []pageFact {
	var out []pageFact
	for _, e := range entries {
		f := pageFact{Label: e.label, Amount: e.amount, Note: e.note}
		if level := min(e.indent/2, 3); level > 0 {
			f.Indent = "in" + strconv.Itoa(level)
		}
		out = append(out, f)
	}
	return out
}

func (p *page) End(n *Totals) error {
	layout, err := template.New("page").Parse(pageText)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(p.w)
	if err := layout.Execute(w, p.view(n)); err != nil {
		return err
	}
	return w.Flush()
}

func (p *page) view(n *Totals) pageView {
	v := pageView{Name: p.name(), On: p.head.On}
	v.Class, v.Lead, v.Outcome = outcome(n)
	top := []entry{{label: "Day of the check", note: p.head.On}}
	if len(p.head.Books) > 0 && p.head.Books[0].Edition != "" {
		top = append(top, entry{label: "Edition of the rules", note: p.head.Books[0].Edition})
	}
	if len(p.sheets) > 0 {
		top = append(top, entry{label: "Read from", note: strings.Join(p.sheets, ", ")})
	}
	v.Top = pageFacts(top)
	mends := slices.ContainsFunc(p.found, func(f finding) bool { return f.Mend != "" })
	for _, part := range []pagePart{
		p.doubts(n),
		p.part("Fails", decide.Fail, false), p.part("Too close to call", decide.TooClose, false),
		p.part("Not measured, and what would decide it", decide.Unmeasured, false), p.disagreements(),
		p.part("Advice, which changes no verdict", decide.Fail, true), p.part("Advice that is too close to call", decide.TooClose, true),
		p.part("Advice that is not measured", decide.Unmeasured, true),
		{Title: "Steps, club by club", Note: strings.Join(strings.Fields(stepLegend), " "), Charts: p.charts}, p.passing(), p.refused(),
		{Title: "Rules not in force on " + p.head.On, Facts: pageFacts(p.restingRules())},
		{Title: "Totals", Facts: pageFacts(p.counts(n))}, {Title: "Rule books", Facts: pageFacts(p.books())},
		p.taken.part(p.head.Books), {Title: "What the words mean", Facts: pageFacts(meanings)},
	} {
		if !part.empty() {
			v.Parts = append(v.Parts, part)
		}
	}
	if mends {
		v.Parts = append(v.Parts, pagePart{Title: "Before anything is cut", Lines: cautions})
	}
	return v
}

func (t pagePart) empty() bool {
	return len(t.Lines)+len(t.Subjects)+len(t.Bags)+len(t.Tables)+len(t.Charts)+len(t.Facts) == 0
}

// outcome says in a sentence what came of a check, and gives the class of its colour.
func outcome(n *Totals) (class, lead, sentence string) {
	t := n.Tally
	v := t.Verdicts
	open := v[decide.TooClose] + v[decide.Unmeasured]
	switch {
	case v[decide.Fail] > 0:
		class, lead = "fail", "Something fails."
	case t.Results() == 0:
		class, lead = "open", "Nothing was judged."
	case n.RowsRefused > 0 || t.Conflicts > 0:
		class, lead = "open", "Not everything could be checked."
	case open > 0:
		class, lead = "open", "Nothing fails, but something cannot be told."
	default:
		class, lead = "pass", "Everything passes."
	}
	var parts []string
	say := func(n int, one, many string) {
		if n > 0 {
			parts = append(parts, counted(n, one, many))
		}
	}
	say(v[decide.Fail], "fails", "fail")
	say(v[decide.TooClose], "is too close to call", "are too close to call")
	say(v[decide.Unmeasured], "is not measured", "are not measured")
	say(v[decide.Pass], "passes", "pass")
	say(v[decide.Exempt], "is exempt", "are exempt")
	if len(parts) > 0 {
		sentence = "Of " + counted(t.Results()-t.Advice, "judgement", "judgements") + " " + list(parts) + "."
	}
	if r := n.RowsRefused; r > 0 {
		sentence += " " + counted(r, "row could not be read and was not judged.", "rows could not be read and were not judged.")
	}
	if c := t.Conflicts; c > 0 {
		sentence += " In " + counted(c, "place", "places") + " the books disagree with themselves and give no verdict."
	}
	return class, lead, strings.TrimSpace(sentence)
}

// stamps are the words and the colours of verdicts.
var stamps = map[decide.Verdict][2]string{
	decide.Fail: {"FAILS", "fail"}, decide.TooClose: {"TOO CLOSE", "open"}, decide.Unmeasured: {"NOT MEASURED", "open"},
	decide.Pass: {"PASSES", "pass"}, decide.Exempt: {"EXEMPT", "pass"},
}

// part is the part of the findings of a verdict; of what is not measured, unless more was
// asked for, what is wanted in each bag.
func (p *page) part(title string, v decide.Verdict, advice bool) pagePart {
	found := p.of(v, advice)
	t := pagePart{Title: title + ": " + strconv.Itoa(len(found))}
	if v == decide.Unmeasured && p.o.Depth == Usual {
		for _, b := range wanted(found) {
			t.Bags = append(t.Bags, pageBag{b.name, b.sheet, pageFacts(b.lines)})
		}
		return t
	}
	p.tell(&t, found)
	return t
}

// tell adds findings to a part, grouped by their subjects.
func (p *page) tell(t *pagePart, found []finding) {
	for _, f := range found {
		name, at := subjectLine(f)
		if p.o.Depth == Line {
			t.Lines = append(t.Lines, left0(f)+f.Rule.Decl.Name.Text+": "+string(appendMessage(nil, f.Result))+" ("+at+")")
			continue
		}
		if n := len(t.Subjects); n == 0 || t.Subjects[n-1].Name != name || t.Subjects[n-1].Place != at {
			t.Subjects = append(t.Subjects, pageSubject{Name: name, Place: at})
		}
		last := &t.Subjects[len(t.Subjects)-1]
		last.Findings = append(last.Findings, p.finding(f.Result))
	}
}

func (p *page) finding(r *engine.Result) pageFinding {
	full := p.o.Depth == Full
	stamp := stamps[r.Verdict]
	if r.Rule.Decl.Advice && r.Verdict == decide.Fail {
		stamp = [2]string{"ADVICE", "open"}
	}
	out := pageFinding{
		Stamp: stamp[0], Class: stamp[1], Title: ruleTitle(r.Rule), Facts: pageFacts(slices.DeleteFunc(facts(r, full), func(e entry) bool { return e.label == "mend" })),
		Mend: Visible(r.Mend), From: "The rule, " + bookLine(r.Rule.Decl.Span, r.Rule.Book),
	}
	for _, c := range r.Rule.Decl.Cites {
		out.From += "; its source: " + Visible(c.Text.Value)
	}
	var lines []string
	for _, e := range written(r) {
		lines = append(lines, e.label)
	}
	out.Rule = strings.Join(lines, "\n")
	if rows := budgetRows(r.Budget); full && len(rows) > 1 {
		out.Tables = []pageTable{{Name: "Where the uncertainty comes from", Heads: rows[0], Rows: rows[1:]}}
	}
	return out
}

// disagreements are the faults of the books.
func (p *page) disagreements() pagePart {
	t := pagePart{Title: "Faults of the books that show here: " + strconv.Itoa(len(p.faults))}
	for _, c := range p.faults {
		r := &engine.Result{Rule: c.Rule, Subject: c.Subject}
		name, at := subjectLine(finding{Result: r})
		t.Subjects = append(t.Subjects, pageSubject{name, at, []pageFinding{{
			Stamp: "NO VERDICT", Class: "open", Title: ruleTitle(c.Rule), Facts: pageFacts(faultEntries(c)), From: "The rule, " + bookLine(c.Rule.Decl.Span, c.Rule.Book)}}})
	}
	return t
}

// passing is a table of the clubs that pass for each bag, or what passes with its facts where
// that was asked for.
func (p *page) passing() pagePart {
	title := "What else was judged, and passes"
	if p.clean() {
		title = "Passes"
	}
	if len(p.passed) > 0 {
		t := pagePart{Title: title + ": " + strconv.Itoa(len(p.passed))}
		p.tell(&t, p.passed)
		return t
	}
	t := pagePart{Title: title}
	for _, b := range p.rest {
		one := pageTable{Name: b.name, Place: b.sheet, Heads: []string{"Club", "What it is", "Rules"}}
		for _, e := range b.lines {
			one.Rows = append(one.Rows, []string{e.label, e.amount, e.note})
		}
		t.Tables = append(t.Tables, one)
	}
	return t
}

// refused is the table of the rows that could not be read.
func (p *page) refused() pagePart {
	t := pagePart{Title: "Rows that could not be read: " + strconv.Itoa(len(p.unread))}
	if len(p.unread) == 0 {
		return t
	}
	one := pageTable{Name: "Not judged", Heads: []string{"Row", "Set", "Column", "Read", "What is wrong"}}
	for _, f := range p.unread {
		wrong := Visible(f.Message)
		if f.Hint != "" {
			wrong += "; " + Visible(f.Hint)
		}
		one.Rows = append(one.Rows, []string{rowWords(f.Row), Visible(f.Set), Visible(f.Column), Visible(f.Read), wrong})
	}
	t.Tables = []pageTable{one}
	return t
}

// meanings explain the words of the page to a reader who is new to them.
var meanings = []entry{
	{label: "Fails", note: "The value is outside what the rule allows, as the rule decides."},
	{label: "Too close to call", note: "The measurement is not sure enough to tell on which side of the limit the club is."},
	{label: "Not measured", note: "The sheet lacks what the rule asks for. Nothing is assumed in its place."},
	{label: "Exempt", note: "An exception of the rule lifts it. It counts as passing."},
	{label: "Advice", note: "A hint of the book, which changes no verdict."},
	{label: "Limit", note: "What the value is held against. An allowance that the rule states is in it already; the rule's own words show both."},
	{label: "Uncertainty, u", note: "The standard uncertainty of a value (JCGM 100). Where a rule says that it counts, it narrows what passes (JCGM 106)."},
}
