package report

// This file says what came of a check as a whole: the outcome in a sentence, the totals, the books, and what the words
// mean.

import (
	"fmt"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
)

// outcome says in a sentence what came of a check.
func outcome(n *data.Totals) doc.Outcome {
	var tone doc.Tone
	var lead, sentence string
	t, v := n.Tally, n.Tally.Verdicts
	open := v[decide.TooClose] + v[decide.Unmeasured]
	switch {
	case v[decide.Fail] > 0:
		tone, lead = doc.Fail, "Something fails."
	case t.Results() == 0:
		tone, lead = doc.Open, "Nothing was judged."
	case n.RowsRefused > 0 || t.Conflicts > 0:
		tone, lead = doc.Open, "Not everything could be checked."
	case open > 0:
		tone, lead = doc.Open, "Nothing fails, but something cannot be told."
	case t.Results() == t.Advice:
		tone, lead = doc.Open, "No rule was judged, only advice."
	default:
		tone, lead = doc.Pass, "Everything passes."
	}
	var parts []string
	say := func(n int, one, many string) {
		if n > 0 {
			parts = append(parts, wording.Counted(n, one, many))
		}
	}
	say(v[decide.Fail], "fails", "fail")
	say(v[decide.TooClose], "is too close to call", "are too close to call")
	say(v[decide.Unmeasured], "is not measured", "are not measured")
	say(v[decide.Pass], "passes", "pass")
	say(v[decide.Exempt], "is exempt", "are exempt")
	if len(parts) > 0 {
		sentence = "Of " + wording.Counted(t.Results()-t.Advice, "judgement", "judgements") + " " + list(parts) + "."
	}
	if r := n.RowsRefused; r > 0 {
		sentence += " " + wording.Counted(r, "row could not be read and was not judged.",
			"rows could not be read and were not judged.")
	}
	if c := t.Conflicts; c > 0 {
		sentence += " In " + wording.Counted(c, "place", "places") +
			" the books disagree with themselves and give no verdict."
	}
	return doc.Outcome{Tone: tone, Lead: lead, Text: strings.TrimSpace(sentence)}
}

// notRuling says what a check is not.
var notRuling = doc.Aside(func() []doc.Block {
	return []doc.Block{doc.Para{Text: "A pre-check is no ruling, which rests with the event's Committee."}}
})

// cautions come below every plan of work on a shaft.
func cautions() []doc.Block {
	return []doc.Block{doc.Section{Title: "Before you cut"}, doc.List(wording.Cautions)}
}

// name is the title of the first book.
func (c *check) name() string {
	if len(c.head.Books) == 0 {
		return "Rule books"
	}
	b := c.head.Books[0]
	if b.Title == "" {
		return wording.Visible(b.Name)
	}
	return wording.Visible(b.Title)
}

// restingRules are the rules that are not in force, with their days.
func (c *check) restingRules() []doc.Fact {
	var entries []doc.Fact
	for _, r := range c.head.NotInForce {
		span := ""
		if r.Decl.From != nil {
			span = "from " + r.Decl.From.Date.Value
		}
		if r.Decl.Until != nil {
			span = strings.TrimLeft(span+" until "+r.Decl.Until.Date.Value, " ")
		}
		entries = append(entries, doc.Fact{Label: r.Decl.Name.Text,
			Note: span + ", " + wording.BookLine(r.Decl.Span, r.Book)})
	}
	return entries
}

// totals are those of a check, and its day.
func (c *check) totals(n *data.Totals) []doc.Fact {
	entries := []doc.Fact{{Label: "rows", Note: rowTotals(n.RowsJudged, n.RowsRefused,
		club.Aside{Superseded: n.RowsSuperseded, Skipped: n.RowsSkipped})}, {Label: "clubs", Note: c.clubTotals()}}
	v := n.Tally.Verdicts
	entries = append(entries, doc.Fact{Label: "rules",
		Note: fmt.Sprintf("%d pass, %d fail, %d too close, %d not measured, %d exempt",
			v[decide.Pass], v[decide.Fail], v[decide.TooClose], v[decide.Unmeasured], v[decide.Exempt])})
	if n.Tally.Conflicts > 0 {
		entries = append(entries, doc.Fact{Label: "faults",
			Note: wording.Counted(n.Tally.Conflicts, "place", "places") + " where the books disagree with themselves"})
	}
	if n.Tally.Advised > 0 {
		entries = append(entries, doc.Fact{Label: "advice", Note: wording.Counted(n.Tally.Advised, "piece", "pieces")})
	}
	entries = append(entries, doc.Fact{Label: "day", Note: c.head.On})
	return entries
}

// books are the books whose rules were judged.
func (c *check) books() []doc.Fact {
	var entries []doc.Fact
	for i, b := range c.head.Books {
		label := ""
		if i == 0 {
			label = "books"
		}
		note := wording.Visible(b.Name)
		if b.Title != "" {
			note = wording.Visible(b.Title) + " (" + note + ")"
		}
		if b.Edition != "" {
			note += ", edition " + b.Edition
		}
		entries = append(entries, doc.Fact{Label: label, Note: note})
	}
	return entries
}

// clubTotals is how many clubs pass and how many do not, by their own rules.
func (c *check) clubTotals() string {
	var parts []string
	for _, one := range []struct {
		v          decide.Verdict
		some, many string
	}{
		{decide.Pass, "passes", "pass"}, {decide.Fail, "fails", "fail"},
		{decide.TooClose, "is too close", "are too close"},
		{decide.Unmeasured, "is not measured", "are not measured"}, {0, "meets no rule", "meet no rule"},
	} {
		if n := c.clubs[one.v]; n > 0 {
			parts = append(parts, wording.Counted(n, one.some, one.many))
		}
	}
	if c.torn > 0 {
		parts = append(parts, wording.Counted(c.torn, "has", "have")+" no verdict")
	}
	if parts == nil {
		return "none"
	}
	return strings.Join(parts, ", ")
}

// meanings explain the words of the page to a reader who is new to them.
var meanings = doc.Aside(func() []doc.Block {
	return []doc.Block{doc.Section{Title: "What the words mean"}, doc.Facts{List: []doc.Fact{
		{Label: "Fails", Note: "The value is outside what the rule allows, as the rule decides."},
		{Label: "Too close to call", Note: "The measurement is not sure enough to tell on which side of the limit the club is."},
		{Label: "Not measured", Note: "The sheet lacks what the rule asks for. Nothing is assumed in its place."},
		{Label: "Exempt", Note: "An exception of the rule lifts it. It counts as passing."},
		{Label: "Advice", Note: "A hint of the book, which changes no verdict."},
		{Label: "Limit", Note: "What the value is held against. An allowance that the rule states is in it already; the rule's own words show both."},
		{Label: "Uncertainty, u", Note: "The standard uncertainty of a value (JCGM 100). Where a rule says that it counts, it narrows what passes (JCGM 106)."},
	}}}
})
