package parser

// This file reads the cases and the waivers of a book, which speak of single clubs.

import (
	"cmp"
	"slices"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
)

func (l *lowerer) testCase(line clause, body []clause) ast.Decl {
	d := &ast.Case{ClubsLost: l.passedOver}
	if title := l.textClause(line); title != nil {
		d.Title = &title.Text
	}
	for _, c := range body {
		switch c.word() {
		case "set":
			set := read(l, c, func(r *reader) *ast.CaseSet {
				r.skip()
				return &ast.CaseSet{Span: l.all(c), ID: r.id()}
			})
			d.ClubsLost = d.ClubsLost || set == nil
			// Where its id is lost, its clubs still do not belong to the set before.
			d.Sets = append(d.Sets, cmp.Or(set, &ast.CaseSet{Span: l.all(c)}))
		case "club", "order":
			club := read(l, c, func(r *reader) *ast.CaseClub {
				r.skip()
				club := &ast.CaseClub{Span: l.all(c), ID: r.id()}
				r.must(":")
				club.Club, club.Props = r.item(false), r.readings()
				return club
			})
			if d.ClubsLost = d.ClubsLost || club == nil; club != nil {
				place(d, club, c.word() == "order")
			}
		case "on":
			d.On = l.dateClause(c)
		case "expect":
			add(&d.Expects, read(l, c, func(r *reader) *ast.Expect { return l.expect(c, r) }))
		}
	}
	return d
}

// place adds a club, or what was ordered for one, to the last set of a case, or to one without an id.
func place(d *ast.Case, club *ast.CaseClub, ordered bool) {
	if len(d.Sets) == 0 {
		d.Sets = append(d.Sets, &ast.CaseSet{Span: club.Span})
	}
	set := d.Sets[len(d.Sets)-1]
	if ordered {
		set.Orders = append(set.Orders, club)
	} else {
		set.Clubs = append(set.Clubs, club)
	}
	set.Span = set.Span.To(club.Span)
}

func (l *lowerer) expect(c clause, r *reader) *ast.Expect {
	r.skip()
	e := &ast.Expect{Span: l.all(c), Rule: l.name(r.must("<name>"))}
	r.must("on")
	if e.OnSet = r.take("set"); !e.OnSet {
		e.On = append(e.On, r.expected())
		for r.take(",") {
			e.On = append(e.On, r.expected())
		}
	} else if !r.is(":") {
		e.Set = r.id()
	}
	r.must(":")
	e.Verdict = l.name(r.must("<name>"))
	details := byGrammar[outcomeDetails](r).Details
	for i, d := range details {
		word := d.Tokens[0]
		if slices.ContainsFunc(details[:i], func(o *detail) bool { return o.Tokens[0].Value == word.Value }) {
			r.fail(mistakeAt(word, diag.OutOfPlace, diag.Quote(word.Value)+" is given twice",
				"value, excepted and mend once each"))
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

// expected reads a club that something is expected of, "ID" or "ID of SETID".
func (r *reader) expected() *ast.ExpectClub {
	start := r.peek().Pos.Offset
	club := &ast.ExpectClub{ID: r.id()}
	if r.take("of") {
		club.Of = r.id()
	}
	r.mark(&club.Span, start)
	return club
}

func (l *lowerer) waive(line clause, body []clause) ast.Decl {
	d := &ast.Waive{Rule: l.secondWord(line), Text: l.title(line)}
	for _, c := range body {
		if c.word() != "on" {
			l.fill(map[string]any{"from": &d.From, "until": &d.Until, "cite": &d.Cites}, c)
			continue
		}
		d.On = readAs(l, c, "whom", func(r *reader) *ast.WaiveOn {
			g, on := byGrammar[waiveOn](r), &ast.WaiveOn{Span: l.all(c)}
			for _, one := range []*id{g.Club, g.Other} {
				if one != nil {
					on.Clubs = append(on.Clubs, one.in(l.file))
				}
			}
			if set := cmp.Or(g.Whole, g.Set); set != nil {
				on.Set = set.in(l.file)
			}
			return on
		})
	}
	return d
}
