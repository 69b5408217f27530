package report

// This file writes what the cases of rule books came to, for a person: what is not as
// expected first, then what no case shows yet. testjson.go writes it for other programs.

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/report/doc"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Tested is what the cases of one book came to.
type Tested struct {
	Book     *book.Book
	Outcomes []trial.Outcome
	Coverage []trial.Coverage
	Added    []trial.Made // cases that were written into the book
	Left     []trial.Left // what no case could be worked out for
	Open     int          // cases that a person has still to confirm
}

// TestFormats lists the formats of what came of cases.
func TestFormats() []string { return Formats("json", "junit") }

// Tests writes what the cases of books came to.
func Tests(w io.Writer, books []Tested, o Options) error {
	switch o.Format {
	case "json":
		return testsJSON(w, books)
	case "junit":
		return testsJUnit(w, books)
	}
	p := newPaper(w, o)
	for i := range books {
		t := &books[i]
		name, file := cmp.Or(Visible(t.Book.Title), Visible(t.Book.Name)), Visible(t.Book.Name)
		if i == 0 {
			p.put(doc.Head{Title: name, Right: file})
		} else {
			p.put(doc.Gap{}, doc.Section{Title: name, Right: file, Page: true}, doc.Gap{})
		}
		p.put(slices.Concat(t.outcomes(o), t.added(), t.missing(), t.totals())...)
	}
	return p.end()
}

// caseRun is a case with its outcomes.
type caseRun struct {
	decl     *ast.Case
	outcomes []trial.Outcome
}

// right reports whether all is as the case expects.
func (c *caseRun) right() bool {
	return !slices.ContainsFunc(c.outcomes, func(o trial.Outcome) bool { return !o.Right() })
}

// cases groups outcomes by their cases, which stand together.
func (t *Tested) cases() []caseRun {
	var out []caseRun
	for _, o := range t.Outcomes {
		if n := len(out); n == 0 || out[n-1].decl != o.Case {
			out = append(out, caseRun{decl: o.Case})
		}
		last := &out[len(out)-1]
		last.outcomes = append(last.outcomes, o)
	}
	return out
}

// caseTitle is the title of a case; without one its line serves.
func caseTitle(c *ast.Case) string {
	if c.Title != nil && c.Title.Value != "" {
		return Visible(c.Title.Value)
	}
	return fmt.Sprintf("line %d", c.Span.Line())
}

// onWords is the subject of an expectation as the book writes it: "a, b", "set one".
func onWords(e *ast.Expect) string {
	if e.OnSet {
		if e.Set != nil {
			return "set " + Visible(e.Set.Value)
		}
		return "set"
	}
	var ids []string
	for _, on := range e.On {
		id := Visible(on.ID.Value)
		if on.Of != nil {
			id += " of " + Visible(on.Of.Value)
		}
		ids = append(ids, id)
	}
	return strings.Join(ids, ", ")
}

// expectedWords is what an expectation asks for: "pass value 46 in +/- 0.1 in excepted".
func expectedWords(e *ast.Expect) string {
	s := e.Verdict.Text
	if e.Value != nil {
		s += " value " + oneLine(e.Value.Place())
		if e.PlusMinus != nil {
			s += " +/- " + oneLine(e.PlusMinus.Place())
		}
	}
	if e.Excepted {
		s += " excepted"
	}
	if e.Mend != nil {
		s += ` mend "` + Visible(e.Mend.Value) + `"`
	}
	return s
}

// gotWords is what came of an expectation, in the same order; of what was not asked for the
// verdict alone is said.
func gotWords(o *trial.Outcome) string {
	if o.Got == nil {
		return "none"
	}
	s := o.Got.Verdict.String()
	if o.Expect.Value != nil && o.Got.Value.Known() {
		s += " value " + o.Got.Value.String()
	}
	if o.Expect.Excepted && o.Got.Exception != nil {
		s += " excepted"
	}
	if o.Expect.Mend != nil && o.Got.Mend != "" {
		s += ` mend "` + Visible(o.Got.Mend) + `"`
	}
	return s
}

// outcomes are the expectations that were not met and, where asked, those that were.
func (t *Tested) outcomes(o Options) []doc.Block {
	var wrong, right []*trial.Outcome
	for i := range t.Outcomes {
		if one := &t.Outcomes[i]; one.Right() {
			right = append(right, one)
		} else {
			wrong = append(wrong, one)
		}
	}
	var out []doc.Block
	say := func(tone doc.Tone, title string, outcomes []*trial.Outcome) {
		out = append(out, doc.Section{Tone: tone, Title: numbered(title, len(outcomes))})
		for _, one := range outcomes {
			out = append(out, t.outcome(one, o.Depth)...)
		}
		if o.Depth == Line {
			out = append(out, doc.Gap{})
		}
	}
	switch {
	case len(t.Outcomes) == 0:
		out = append(out, doc.Outcome{Tone: doc.Open, Lead: "There are no cases."}, doc.Gap{})
	case len(wrong) == 0:
		out = append(out, doc.Outcome{Tone: doc.Pass, Lead: "All is as expected."}, doc.Gap{})
	default:
		say(doc.Fail, "Not as expected", wrong)
	}
	if len(right) > 0 && o.full() {
		say(doc.Pass, "As expected", right)
	}
	return out
}

// outcome is what came of an expectation, and why.
func (t *Tested) outcome(one *trial.Outcome, depth Depth) []doc.Block {
	e := one.Expect
	left := e.Rule.Text + " on " + onWords(e)
	right := fmt.Sprintf("%s:%d", Visible(t.Book.Name), e.Span.Line())
	if depth == Line {
		return []doc.Block{doc.Para{Text: right + ": " + left + ": " + Visible(one.Words()), Level: 1, Hang: 2}}
	}
	out := []doc.Block{doc.Subject{Name: left, Place: right}, doc.Para{Text: "case " + caseTitle(one.Case), Level: 1, Hang: 1}}
	if !one.Right() {
		table := &doc.Table{Level: 2, Heads: []string{"", "expected", "got"}}
		for _, d := range one.Wrong {
			table.Rows = append(table.Rows, doc.Row{Cells: []string{d.What, Visible(d.Expected), Visible(d.Got)}})
		}
		out = append(out, table)
	}
	if one.Why != "" {
		out = append(out, doc.Facts{Level: 2, List: []doc.Fact{{Label: "because", Note: Visible(one.Why)}}})
	}
	if one.Got != nil {
		got := *one.Got
		got.Steps = byLines(got.Steps)
		found := finding(&got, depth == Full)
		found.Title = "" // the rule was named
		out = append(out, found)
	}
	if c := one.Conflict; c != nil {
		out = append(out, doc.Facts{Level: 2, List: placeFacts(c)})
	}
	return append(out, doc.Gap{})
}

// byLines are the facts behind a result on clubs of a case: where a club stands is a line
// of the book, not a row of a sheet.
func byLines(steps []engine.Step) []engine.Step {
	out := slices.Clone(steps)
	for i := range out {
		one := &out[i]
		if one.Place.Row > 0 && one.Club != "" {
			one.Club = fmt.Sprintf("%s, line %d", one.Club, one.Place.Row)
			one.Place = club.Row{}
		}
		one.Sub = byLines(one.Sub)
	}
	return out
}

// missing is what no case shows, unless it was said with the reason already.
func (t *Tested) missing() []doc.Block {
	if len(t.Left) > 0 {
		return nil
	}
	var list []doc.Fact
	for _, c := range t.Coverage {
		if len(c.Missing) > 0 {
			list = append(list, doc.Fact{Label: c.Rule.Decl.Name.Text, Note: strings.Join(gapWords(c.Missing), "; ")})
		}
	}
	return factSection(doc.Open, numbered("No case shows", t.gaps()), list)
}

// added are the cases that were written, and what none could be worked out for.
func (t *Tested) added() []doc.Block {
	var added, left []doc.Fact
	for _, m := range t.Added {
		added = append(added, doc.Fact{Label: m.Rule.Decl.Name.Text, Note: strings.Join(gapWords(m.Shows), "; ")})
	}
	for _, l := range t.Left {
		left = append(left, doc.Fact{Label: l.Rule.Decl.Name.Text, Note: l.Gap.String() + ": " + Visible(l.Reason)})
	}
	return append(factSection(doc.Pass, numbered("Cases written", len(added)), added),
		factSection(doc.Open, numbered("No case shows, and none was found", len(left)), left)...)
}

// factSection is a section of facts; nothing where there are none.
func factSection(tone doc.Tone, title string, list []doc.Fact) []doc.Block {
	if list == nil {
		return nil
	}
	return []doc.Block{doc.Section{Tone: tone, Title: title}, doc.Facts{Level: 1, List: list}, doc.Gap{}}
}

func gapWords(gaps []trial.Gap) []string {
	words := make([]string, len(gaps))
	for i, g := range gaps {
		words[i] = g.String()
	}
	return words
}

// gaps is how many things no case shows.
func (t *Tested) gaps() int {
	n := 0
	for _, c := range t.Coverage {
		n += len(c.Missing)
	}
	return n
}

func (t *Tested) totals() []doc.Block {
	cases := t.cases()
	failed, wrong := 0, 0
	for i := range cases {
		if !cases[i].right() {
			failed++
		}
	}
	for i := range t.Outcomes {
		if !t.Outcomes[i].Right() {
			wrong++
		}
	}
	whole := 0
	for _, c := range t.Coverage {
		if len(c.Missing) == 0 {
			whole++
		}
	}
	entries := []doc.Fact{
		{Label: "cases", Note: fmt.Sprintf("%d: %d as expected, %d not", len(cases), len(cases)-failed, failed)},
		{Label: "expectations", Note: fmt.Sprintf("%d: %d as expected, %d not", len(t.Outcomes), len(t.Outcomes)-wrong, wrong)},
	}
	if t.Open > 0 {
		entries = append(entries, doc.Fact{Label: "unconfirmed", Note: counted(t.Open, "case was", "cases were") + " worked out by ferrule: look at each, then take its comment away"})
	}
	if len(t.Coverage) > 0 {
		note := fmt.Sprintf("%d shown whole, %d not", whole, len(t.Coverage)-whole)
		if slices.ContainsFunc(t.Book.Uses, func(u book.Use) bool { return len(u.Rules) > 0 }) {
			note += "; rules of other books are shown by the cases there"
		}
		entries = append(entries, doc.Fact{Label: "rules", Note: note})
	}
	return totals(entries...)
}
