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
	all := o.Depth == Steps || o.Depth == Full
	for i := range books {
		t := &books[i]
		name, file := cmp.Or(wording.Visible(t.Book.Title), wording.Visible(t.Book.Name)), wording.Visible(t.Book.Name)
		if i == 0 {
			p.put(doc.Head{Title: name, Right: file})
		} else {
			p.put(doc.Gap{}, doc.Section{Title: name, Right: file, Page: true}, doc.Gap{})
		}
		p.put(slices.Concat(testedOutcomes(t, p.depth, all), testedGaps(t), testedTotals(t))...)
	}
	return p.end()
}

// testedOutcomes are the expectations that were not met and, where asked for, those that were.
func testedOutcomes(t *data.Tested, depth Depth, all bool) []doc.Block {
	var wrong, right []doc.Block
	for i := range t.Outcomes {
		if one := &t.Outcomes[i]; !one.Right() {
			wrong = append(wrong, testedOutcome(one, depth))
		} else if all {
			right = append(right, testedOutcome(one, depth))
		}
	}
	out := doc.Outcome{Tone: doc.Pass, Lead: "ALL AS EXPECTED."}
	switch {
	case len(t.Outcomes) == 0:
		out = doc.Outcome{Tone: doc.Open, Lead: "THERE ARE NO CASES."}
	case wrong != nil:
		out = doc.Outcome{Tone: doc.Fail, Lead: "NOT AS EXPECTED:",
			Text: fmt.Sprintf("%d of %s.", len(wrong), wording.Counted(len(t.Outcomes), "expectation", "expectations"))}
	}
	if wrong == nil && right == nil {
		return []doc.Block{out}
	}
	return slices.Concat([]doc.Block{out, doc.Gap{}}, wrong, right)
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

// testedGaps is what no case shows, unless it was said with the reason already, and the cases that were written.
func testedGaps(t *data.Tested) []doc.Block {
	var added, left, open []doc.Fact
	missing := 0
	say := func(to *[]doc.Fact, r *book.Rule, words ...string) {
		*to = append(*to, doc.Fact{Label: r.Decl.Name.Text, Note: strings.Join(words, "; ")})
	}
	for _, m := range t.Added {
		say(&added, m.Rule, wording.Gaps(m.Shows)...)
	}
	for _, l := range t.Left {
		say(&left, l.Rule, l.Gap.String()+": "+wording.Visible(l.Reason))
	}
	for _, c := range t.Coverage {
		if missing += len(c.Missing); len(c.Missing) > 0 && left == nil {
			say(&open, c.Rule, wording.Gaps(c.Missing)...)
		}
	}
	return slices.Concat(factSection(doc.Pass, numbered("Cases written", len(added)), added),
		factSection(doc.Open, numbered("No case shows, and none was found", len(left)), left),
		factSection(doc.Open, numbered("No case shows", missing), open))
}

// factSection is a section of facts; nothing if there are none.
func factSection(tone doc.Tone, title string, list []doc.Fact) []doc.Block {
	if list == nil {
		return nil
	}
	return []doc.Block{doc.Gap{}, doc.Section{Tone: tone, Title: title}, doc.Facts{Level: 1, List: list}}
}

// counted is how many of a list are so.
func counted[T any](list []T, so func(*T) bool) (n int) {
	for i := range list {
		if so(&list[i]) {
			n++
		}
	}
	return n
}

func testedTotals(t *data.Tested) []doc.Block {
	cases := t.Cases()
	met := func(all, right int) string { return fmt.Sprintf("%d: %d as expected, %d not", all, right, all-right) }
	entries := []doc.Fact{{Label: "cases", Note: met(len(cases), counted(cases, (*data.CaseRun).Right))},
		{Label: "expectations", Note: met(len(t.Outcomes), counted(t.Outcomes, (*trial.Outcome).Right))}}
	if t.Open > 0 {
		note := wording.Counted(t.Open, "case was", "cases were") +
			" worked out by ferrule: look at each, then take its comment away"
		entries = append(entries, doc.Fact{Label: "unconfirmed", Note: note})
	}
	if len(t.Coverage) > 0 {
		whole := counted(t.Coverage, func(c *trial.Coverage) bool { return len(c.Missing) == 0 })
		note := fmt.Sprintf("%d shown whole, %d not", whole, len(t.Coverage)-whole)
		if slices.ContainsFunc(t.Book.Uses, func(u book.Use) bool { return len(u.Rules) > 0 }) {
			note += "; rules of other books are shown by the cases there"
		}
		entries = append(entries, doc.Fact{Label: "rules", Note: note})
	}
	return totals(entries...)
}
