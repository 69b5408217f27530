package trial

// This file lays out the clubs that a case describes.

import (
	"math"
	"slices"
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
	if s.Orders != nil {
		sheet.Order = &club.Sheet{File: b.Name}
	}
	for _, decl := range s.Clubs {
		c := layClub(p, b, sheet, decl)
		for _, o := range s.Orders {
			if catalogue.Same(o.ID.Value, c.ID) {
				c.Order = layClub(p, b, sheet.Order, o)
			}
		}
		set.Clubs = append(set.Clubs, c)
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
	var readings []club.Reading
	for _, d := range decl.Props {
		prop, ok := p.Schema.Lookup(d.Name.Text)
		if !ok {
			continue
		}
		if !prop.Sort.Numeric() {
			setWord(c, prop, d.Value)
			continue
		}
		i := slices.IndexFunc(readings, func(r club.Reading) bool { return r.Property == prop.ID })
		if i < 0 {
			i = len(readings)
			readings = append(readings, club.Reading{Property: prop.ID})
		}
		r := &readings[i]
		r.Values = append(r.Values, amount(b, d.Value))
		if d.PlusMinus != nil {
			r.Half, r.HasHalf = amount(b, d.PlusMinus), true
		}
		if d.By != nil && prop.ID == catalogue.LengthID {
			c.Method = d.By.Text
		}
	}
	for _, r := range readings {
		c.SetAmount(r.Property, r.Mean())
		if len(r.Values) == 1 {
			r.Values = nil
		}
		if r.Values != nil || r.HasHalf {
			c.SetReading(r)
		}
		of := p.Schema.Property(r.Property)
		c.Weigh(&of, "")
	}
	return c
}

// setWord gives a club of a case a property that is not a quantity.
func setWord(c *club.Club, p catalogue.Property, e ast.Expr) {
	switch v := e.(type) {
	case *ast.TextLit:
		c.SetText(p.ID, v.Value)
	case *ast.DateLit:
		day, _ := book.ParseDay(v.Date)
		c.SetAmount(p.ID, float64(day))
	case *ast.Ref:
		if p.Sort == catalogue.Text {
			c.SetText(p.ID, v.Name.Text)
		} else {
			c.SetAmount(p.ID, map[string]float64{"yes": 1}[v.Name.Text])
		}
	}
}
