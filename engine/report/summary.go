package report

// This file says what came of a check as a whole: the outcome in a sentence, the totals and the books.

import (
	"cmp"
	"fmt"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
)

// tally counts subjects by their verdict; the first are those that no rule is about, the last those without a
// verdict, as the books contradict themselves. Exempt are those that pass only by a waiver.
type tally [torn + 1]int

// torn is no verdict, as the books contradict themselves.
const torn = decide.Exempt + 1

func (t *tally) add(o *tally) {
	for i, n := range o {
		t[i] += n
	}
}

// judged counts what came of clubs, by the worst of their own rules, of pairs and of sets.
type judged struct {
	tallies   [3]tally
	advices   int // results of advice
	conflicts int // places where the books contradict themselves
}

func (j *judged) add(o *judged) {
	for i := range o.tallies {
		j.tallies[i].add(&o.tallies[i])
	}
	j.advices, j.conflicts = j.advices+o.advices, j.conflicts+o.conflicts
}

// open is how many do not pass.
func (t *tally) open() int {
	return t[decide.Fail] + t[decide.TooClose] + t[decide.Unmeasured] + t[torn]
}

// all is how many there are that a rule is about.
func (t *tally) all() int { return t.open() + t[decide.Pass] + t[decide.Exempt] }

// parts say how many there are of each verdict.
func (t *tally) parts(passes bool) []string {
	counts := []count{{n: t[decide.Fail], one: "fails", many: "fail"},
		{n: t[decide.TooClose], one: "is too close to call", many: "are too close to call"},
		{n: t[decide.Unmeasured], one: "is not measured", many: "are not measured"},
		{n: t[torn], one: "has no verdict", many: "have no verdict"}}
	if passes {
		counts = append(counts, count{n: t[decide.Pass], one: "passes", many: "pass"},
			count{n: t[decide.Exempt], one: "passes by a waiver", many: "pass by a waiver"})
	}
	return worded(counts)
}

// lifted says, behind how many pass, how many of them do so only by a waiver; "" if none.
func (t *tally) lifted() string {
	switch n, all := t[decide.Exempt], t.all(); {
	case n == 0:
		return ""
	case all == 1:
		return ", by a waiver"
	default:
		return fmt.Sprintf(", %d of them by a waiver", n)
	}
}

// count is how many there are of something, and what that makes of the whole.
type count struct {
	n int
	doc.Tone
	lead, one, many string
}

// worded are the words of the counts that are not 0.
func worded(counts []count) (parts []string) {
	for _, c := range counts {
		if c.n > 0 {
			parts = append(parts, wording.Counted(c.n, c.one, c.many))
		}
	}
	return parts
}

// outcomeOf says how many there are of everything, and leads with the worst of it: of two equally bad the later.
func outcomeOf(lead string, counts ...count) doc.Outcome {
	parts := worded(counts)
	if parts == nil {
		return doc.Outcome{Tone: doc.Open, Lead: "NOTHING TO SAY:", Text: "the sheet has no clubs."}
	}
	out := doc.Outcome{Tone: doc.Pass, Lead: lead, Text: strings.Join(parts, "; ") + "."}
	for _, c := range counts {
		if c.n > 0 && c.Tone >= out.Tone && c.lead != "" {
			out.Tone, out.Lead = c.Tone, c.lead
		}
	}
	return out
}

// unread counts rows that could not be read.
func unread(n int, lead string) count {
	return count{n, doc.Open, lead, "row could not be read", "rows could not be read"}
}

// gaps count what came of an order.
func gaps(g club.Gaps, lead string) []count {
	return []count{
		{g.Of[club.NotOnSheet], doc.Open, lead, "ordered club is not on the sheet",
			"ordered clubs are not on the sheet"},
		{g.Refused, doc.Open, lead, "row of the order could not be read", "rows of the order could not be read"},
		{g.Of[club.NotOrdered], doc.Pass, "", "club was not ordered", "clubs were not ordered"},
		{g.Of[club.OtherClub], doc.Fail, lead, "club is another one in the order", "clubs are others in the order"},
	}
}

// outcome says in a sentence what came of it, of rows that could not be read, and of an order.
func (j *judged) outcome(refused int, order club.Gaps) doc.Outcome {
	var t tally
	for i := range j.tallies {
		t.add(&j.tallies[i])
	}
	absent := order.Of[club.NotOnSheet]
	out := doc.Outcome{Tone: doc.Open}
	switch {
	case t[decide.Fail]+order.Of[club.OtherClub] > 0:
		out.Tone, out.Lead = doc.Fail, "DOES NOT PASS:"
	case refused+order.Refused+j.conflicts > 0:
		out.Lead = "NOT EVERYTHING COULD BE CHECKED:"
	case t.all()+j.advices+absent == 0:
		out.Lead, out.Text = "NOTHING WAS JUDGED:", "no rule in force applies to these clubs."
		return out
	case t[decide.TooClose]+t[decide.Unmeasured]+absent > 0:
		out.Lead = "NOT DECIDED YET:"
	case t.all() == 0:
		out.Lead, out.Text = "NO RULE WAS JUDGED,", "only advice."
		return out
	default:
		out.Tone, out.Lead = doc.Pass, "PASSES:"
	}
	var parts, passing []string
	for i, one := range []string{"club", "pair", "set"} {
		t := &j.tallies[i]
		switch n, every := t.all(), everyOne(t.all(), one); {
		case n == 0:
		case t.open() == 0 && n == 1:
			passing = append(passing, every+" passes"+t.lifted())
		case t.open() == 0:
			passing = append(passing, every+" pass"+t.lifted())
		case n == 1:
			parts = append(parts, every+strings.TrimPrefix(t.parts(false)[0], "1"))
		case t[decide.Fail] == n:
			parts = append(parts, every+" fail")
		default:
			parts = append(parts, fmt.Sprintf("of %d %ss ", n, one)+strings.Join(t.parts(false), ", "))
		}
	}
	if parts == nil {
		parts = passing
	}
	if parts == nil {
		parts = append(parts, "nothing was judged")
	}
	rest := append([]count{unread(refused, "")}, gaps(order, "")...)
	rest = append(rest, count{n: j.conflicts, one: "place where the books contradict themselves and give no verdict",
		many: "places where the books contradict themselves and give no verdict"})
	parts = append(parts, worded(rest)...)
	out.Text = strings.Join(parts, "; ") + "."
	return out
}

// everyOne is "the club", "both clubs" or "all 3 clubs".
func everyOne(n int, one string) string {
	switch n {
	case 1:
		return "the " + one
	case 2:
		return "both " + one + "s"
	}
	return fmt.Sprintf("all %d %ss", n, one)
}

// name is the title of the first book.
func (c *check) name() string {
	if len(c.head.Books) == 0 {
		return "Rule books"
	}
	return wording.Visible(cmp.Or(c.head.Books[0].Title, c.head.Books[0].Name))
}

// totals are what was not judged, and why, the totals and the books.
func (c *check) totals(n *data.Totals) []doc.Fact {
	var out []doc.Fact
	say := func(label, note string) { out = append(out, doc.Fact{Label: label, Note: note}) }
	for _, w := range c.without {
		sheet := "the sheet"
		if len(c.sheets) > 1 {
			sheet = w.sheet
		}
		say("no column", sheet+" has no column "+strings.Join(w.columns, ", ")+": "+
			wording.Counted(len(w.rules), "rule", "rules")+" could not be judged")
	}
	for _, w := range n.Waivers {
		say("waiver", wording.Waived(w))
	}
	if len(n.MetNothing) > 0 {
		say("met no club", ruleNames(n.MetNothing))
	}
	for _, r := range c.head.NotInForce {
		from, until := wording.Labelled("from", r.From.String()), wording.Labelled("until", r.Until.String())
		say("not in force", r.Decl.Name.Text+", "+wording.Join(" ", from, until))
	}
	if c.head.Order != "" {
		say("order", "read from "+wording.File(c.head.Order))
	}
	say("rows", rowTotals(n.RowsJudged, n.RowsRefused,
		club.Aside{Superseded: n.RowsSuperseded, Skipped: n.RowsSkipped}))
	clubs := c.tallies[0].parts(true)
	if none := c.tallies[0][0]; none > 0 && clubs != nil {
		clubs = append(clubs, wording.Counted(none, "meets no rule of its own", "meet no rule of their own"))
	}
	if clubs != nil {
		say("clubs", strings.Join(clubs, ", "))
	}
	v := n.Tally.Verdicts
	say("results", fmt.Sprintf("%d pass, %d fail, %d too close to call, %d not measured, %d exempt", v[decide.Pass],
		v[decide.Fail], v[decide.TooClose], v[decide.Unmeasured], v[decide.Exempt]))
	if n.Tally.Advised > 0 {
		say("advice", wording.Counted(n.Tally.Advised, "piece", "pieces")+" (does not affect the result)")
	}
	return append(out, c.books()...)
}

// books are the books whose rules were judged, and whom to ask about them.
func (c *check) books() (out []doc.Fact) {
	label := "books"
	for i, b := range c.head.Books {
		note := wording.Visible(b.Name)
		if b.Title != "" {
			note = wording.Visible(b.Title) + " (" + note + ")"
		}
		out = append(out, doc.Fact{Label: label, Note: wording.Join(", ", note, b.Edition)})
		label = ""
		if i == 0 && b.Contact != "" && !c.page { // the head of a page says whom to ask
			out = append([]doc.Fact{{Label: "contact", Note: wording.Visible(b.Contact)}}, out...)
		}
	}
	return out
}
