package report

// This file is the view of what two editions of a book judge differently: what changed, rule by rule, with a club that
// shows it.

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine/contrast"
	"ferrule/engine/decide"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Diff writes what was found.
func Diff(w io.Writer, e *data.Editions, o Options) error {
	p := newPaper(w, o)
	if p.draw == nil {
		return data.Diff(w, o.Tool, e)
	}
	p.put(editionBlocks(e)...)
	return p.end(totals(editionTotals(e)...)...)
}

// editionBlocks are what was found for a reader.
func editionBlocks(e *data.Editions) []doc.Block {
	outcome := doc.Outcome{Tone: doc.Pass, Lead: "THE SAME:",
		Text: "no club, pair or set is judged differently, on any day."}
	switch {
	case len(e.Changes) > 0:
		outcome = doc.Outcome{Tone: doc.Fail, Lead: "JUDGED DIFFERENTLY:",
			Text: wording.Counted(len(e.Changes), "change", "changes") + ": " + changeWords(e.Changes) + "."}
	case len(e.LeftOut) > 0:
		outcome = doc.Outcome{Tone: doc.Open, Lead: "NO DIFFERENCE WAS FOUND, but not everything could be looked at."}
	}
	both := editionName(e.Old) + " and " + editionName(e.New)
	out := []doc.Block{doc.Head{Title: "Two editions", Right: both}, outcome}
	for i := 0; i < len(e.Changes); {
		r := e.Changes[i].Rule()
		var list []doc.Fact
		var moved *doc.Lanes
		for ; i < len(e.Changes) && e.Changes[i].Rule() == r; i++ {
			list = append(list, changeFacts(&e.Changes[i])...)
			if k := e.Changes[i].Contrast; moved == nil {
				moved = picture.Moved(k.Old.Result, k.New.Result)
			}
		}
		out = append(out, doc.Gap{}, doc.Subject{Name: r.Decl.Name.Text, Place: wording.BookLine(r.Decl.Span)},
			doc.Facts{Level: 1, List: list})
		if moved != nil {
			out = append(out, moved)
		}
	}
	if len(e.LeftOut) > 0 {
		out = append(out, doc.Gap{}, doc.Section{Tone: doc.Open, Title: numbered("Not looked at", len(e.LeftOut))})
		for _, o := range e.LeftOut {
			out = append(out, doc.Para{Text: wording.Visible(o.String()) + ".", Level: 1, Hang: 1})
		}
	}
	if e.Stock != nil {
		out = append(out, stockBlocks(e.Stock)...)
	}
	return out
}

// editionName is "spring.ferrule (2026-04-18)".
func editionName(b *book.Book) string {
	name := wording.Visible(b.Name)
	if b.Edition != "" {
		name += " (" + b.Edition + ")"
	}
	return name
}

// changeFacts are a change with the clubs that show it.
func changeFacts(c *editions.Change) []doc.Fact {
	k := c.Contrast
	entries := []doc.Fact{{Label: c.What.String(), Note: wording.Visible(c.Message)}}
	for i, line := range wording.Rows(k.Rows) {
		e := doc.Fact{Note: line, Level: 1}
		if i == 0 {
			e.Label = "shown by"
		}
		entries = append(entries, e)
	}
	if k.On != book.NoDay {
		entries = append(entries, doc.Fact{Label: "on", Note: k.On.String(), Level: 1})
	}
	return append(entries, doc.Fact{Label: "old", Note: said(k.Old.Result, c.Old), Level: 1},
		doc.Fact{Label: "new", Note: said(k.New.Result, c.New), Level: 1})
}

// said is what an edition says of a witness.
func said(r *judge.Result, of *book.Rule) string {
	switch {
	case r != nil:
		return r.Verdict.String() + ": " + wording.Statement(r)
	case of == nil:
		return "no such rule"
	}
	return "no verdict"
}

// stockBlocks are what became of the clubs of a stock.
func stockBlocks(s *data.Stock) []doc.Block {
	head := doc.Section{Title: "The clubs of " + wording.File(s.Sheet), Right: "on " + s.On.String(), Page: true}
	doubtful, others := rowSectionsApart(&s.Notes)
	blocks := slices.Concat([]doc.Block{doc.Gap{}, head}, doubtful, []doc.Block{doc.Gap{}}, orderLines(&s.Order))
	if len(s.Effects) == 0 {
		words := "None of them is judged differently."
		if len(s.Refused) > 0 {
			words = "None of those that could be read is judged differently."
		}
		blocks = append(blocks, doc.Para{Text: words})
	}
	for i := range s.Effects {
		x := &s.Effects[i]
		one := &doc.Finding{Stamp: "other", Tone: doc.Open, Title: "[" + x.Name() + "]"}
		switch {
		case inside(x.Old.Result) && x.New.Verdict(true) == decide.Fail:
			one.Stamp, one.Tone = "NOW OUT", doc.Fail
		case x.Old.Verdict(true) == decide.Fail && inside(x.New.Result):
			one.Stamp, one.Tone = "now in", doc.Pass
		}
		one.Text = effectName(x) + ": old " + said(x.Old.Result, x.Pair.Old)
		one.Next = "new " + said(x.New.Result, x.Pair.New)
		blocks = append(blocks, one)
	}
	return append(blocks, others...)
}

// inside reports whether a subject is not ruled out: it passes, is exempt, or no rule is about it.
func inside(r *judge.Result) bool {
	return r == nil || r.Verdict == decide.Pass || r.Verdict == decide.Exempt
}

// effectName is "Ada, d1 (driver)"; of a set its name.
func effectName(x *editions.Effect) string {
	if x.Subject.Kind == ast.OfSet {
		return bagName(x.Subject.Set, x.Subject.File)
	}
	return setBefore(x.Subject) + wording.Subject(x.Subject)
}

// editionTotals say how many rules there are, and how many changes.
func editionTotals(e *data.Editions) []doc.Fact {
	added := counted(e.Pairs, func(p *contrast.Pair) bool { return p.Old == nil })
	removed := counted(e.Pairs, func(p *contrast.Pair) bool { return p.New == nil })
	renamed := counted(e.Pairs, func(p *contrast.Pair) bool {
		return p.Old != nil && p.New != nil && p.Old.Decl.Name.Text != p.New.Decl.Name.Text
	})
	both := len(e.Pairs) - added - removed
	words := fmt.Sprintf("%d in both, %d new, %d gone", both, added, removed)
	if renamed > 0 {
		words += fmt.Sprintf("; %d of them renamed", renamed)
	}
	entries := []doc.Fact{{Label: "rules", Note: words}}
	if s := e.Stock; s != nil {
		entries = append(entries, doc.Fact{Label: "rows", Note: rowTotals(s.Rows, len(s.Refused), s.Aside)},
			doc.Fact{Label: "clubs", Note: wording.Counted(len(s.Effects), "judgement differs", "judgements differ")})
	}
	return entries
}

// changeWords counts changes by what changed: "2 limit, 1 scope".
func changeWords(changes []editions.Change) string {
	count := map[contrast.What]int{}
	for _, c := range changes {
		count[c.What]++
	}
	var parts []string
	for w := contrast.Added; w <= contrast.Weight; w++ {
		if count[w] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", count[w], w))
		}
	}
	return strings.Join(parts, ", ")
}
