package report

// This file writes the report of a check as one page for a customer or a committee, to read on
// a screen or to print. page.html is its layout; here is what stands in it. Every text goes
// through html/template, which escapes it.

import (
	"bufio"
	"bytes"
	"cmp"
	_ "embed"
	"html/template"
	"io"
	"iter"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
)

//go:embed page.html
var pageText string

// page writes the report for a reader who was not at the bench. It gathers.
type page struct {
	gathering
	w      io.Writer
	layout *template.Template
}

func newPage(w io.Writer, o Options) *page {
	o.Colour = false // a page has its own
	p := &page{w: w, gathering: gathering{o: o}, layout: template.Must(template.New("page").Parse(pageText))}
	p.draw = p
	return p
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
	Title string
	Note  string // below the heading
	Lines []string
	Table *pageTable              // whose rows are the body; nil for none
	List  bool                    // the body is a list
	Body  iter.Seq[template.HTML] // what was drawn; nil for none
	Facts []pageFact
}

// pageSubject is a club, a pair or a set of which something is found.
type pageSubject struct{ Name, Place string }

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
	defer p.doc.Close()
	w := bufio.NewWriter(p.w)
	if err := p.layout.Execute(w, p.view(n)); err != nil {
		return err
	}
	return cmp.Or(p.doc.Err(), w.Flush())
}

// drawn appends what a template of the layout makes of something.
func (p *page) drawn(dst []byte, name string, of any) []byte {
	b := bytes.NewBuffer(dst)
	if err := p.layout.ExecuteTemplate(b, name, of); err != nil {
		panic(err) // the layout is ours, and a buffer takes all
	}
	return b.Bytes()
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
	passes := "Passes"
	if !p.clean() {
		passes = "What else was judged, and passes"
	}
	passing := p.part(passes, secPasses)
	if passing.Body == nil {
		passing = p.part(passes, secRest)
	}
	doubtful, refused := p.part("Doubtful readings", secDoubtful), p.part("Rows that could not be read", secRefused)
	doubtful.Table = &pageTable{Name: "Look at these again", Heads: []string{"Row", "Column", "Read", "What is odd"}}
	refused.Table = &pageTable{Name: "Not judged", Heads: []string{"Row", "Set", "Column", "Read", "What is wrong"}}
	charts, lengths := p.part("Steps, club by club", secCharts), p.part("How each length was taken", secLengths)
	charts.Note, lengths.Facts = strings.Join(strings.Fields(stepLegend), " "), p.methodFacts()
	parts := []pagePart{
		doubtful, p.part("Fails", secFails), p.part("Too close to call", secTooClose),
		p.part("Not measured, and what would decide it", secUnmeasured), p.part("Faults of the books that show here", secConflicts),
		p.part("Advice, which changes no verdict", secAdviceFails), p.part("Advice that is too close to call", secAdviceTooClose),
		p.part("Advice that is not measured", secAdviceUnmeasured), charts, passing, refused,
		{Title: "Rules not in force on " + p.head.On, Facts: pageFacts(p.restingRules())},
		{Title: "Totals", Facts: pageFacts(p.totals(n))}, {Title: "Rule books", Facts: pageFacts(p.books())},
		lengths, {Title: "What the words mean", Facts: pageFacts(meanings)},
	}
	if p.mends {
		parts = append(parts, pagePart{Title: "Before anything is cut", Lines: cautions})
	}
	v.Parts = slices.DeleteFunc(parts, func(t pagePart) bool { return t.Body == nil && t.Lines == nil && t.Facts == nil })
	return v
}

// part is the part of a section, without a body where that has nothing.
func (p *page) part(title string, of section) pagePart {
	t := pagePart{Title: title}
	if p.doc.empty(of) {
		return t
	}
	switch of {
	case secConflicts, secDoubtful, secRefused:
		t.Title = numbered(title, p.counts.of[of])
	case secCharts, secRest, secLengths:
	default:
		t.Title, t.List = numbered(title, p.counts.of[of]), p.o.Depth == Line
	}
	t.Body = func(yield func(template.HTML) bool) {
		p.doc.write(of, func(text []byte) error {
			if !yield(template.HTML(text)) {
				return io.ErrClosedPipe
			}
			return nil
		})
	}
	return t
}

func numbered(title string, n int) string { return title + ": " + strconv.Itoa(n) }

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

func (p *page) finding(dst []byte, r *engine.Result) ([]byte, int) {
	name, at := subjectLine(r.Subject)
	if p.o.Depth == Line {
		line := setBefore(r.Subject) + r.Rule.Decl.Name.Text + ": " + string(appendMessage(nil, r)) + " (" + at + ")"
		return p.drawn(dst, "line", line), len(dst)
	}
	dst = p.drawn(dst, "subject", pageSubject{name, at})
	return p.drawn(dst, "finding", p.found(r)), len(dst)
}

// found is what the page says of a result.
func (p *page) found(r *engine.Result) pageFinding {
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

func (p *page) fault(dst []byte, c *engine.Conflict) []byte {
	name, at := subjectLine(c.Subject)
	return p.drawn(p.drawn(dst, "subject", pageSubject{name, at}), "finding", pageFinding{Stamp: "NO VERDICT", Class: "open",
		Title: ruleTitle(c.Rule), Facts: pageFacts(faultEntries(c)), From: "The rule, " + bookLine(c.Rule.Decl.Span, c.Rule.Book)})
}

func (p *page) doubt(dst []byte, d club.Doubt) []byte {
	return p.drawn(dst, "row", []string{rowWords(d.Row), Visible(d.Column), Visible(d.Read), Visible(d.Message)})
}

func (p *page) refusal(dst []byte, f club.Refusal) []byte {
	wrong := Visible(f.Message)
	if f.Hint != "" {
		wrong += "; " + Visible(f.Hint)
	}
	return p.drawn(dst, "row", []string{rowWords(f.Row), Visible(f.Set), Visible(f.Column), Visible(f.Read), wrong})
}

func (p *page) missing(dst []byte, bag *club.Set, lines []entry) []byte {
	return p.drawn(dst, "bag", pageBag{bagName(bag.Name, bag.File), sheetName(bag.Name, bag.File), pageFacts(lines)})
}

func (p *page) passing(dst []byte, bag *club.Set, lines []entry) []byte {
	one := pageTable{Name: bagName(bag.Name, bag.File), Place: sheetName(bag.Name, bag.File), Heads: []string{"Club", "What it is", "Rules"}}
	for _, e := range lines {
		one.Rows = append(one.Rows, []string{e.label, e.amount, e.note})
	}
	return p.drawn(dst, "table", one)
}

func (p *page) chart(dst []byte, text string) []byte {
	return p.drawn(dst, "chart", strings.TrimRight(text, "\n"))
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
