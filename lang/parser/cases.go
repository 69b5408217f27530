package parser

// This file lowers the cases and the waivers of a book, which speak of single clubs.

import (
	"cmp"
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
)

func (l *lowerer) testCase(line clause, body []clause) *ast.Case {
	d := &ast.Case{ClubsLost: l.passedOver}
	if g := read[textClause](l, line); g != nil {
		d.Title = some(&g.Text, l.text)
	}
	for _, c := range body {
		switch c.word() {
		case "set":
			if g := read[setClause](l, c); g != nil {
				d.Sets = append(d.Sets, &ast.CaseSet{Span: l.all(c), ID: g.ID.in(l.file)})
			} else {
				d.ClubsLost = true
				d.Sets = append(d.Sets, &ast.CaseSet{Span: l.all(c)}) // its clubs do not belong to the set before
			}
		case "club", "order":
			if g := read[clubClause](l, c); g != nil {
				l.club(d, c, g)
			} else {
				d.ClubsLost = true
			}
		case "on":
			d.On = l.dateClause(c)
		case "expect":
			if g := read[expectClause](l, c); g != nil {
				if e := l.expect(c, g); e != nil {
					d.Expects = append(d.Expects, e)
				}
			}
		}
	}
	return d
}

// club adds a club, or what was ordered for one, to the last set of a case, or to one without an id.
func (l *lowerer) club(d *ast.Case, c clause, g *clubClause) {
	club := &ast.CaseClub{Span: l.all(c), ID: g.ID.in(l.file), Club: g.Club.in(l.file)}
	if g.Readings != nil {
		club.Props = g.Readings.in(l.file)
	}
	if len(d.Sets) == 0 {
		d.Sets = append(d.Sets, &ast.CaseSet{Span: club.Span})
	}
	set := d.Sets[len(d.Sets)-1]
	if c.word() == "order" {
		set.Orders = append(set.Orders, club)
	} else {
		set.Clubs = append(set.Clubs, club)
	}
	set.Span = set.Span.To(club.Span)
}

// expect returns nil where the clause gives a detail twice, which it reports.
func (l *lowerer) expect(c clause, g *expectClause) *ast.Expect {
	e := &ast.Expect{Span: l.all(c), Rule: l.name(g.Rule), OnSet: g.OnSet, Verdict: l.name(g.Verdict)}
	if g.Set != nil {
		e.Set = g.Set.in(l.file)
	}
	for _, on := range g.On {
		club := &ast.ExpectClub{Span: l.all(on.Tokens), ID: on.ID.in(l.file)}
		if on.Of != nil {
			club.Of = on.Of.in(l.file)
		}
		e.On = append(e.On, club)
	}
	for i, d := range g.Details {
		word := d.Tokens[0]
		if slices.ContainsFunc(g.Details[:i], func(o *detail) bool { return o.Tokens[0].Value == word.Value }) {
			l.broken = true
			l.report(mistakeAt(word, diag.OutOfPlace, diag.Quote(word.Value)+" is given twice",
				"value, excepted and mend once each"))
			return nil
		}
		switch {
		case d.Value != nil:
			e.Value, e.PlusMinus = d.Value.in(l.file), optional(l, d.PlusMinus)
		case d.Mend != nil:
			e.Mend = some(d.Mend, l.text)
		default:
			e.Excepted = true
		}
	}
	return e
}

func (l *lowerer) waive(line clause, body []clause) *ast.Waive {
	d := &ast.Waive{Rule: l.secondWord(line), Text: l.title(line)}
	for _, c := range body {
		l.fill(map[string]any{"from": &d.From, "until": &d.Until, "cite": &d.Cites}, c)
		if c.word() != "on" {
			continue
		}
		if g := readAs[waiveOn](l, c, "whom"); g != nil {
			d.On = &ast.WaiveOn{Span: l.all(c)}
			for _, one := range []*id{g.Club, g.Other} {
				if one != nil {
					d.On.Clubs = append(d.On.Clubs, one.in(l.file))
				}
			}
			if set := cmp.Or(g.Whole, g.Set); set != nil {
				d.On.Set = set.in(l.file)
			}
		}
	}
	return d
}
