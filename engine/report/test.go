package report

// This file is the view of what the cases of rule books came to: what is not as expected first, then what no case shows
// yet.

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/trial"
	"ferrule/lang/book"
)

// TestFormats lists the formats of what came of cases.
func TestFormats() []string { return Formats("json", "junit") }

// Tests writes what the cases of books came to.
func Tests(w io.Writer, books []data.Tested, o Options) error {
	if o.Format == "junit" {
		return data.JUnit(w, books)
	}
	p := newPaper(w, o)
	if p.draw == nil {
		return data.Tests(w, o.Tool, books)
	}
	for i := range books {
		t := &books[i]
		name, file := cmp.Or(wording.Visible(t.Book.Title), wording.Visible(t.Book.Name)), wording.Visible(t.Book.Name)
		if i == 0 {
			p.put(doc.Head{Title: name, Right: file})
		} else {
			p.put(doc.Gap{}, doc.Section{Title: name, Right: file, Page: true}, doc.Gap{})
		}
		p.put(slices.Concat(testedOutcomes(t, o), testedAdded(t), testedMissing(t), testedTotals(t))...)
	}
	return p.end()
}

// testedOutcomes are the expectations that were not met and, where asked, those that were.
func testedOutcomes(t *data.Tested, o Options) []doc.Block {
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
			out = append(out, testedOutcome(t, one, o.Depth)...)
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

// testedOutcome is what came of an expectation, and why.
func testedOutcome(t *data.Tested, one *trial.Outcome, depth Depth) []doc.Block {
	e := one.Expect
	left := e.Rule.Text + " on " + wording.OnCase(e)
	right := fmt.Sprintf("%s:%d", wording.Visible(t.Book.Name), e.Span.Line())
	if depth == Line {
		return []doc.Block{doc.Para{Text: right + ": " + left + ": " + wording.Visible(wording.Outcome(one)), Level: 1, Hang: 2}}
	}
	out := []doc.Block{doc.Subject{Name: left, Place: right},
		doc.Para{Text: "case " + wording.CaseTitle(one.Case), Level: 1, Hang: 1}}
	if !one.Right() {
		table := &doc.Table{Level: 2, Heads: []string{"", "expected", "got"}}
		for _, d := range one.Wrong {
			table.Rows = append(table.Rows, doc.Row{Cells: []string{d.What, wording.Visible(d.Expected),
				wording.Visible(d.Got)}})
		}
		out = append(out, table)
	}
	if why := wording.Because(one); why != "" {
		out = append(out, doc.Facts{Level: 2, List: []doc.Fact{{Label: "because", Note: wording.Visible(why)}}})
	}
	if one.Got != nil {
		got := *one.Got
		got.Steps = byLines(got.Steps)
		found := finding(&got, depth)
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
func byLines(steps []eval.Step) []eval.Step {
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

// testedMissing is what no case shows, unless it was said with the reason already.
func testedMissing(t *data.Tested) []doc.Block {
	if len(t.Left) > 0 {
		return nil
	}
	var list []doc.Fact
	for _, c := range t.Coverage {
		if len(c.Missing) > 0 {
			list = append(list, doc.Fact{Label: c.Rule.Decl.Name.Text,
				Note: strings.Join(wording.Gaps(c.Missing), "; ")})
		}
	}
	return factSection(doc.Open, numbered("No case shows", testedGaps(t)), list)
}

// testedAdded are the cases that were written, and what none could be worked out for.
func testedAdded(t *data.Tested) []doc.Block {
	var added, left []doc.Fact
	for _, m := range t.Added {
		added = append(added, doc.Fact{Label: m.Rule.Decl.Name.Text, Note: strings.Join(wording.Gaps(m.Shows), "; ")})
	}
	for _, l := range t.Left {
		left = append(left, doc.Fact{Label: l.Rule.Decl.Name.Text,
			Note: l.Gap.String() + ": " + wording.Visible(l.Reason)})
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

// testedGaps is how many things no case shows.
func testedGaps(t *data.Tested) int {
	n := 0
	for _, c := range t.Coverage {
		n += len(c.Missing)
	}
	return n
}

func testedTotals(t *data.Tested) []doc.Block {
	cases := t.Cases()
	failed, wrong := 0, 0
	for i := range cases {
		if !cases[i].Right() {
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
		{Label: "expectations", Note: fmt.Sprintf("%d: %d as expected, %d not", len(t.Outcomes),
			len(t.Outcomes)-wrong, wrong)},
	}
	if t.Open > 0 {
		entries = append(entries, doc.Fact{Label: "unconfirmed",
			Note: wording.Counted(t.Open, "case was", "cases were") +
				" worked out by ferrule: look at each, then take its comment away"})
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
