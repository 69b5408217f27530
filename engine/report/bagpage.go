package report

// This file is what the page of a bag says beside the text. That is its verdict, the table of its clubs, the work in
// its order, and what was not read. Behind them come how its lengths were taken, and the rules that something does not
// pass.

import (
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// onPage is a finding as a page has it: with its number line, and without the words of its rule, which the page of the
// bag has once.
func onPage(f *doc.Finding, r *judge.Result, depth Depth) *doc.Finding {
	f.Rule = nil
	told := onLine
	switch {
	case r.Verdict >= decide.Pass:
		return f
	case r.Rule.Decl.Advice:
		if depth == Steps {
			f.Facts = nil
		}
		return f
	}
	if r.Subject.Kind != ast.OfNeighbours { // of these the steps of the set are shown
		f.Line = picture.Line(r)
	}
	if f.Line == nil {
		told = onLine[:2]
	}
	if depth == Steps {
		again(f, r.Rule)
		f.Facts = slices.DeleteFunc(f.Facts, func(e doc.Fact) bool { return slices.Contains(told, e.Label) })
	}
	return f
}

// onLine are the labels of the facts that a number line shows; the first two are in the sentence of the finding, too.
var onLine = []string{"value", "limit", "could be off by", "passes"}

// closePage says on the page of a bag what is not said result by result.
func (c *check) closePage(s *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	f := &s.facts
	var missing []string
	for _, m := range f.missing.lines() {
		missing = append(missing, "Missing: "+m.Text+".")
	}
	s.rest()
	outcome := f.outcome(len(refused), s.bag.Order.Gaps())
	if c.depth != Line {
		c.say(s, secCharts, rulesOf(f.page.Rules)...)
	}
	c.say(s, secCharts, f.charts.Blocks(c.depth == Full)...)
	c.say(s, secRest, rowSections(data.Remarks(doubtful, refused, s.bag.Aside))...)
	c.say(s, secLengths, doc.Beside(f.page.Taken(s.bag, c.holder)))
	s.counts.mends = s.counts.mends || f.page.Cuts
	if !s.said() && len(s.bag.Clubs) == 0 {
		return
	}
	top := bagSection(s.bag)
	top.Dense = true
	blocks := append([]doc.Block{top, outcome}, orderLines(&s.bag.Order)...)
	if len(s.bag.Clubs) > 0 {
		blocks = append(blocks, f.page.Clubs(s.bag))
	}
	if work, some := f.page.Work(missing); some {
		blocks = append(blocks, work)
	}
	c.say(s, secBag, blocks...)
}

// rulesOf are the words of rules, with where they are written.
func rulesOf(rules []*book.Rule) (out []doc.Block) {
	for i, r := range rules {
		if i == 0 {
			out = append(out, doc.Section{Title: "The rules, in their own words"})
		}
		out = append(out, &doc.Source{Place: wording.BookLine(r.Decl.Span), Lines: asking(r)})
	}
	return out
}

// asking are the lines of a rule without its mend, which is beside what fails.
func asking(r *book.Rule) []string {
	return slices.DeleteFunc(written(r), func(line string) bool {
		return strings.HasPrefix(strings.TrimSpace(line), "mend ")
	})
}
