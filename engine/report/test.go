package report

// This file is the view of what the cases of rule books came to: what is not as expected first, then what no case shows
// yet.

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

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
		p.put(slices.Concat(testedOutcomes(t, p.depth, o.Depth == Steps || o.Depth == Full), testedAdded(t), testedMissing(t), testedTotals(t))...)
	}
	return p.end()
}

// testedOutcomes are the expectations that were not met and, where asked for, those that were.
func testedOutcomes(t *data.Tested, depth Depth, all bool) (out []doc.Block) {
	var wrong, right []*trial.Outcome
	for i := range t.Outcomes {
		if one := &t.Outcomes[i]; one.Right() {
			right = append(right, one)
		} else {
			wrong = append(wrong, one)
		}
	}
	switch {
	case len(t.Outcomes) == 0:
		out = append(out, doc.Outcome{Tone: doc.Open, Lead: "THERE ARE NO CASES."})
	case len(wrong) == 0:
		out = append(out, doc.Outcome{Tone: doc.Pass, Lead: "ALL AS EXPECTED."})
	default:
		out = append(out, doc.Outcome{Tone: doc.Fail, Lead: "NOT AS EXPECTED:",
			Text: fmt.Sprintf("%d of %s.", len(wrong), wording.Counted(len(t.Outcomes), "expectation", "expectations"))})
	}
	if !all {
		right = nil
	}
	for i, one := range slices.Concat(wrong, right) {
		if i == 0 {
			out = append(out, doc.Gap{})
		}
		out = append(out, testedOutcome(one, depth))
	}
	return out
}

// testedOutcome is what came of an expectation, and why.
func testedOutcome(one *trial.Outcome, depth Depth) *doc.Finding {
	e := one.Expect
	out := &doc.Finding{Tone: doc.Fail, Stamp: fmt.Sprintf("line %d", e.Span.Line()),
		Text: e.Rule.Text + " on " + wording.OnCase(e) + ": ", Title: "case " + wording.CaseTitle(one.Case)}
	if one.Right() {
		out.Tone = doc.Pass
		out.Text += "as expected, " + wording.Expected(e)
	} else {
		out.Text += wording.Visible(wording.Outcome(one))
	}
	if depth == Line {
		return out
	}
	if one.Got != nil {
		found := finding(one.Got, depth)
		out.Next, out.Facts, out.Rule, out.More = found.Text, found.Facts, found.Rule, found.More
	}
	if c := one.Conflict; c != nil {
		out.Facts = append(out.Facts, placeFacts(c)...)
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

// factSection is a section of facts; nothing if there are none.
func factSection(tone doc.Tone, title string, list []doc.Fact) []doc.Block {
	if list == nil {
		return nil
	}
	return []doc.Block{doc.Gap{}, doc.Section{Tone: tone, Title: title}, doc.Facts{Level: 1, List: list}}
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
