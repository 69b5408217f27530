package vet

// This file looks for two rows of a chart, two allowances or two heads that hold for one club and differ: a fault of
// the book that would be told when such a club is judged. Rows that plainly meet were told of when the book was
// checked.

import (
	"fmt"
	"slices"

	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// bookRow is a row of a book with the clubs that it is for.
type bookRow struct {
	own   bool
	info  *book.Info
	items []*ast.Item // nil: any club
	where ast.Expr
	span  source.Span
	says  string // rows that say the same may meet
}

// clashing looks at all charts of the book, and at the allowances and heads of all books that it uses.
func (a *analyst) clashing() {
	n := book.NewKeys(false)
	var caps, crowns, heads []bookRow
	for _, b := range book.Reach([]*book.Book{a.book}) {
		own := b == a.book
		for _, x := range b.Allowances {
			row := bookRow{own, b.Info, nil, x.Decl.Where, x.Decl.Span, n.Allowance(x)}
			if x.Crown {
				crowns = append(crowns, row)
			} else {
				caps = append(caps, row)
			}
		}
		for _, h := range b.Heads {
			heads = append(heads, bookRow{own, b.Info, h.Decl.Items, h.Decl.Where, h.Decl.Span, n.Head(h)})
		}
	}
	a.meet(n, "allowances for a cap", caps)
	a.meet(n, "allowances for a crown", crowns)
	a.meet(n, "heads", heads)
	for _, h := range a.book.Charts {
		var rows []bookRow
		for i, row := range h.Decl.Rows {
			rows = append(rows, bookRow{true, a.book.Info, row.Items, row.Where, row.Span, h.Values[i].Exact.RatString()})
		}
		a.meet(n, "rows of the chart "+h.Decl.Name.Text, rows)
	}
}

// meet compares rows with each other. One without a condition serves where no other holds, so it meets none that has
// one.
func (a *analyst) meet(n *book.Keys, what string, rows []bookRow) {
	for i, r := range rows {
		for _, t := range rows[:i] {
			if !a.Pay(1) {
				return
			}
			if !r.own && !t.own || r.says == t.says || (r.where == nil) != (t.where == nil) || told(n, t, r) {
				continue
			}
			d, ok := a.inBoth(t, r)
			if !ok {
				continue
			}
			at, other := r, t
			if !at.own {
				at, other = other, at
			}
			a.find(diag.RowsDiffer, at.span, a.faulty(d), fmt.Sprintf("two %s hold for one club and differ, %s", what, unit.Article(d.Name())+" such as this one"), "one of them, or conditions that never hold together",
				diag.Label{Span: other.span, Text: "this one holds for it too"})
		}
	}
}

// told reports whether the check of the book finds by itself that two rows meet: the same condition, for lists that
// plainly have a club in common or for any club.
func told(n *book.Keys, t, r bookRow) bool {
	if r.where != nil && n.Part(book.Part{Expr: r.where, Info: r.info}) != n.Part(book.Part{Expr: t.where, Info: t.info}) {
		return false
	}
	grouped := func(row bookRow) bool {
		return slices.ContainsFunc(row.items, func(item *ast.Item) bool { return row.info.Items[item].Group != nil })
	}
	return !grouped(r) && !grouped(t)
}

// inBoth is a club for which two rows hold.
func (a *analyst) inBoth(t, r bookRow) (found space.Draft, ok bool) {
	s := space.NewSpace()
	selectors := [2]*ast.Selector{}
	for i, row := range []bookRow{t, r} {
		selectors[i] = &ast.Selector{Items: row.items, Where: row.where}
		s.Clubs(book.Clubs{Decl: selectors[i], Info: row.info})
	}
	holds := func(i int, row bookRow, d *space.Draft) bool {
		c := d.Club(a.Program.Schema)
		if row.items == nil {
			return row.where == nil || a.Probe.Holds(row.where, row.info, c) == value.True
		}
		return a.Probe.Takes(selectors[i], row.info, c) == value.True
	}
	for d := range a.Walk(s, s.Axes).All() {
		if holds(0, t, d) && holds(1, r, d) {
			return *d, true
		}
	}
	return found, false
}

// faulty is a witness of a club on which rows of the books disagree: with a length, where a rule needs one to run into
// them. nil where no rule about single clubs does.
func (a *analyst) faulty(d space.Draft) *space.Witness {
	tries := []space.Draft{d}
	length, lie := a.Program.Schema.Property(catalogue.LengthID), a.Program.Schema.Property(catalogue.Lie)
	for _, m := range a.Program.Methods() {
		if d.Of(length.Name) != nil || a.Program.Covers(m, d.Club(a.Program.Schema)) != nil {
			continue
		}
		e := d
		e.Method = m
		s := space.NewSpace()
		for _, p := range []catalogue.Property{length, lie} {
			if e.Of(p.Name) == nil {
				e = space.With(e, &space.Reading{Prop: p, Unit: s.Axis(p).Unit, Amount: space.Typical(p, &e)})
			}
		}
		tries = append(tries, e)
	}
	for _, e := range tries {
		for _, r := range a.Program.Rules() {
			if r.Subject != ast.OfClub {
				continue
			}
			c := e.Club(a.Program.Schema)
			if !a.Probe.Club(r, c).Fault {
				continue
			}
			on, _ := space.Together(r)
			if w, ok := a.Witness(space.Bag{e}, on, r); ok && w.Verdict(r) == 0 && len(w.Said) > 0 {
				return w
			}
		}
	}
	return nil
}
