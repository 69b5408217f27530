package editor

// This file shows results beside the lines of a book: those of its cases, and what a line does not say itself.

import (
	"ferrule/engine/report/wording"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// lens is a line of text above a line of a document.
type lens struct {
	Range   Range `json:"range"`
	Command struct {
		Title   string `json:"title"`
		Command string `json:"command"` // none: there is nothing to click
	} `json:"command"`
}

// lenses are the outcomes of the cases of a document, and what was expected otherwise.
func lenses(r *request) (any, error) {
	all := []lens{}
	add := func(at source.Span, title string) {
		l := lens{Range: r.doc.Range(source.Span{File: at.File, Start: at.Start, End: at.Start})}
		l.Command.Title = title
		all = append(all, l)
	}
	b := r.doc.Books()
	outcomes := b.outcomes()
	for _, c := range b.Root().Cases {
		at := len(all)
		for i := range outcomes {
			o := &outcomes[i]
			if o.Case != c {
				continue
			}
			if at == len(all) {
				add(c.Span, "pass")
			}
			if !o.Right() {
				all[at].Command.Title = "fail"
				add(o.Expect.Span, wording.Visible(wording.Outcome(o)))
			}
		}
	}
	return all, nil
}

// hint is a text within a line of a document that is not part of it.
type hint struct {
	Position    Position `json:"position"`
	Label       string   `json:"label"`
	PaddingLeft bool     `json:"paddingLeft"`
}

// otherUnit are the units that a shop which works in the other system reads.
var otherUnit = map[string]string{"in": "mm", "ft": "mm", "mm": "in", "cm": "in", "m": "in", "oz": "g", "lb": "g",
	"grain": "g", "g": "oz", "kg": "lb", "in2": "mm2", "mm2": "in2", "in3": "cm3", "cm3": "in3", "cc": "in3"}

// hints are the decisions that rules inherit, and quantities in the other unit.
func hints(r *request) (any, error) {
	all := []hint{}
	add := func(at source.Span, label string) {
		if p := r.doc.Position(at.End); r.Range.touches(Range{p, p}) {
			all = append(all, hint{p, label, true})
		}
	}
	for _, rule := range r.doc.Books().Root().Rules {
		if rule.Decl.Decision == nil && rule.Stated && rule.Decl.Require != nil {
			add(rule.Decl.Require.Span, rule.Decision.Span.OneLine())
		}
	}
	for _, c := range r.doc.clauses() {
		for _, t := range c.Tokens {
			q, _, err := unit.Scan(t.Text)
			if t.Kind != parser.Quantity || err != nil || !q.HasUnit {
				continue
			}
			if other := otherUnit[q.Unit.Name]; other != "" {
				add(t.Span, "= "+unit.Format(q.Base(), unit.Lookup(other)))
			}
		}
	}
	return all, nil
}
