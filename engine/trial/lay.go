package trial

// This file lays out the clubs that a case describes.

import (
	"math"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// amount is the number of a reading or an expectation, in base units; NaN for none.
func amount(b *book.Book, e ast.Expr) float64 {
	if c := b.Info.Constants[e]; c != nil {
		return c.Base
	}
	switch e := e.(type) {
	case *ast.Quantity:
		return e.Value.Base()
	case *ast.Unary:
		return -amount(b, e.X)
	case *ast.Paren:
		return amount(b, e.X)
	}
	return math.NaN()
}

// Lay lays out the clubs of a bag of a case of a book, whose properties are those of
// the program's schema.
func Lay(p *judge.Program, b *book.Book, s *ast.CaseSet) *club.Set {
	set := &club.Set{File: b.Name}
	if s.ID != nil {
		set.Name = s.ID.Value
	}
	sheet := &club.Sheet{File: b.Name}
	for _, c := range s.Clubs {
		set.Clubs = append(set.Clubs, layClub(p, b, sheet, c))
	}
	set.Rows = len(set.Clubs)
	return set
}

func layClub(p *judge.Program, b *book.Book, sheet *club.Sheet, decl *ast.CaseClub) *club.Club {
	c := &club.Club{}
	c.Reset(p.Schema.Len())
	c.ID, c.Sheet, c.Row = decl.ID.Value, sheet, decl.Span.Line()
	c.Kind = catalogue.KindOf(decl.Club.Name.Text)
	c.Name = strings.Join(strings.Fields(decl.Club.Span.Text()), " ")
	switch {
	case decl.Club.From != nil:
		c.SetAmount(catalogue.Number, decl.Club.From.Value.Base())
	case c.Kind == catalogue.Driver:
		c.SetAmount(catalogue.Number, 1)
	}
	if decl.Club.Mark != nil {
		c.SetText(catalogue.Mark, decl.Club.Mark.Value)
	}
	readings := map[catalogue.ID]*club.Reading{}
	var order []catalogue.ID
	for _, d := range decl.Props {
		prop, ok := p.Schema.Lookup(d.Name.Text)
		if !ok {
			continue
		}
		switch prop.Sort {
		case catalogue.Text:
			switch v := d.Value.(type) {
			case *ast.TextLit:
				c.SetText(prop.ID, v.Value)
			case *ast.Ref:
				c.SetText(prop.ID, v.Name.Text)
			}
			continue
		case catalogue.YesNo:
			if v, ok := d.Value.(*ast.Ref); ok {
				c.SetAmount(prop.ID, map[string]float64{"yes": 1}[v.Name.Text])
			}
			continue
		case catalogue.Date:
			if v, ok := d.Value.(*ast.DateLit); ok {
				day, _ := book.ParseDay(v.Date)
				c.SetAmount(prop.ID, float64(day))
			}
			continue
		}
		r := readings[prop.ID]
		if r == nil {
			r = &club.Reading{Property: prop.ID}
			readings[prop.ID] = r
			order = append(order, prop.ID)
		}
		r.Values = append(r.Values, amount(b, d.Value))
		if d.PlusMinus != nil {
			r.Half, r.HasHalf = amount(b, d.PlusMinus), true
		}
		if d.By != nil && prop.ID == catalogue.LengthID {
			c.Method = d.By.Text
		}
	}
	for _, id := range order {
		r := readings[id]
		c.SetAmount(id, r.Mean())
		if len(r.Values) == 1 {
			r.Values = nil
		}
		if r.Values != nil || r.HasHalf {
			c.SetReading(*r)
		}
		c.Weigh(p.Schema.Property(id), "")
	}
	return c
}
