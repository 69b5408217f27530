package format

// This file takes declarations apart into their lines.

import (
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/source"
)

// parts are the first line of a declaration, its clauses in any order, and the
// column to which their words are padded.
func parts(d ast.Decl) (first piece, body []piece, column int) {
	switch d := d.(type) {
	case *ast.Header:
		return header(d)
	case *ast.Use:
		return use(d), nil, 0
	case *ast.Group:
		return whole(d, "group "+d.Name.Text, "= "+selector(d.Selector)), nil, 0
	case *ast.Property:
		return whole(d, "property "+d.Name.Text, d.Sort.Text+by(d.Method)), nil, 0
	case *ast.Let:
		return whole(d, "let "+d.Name.Text, "= "+expr(d.Value)), nil, 0
	case *ast.Allowance:
		return whole(d, some("allowance "+d.Of.Text, expr(d.Amount), strings.TrimPrefix(behind("within", d.Within), " "),
			strings.TrimPrefix(behind("where", d.Where), " "))...), nil, 0
	case *ast.Chart:
		return chart(d)
	case *ast.Method:
		return method(d)
	case *ast.Head:
		return head(d)
	case *ast.Rule:
		return rule(d)
	case *ast.Case:
		return testCase(d)
	}
	return piece{}, nil, 0
}

// whole is a declaration of one line.
func whole(d ast.Decl, cells ...string) piece { return piece{end: d.Place().End, cells: cells} }

// some are the cells that are not empty.
func some(cells ...string) []string {
	var all []string
	for _, c := range cells {
		if c != "" {
			all = append(all, c)
		}
	}
	return all
}

// firstLine is a first line that ends where its last part does.
func firstLine(text string, last source.Span) piece {
	return piece{end: last.End, cells: []string{text}}
}

// titled is "word NAME" with the title where there is one.
func titled(word string, name ast.Name, title *ast.Text) piece {
	if title == nil {
		return firstLine(word+" "+name.Text, name.Span)
	}
	return firstLine(word+" "+name.Text+" "+quoted(title.Value), title.Span)
}

// clauses gathers clauses, of which any may be missing.
type clauses []piece

func (c *clauses) add(s source.Span, cells ...string) {
	*c = append(*c, piece{start: s.Start, end: s.End, cells: some(cells...)})
}

func (c *clauses) date(word string, d *ast.DateClause) {
	if d != nil {
		c.add(d.Span, word, d.Date.Value)
	}
}

func (c *clauses) text(word string, t *ast.TextClause) {
	if t != nil {
		c.add(t.Span, word, quoted(t.Text.Value))
	}
}

func (c *clauses) quantity(word, before string, q *ast.QuantityClause) {
	if q != nil {
		c.add(q.Span, word, before+expr(q.Value))
	}
}

func (c *clauses) decision(d *ast.Decision) {
	if d != nil {
		c.add(d.Span, "decision", decision(d))
	}
}

func header(d *ast.Header) (piece, []piece, int) {
	var c clauses
	c.date("edition", d.Edition)
	c.decision(d.Decision)
	c.text("contact", d.Contact)
	c.quantity("butt-mass", "", d.ButtMass)
	c.quantity("tip-mass", "", d.TipMass)
	c.quantity("extension", "at most ", d.Extension)
	return firstLine("rulebook "+quoted(d.Title.Value), d.Title.Span), c, 10
}

func use(d *ast.Use) piece {
	text := "use "
	if d.Shipped != nil {
		text += d.Shipped.Text
	} else {
		text += quoted(d.Path.Value)
	}
	if len(d.Only) > 0 {
		text += " only " + names(d.Only)
	}
	if len(d.Without) > 0 {
		text += " without " + names(d.Without)
	}
	return whole(d, text)
}

func chart(d *ast.Chart) (piece, []piece, int) {
	var c clauses
	for _, r := range d.Rows {
		c.add(r.Span, list(r.Items), "= "+expr(r.Value)+behind("where", r.Where))
	}
	// The last word of the first line, "club", is no node.
	end := d.Of.Span.End
	if i := strings.Index(d.Span.File.Text[end:d.Span.End], "club"); i >= 0 {
		end += i + len("club")
	}
	return piece{end: end, cells: []string{"chart " + d.Name.Text + " of " + ref(d.Of) + " per club"}}, c, 0
}

func method(d *ast.Method) (piece, []piece, int) {
	var c clauses
	if d.Covers != nil {
		c.add(d.Covers.Span, "covers", "every "+selector(d.Covers.Selector))
	}
	if d.Stop != nil {
		c.add(d.Stop.Span, "stop", stop(d.Stop))
	}
	if d.Top != nil {
		c.add(d.Top.Span, "top", top(d.Top))
	}
	c.quantity("reads", "to ", d.Reads)
	c.quantity("lie-set", "within ", d.LieSet)
	c.quantity("ruler", "within ", d.Ruler)
	return titled("method", d.Name, d.Title), c, 9
}

func head(d *ast.Head) (piece, []piece, int) {
	var c clauses
	for i, m := range d.Shape {
		if m != nil {
			c.add(m.Span, ast.ShapeWords[i], expr(m.Value), strings.TrimPrefix(behind("within", m.Within), " "))
		}
	}
	last := d.Items[len(d.Items)-1].Span
	if d.Where != nil {
		last = d.Where.Place()
	}
	return firstLine("head "+list(d.Items)+behind("where", d.Where), last), c, 13
}

func rule(d *ast.Rule) (piece, []piece, int) {
	var c clauses
	if d.For != nil {
		c.add(d.For.Span, "for", subject(d.For))
	}
	if d.Require != nil {
		text := expr(d.Require.Value)
		if d.Require.Bound != nil {
			text += " " + bound(d.Require.Bound)
		}
		c.add(d.Require.Span, "require", text)
	}
	for _, u := range d.Unless {
		outcome := "exempt"
		if !u.Exempt {
			outcome = bound(u.Bound)
		}
		c.add(u.Span, "unless", expr(u.Condition)+":"+gap+outcome)
	}
	c.decision(d.Decision)
	c.date("from", d.From)
	c.date("until", d.Until)
	for _, t := range d.Cites {
		c.text("cite", t)
	}
	c.text("mend", d.Mend)
	word := "rule"
	if d.Advice {
		word = "advice"
	}
	return titled(word, d.Name, d.Title), c, 9
}

func testCase(d *ast.Case) (piece, []piece, int) {
	var c clauses
	for _, s := range d.Sets {
		if s.ID != nil {
			c.add(source.Span{File: s.Span.File, Start: s.Span.Start, End: s.ID.Span.End}, "set", id(s.ID))
		}
		for _, k := range s.Clubs {
			c.add(k.Span, "club", club(k))
		}
	}
	c.date("on", d.On)
	for _, e := range d.Expects {
		c.add(e.Span, "expect", expect(e))
	}
	return firstLine("case "+quoted(d.Title.Value), d.Title.Span), c, 9
}
