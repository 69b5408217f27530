package vet

// This file looks for two rows of a chart, two allowances or two heads that hold for one club and differ: a fault of
// the book that would be told when such a club is judged. Rows that plainly meet were told of when the book was
// checked.

import (
	"slices"

	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// bookRow is a row of a book with the clubs that it is for.
type bookRow struct {
	own   bool
	clubs book.Clubs // without a list: any club
	span  source.Span
	says  string // rows that say the same may meet
}

func rowOf(own bool, in *book.Info, items []*ast.Item, where ast.Expr, span source.Span, says string) bookRow {
	return bookRow{own, book.Clubs{Decl: &ast.Selector{Items: items, Where: where}, Info: in}, span, says}
}

// clashing looks at all charts of the book, and at the allowances and heads of all books that it uses.
func (a *analyst) clashing() {
	n := book.NewKeys(false)
	var caps, crowns, heads []bookRow
	for _, b := range book.Reach([]*book.Book{a.book}) {
		own := b == a.book
		for _, x := range b.Allowances {
			row := rowOf(own, b.Info, nil, x.Decl.Where, x.Decl.Span, n.Allowance(x))
			if x.Crown {
				crowns = append(crowns, row)
			} else {
				caps = append(caps, row)
			}
		}
		for _, h := range b.Heads {
			heads = append(heads, rowOf(own, b.Info, h.Decl.Items, h.Decl.Where, h.Decl.Span, n.Head(h)))
		}
	}
	a.meet(n, "allowances for a cap", caps)
	a.meet(n, "allowances for a crown", crowns)
	a.meet(n, "heads", heads)
	for _, h := range a.book.Charts {
		var rows []bookRow
		for i, row := range h.Decl.Rows {
			rows = append(rows, rowOf(true, a.book.Info, row.Items, row.Where, row.Span, h.Values[i].Exact.RatString()))
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
			alike := (r.clubs.Decl.Where == nil) == (t.clubs.Decl.Where == nil)
			if !r.own && !t.own || r.says == t.says || !alike || told(n, t, r) {
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
			a.find(diag.RowsDiffer, at.span, a.faulty(d, t, r), "one of them, or conditions that never hold together",
				"two %s hold for one club and differ, %s such as this one", what, unit.Article(d.Name())).
				see(other.span, "this one holds for it too")
		}
	}
}

// told reports whether the check of the book finds by itself that two rows meet: the same condition, for lists that
// plainly have a club in common or for any club.
func told(n *book.Keys, t, r bookRow) bool {
	where := func(row bookRow) string { return n.Part(book.Part{Expr: row.clubs.Decl.Where, Info: row.clubs.Info}) }
	if r.clubs.Decl.Where != nil && where(r) != where(t) {
		return false
	}
	grouped := func(row bookRow) bool {
		isGroup := func(i *ast.Item) bool { return row.clubs.Info.Items[i].Group != nil }
		return slices.ContainsFunc(row.clubs.Decl.Items, isGroup)
	}
	return !grouped(r) && !grouped(t)
}

// holds reports whether a row holds for a club.
func (a *analyst) holds(row bookRow, d *space.Draft) bool {
	c, of := d.Club(a.Program.Schema), row.clubs
	if of.Decl.Items == nil {
		return of.Decl.Where == nil || a.Probe.Holds(of.Decl.Where, of.Info, c) == value.True
	}
	return a.Probe.Takes(of.Decl, of.Info, c) == value.True
}

// inBoth is a club for which two rows hold.
func (a *analyst) inBoth(t, r bookRow) (found space.Draft, ok bool) {
	s := space.NewSpace()
	s.Clubs(t.clubs)
	s.Clubs(r.clubs)
	for d := range a.Walk(s, s.Axes).All() {
		if a.holds(t, d) && a.holds(r, d) {
			return *d, true
		}
	}
	return found, false
}

// faulty is a witness of such a club, with what a rule needs to run into the two rows; nil where no rule about single
// clubs does.
func (a *analyst) faulty(d space.Draft, t, r bookRow) *space.Witness {
	for _, rule := range a.Program.Rules() {
		if rule.Subject != ast.OfClub {
			continue
		}
		by := space.TourOptions{Methods: a.Program.Methods()} // of which some need the rows and others do not
		for c := range a.Tour(by, a.Side(rule)).Cells(d) {
			if !c.Says[0].Fault || !a.holds(t, &c.Draft) || !a.holds(r, &c.Draft) {
				continue
			}
			if w := a.shows(rule, space.Bag{c.Draft}, 0); w != nil {
				return w
			}
		}
	}
	return nil
}
