package parser

// This file holds the parts of the grammar that are parsed by hand, off
// participle's lexer: formulas with everything in them, lists, ids and readings.

import (
	"strings"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// part is what a part of the grammar read: nodes whose places have no file yet,
// since participle gives a part nothing but its tokens.
type part[T any] struct {
	node   T
	places []*source.Span
}

func (p *part[T]) read(lex *lexer.PeekingLexer, how func(*reader) T) error {
	r := newReader(lex)
	p.node = how(r)
	p.places = r.places
	return r.err
}

// in puts what was read into a file.
func (p *part[T]) in(file *source.File) T {
	for _, s := range p.places {
		s.File = file
	}
	return p.node
}

type (
	formula   struct{ part[ast.Expr] }        // a whole formula
	sum       struct{ part[ast.Expr] }        // a quantity or a sum or product
	reference struct{ part[*ast.Ref] }        // "PROPERTY [by METHOD]"
	sort      struct{ part[*ast.Ref] }        // "SORT [by METHOD]"
	list      struct{ part[[]*ast.Item] }     // a list of clubs
	item      struct{ part[*ast.Item] }       // a kind with its number or mark
	selector  struct{ part[*ast.Selector] }   // "LIST [except LIST] [where CONDITION]"
	pairs     struct{ part[*ast.For] }        // "SELECTOR by PROPERTY", of neighbours
	distance  struct{ part[ast.Expr] }        // Q in "within Q of CHART"
	id        struct{ part[*ast.ID] }         // the id of a club or a set
	readings  struct{ part[[]*ast.CaseProp] } // ", PROPERTY VALUE ..." of a club
)

// Parse takes a formula off lex.
func (x *formula) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).formula) }

// Parse takes a sum off lex.
func (x *sum) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).sum) }

// Parse takes a reference off lex.
func (x *reference) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, (*reader).ref)
}

// Parse takes a sort off lex.
func (x *sort) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Ref {
		return r.property("what the property holds, as in angle, mass, text or length by METHOD")
	})
}

// Parse takes a list off lex.
func (x *list) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).list) }

// Parse takes a selector off lex.
func (x *selector) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).selector) }

// Parse takes an id off lex.
func (x *id) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).id) }

// Parse takes an item off lex.
func (x *item) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Item { return r.item(false) })
}

// Parse takes the clubs of pairs and what sorts them off lex.
func (x *pairs) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).pairs) }

// Parse takes a distance off lex.
func (x *distance) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) ast.Expr { r.ofChart = true; return r.sum() })
}

// pairs parses "SELECTOR by PROPERTY".
func (r *reader) pairs() *ast.For {
	r.stop = sortKey(*r.lex)
	f := &ast.For{Kind: ast.OfNeighbours, Selector: r.selector()}
	if r.err != nil {
		return nil
	}
	r.stop = 0
	if !r.take("by") {
		r.fail(r.unexpected("by and the property that sorts the clubs", "by", "except", "where"))
	}
	f.By = r.ref()
	return f
}

// sortKey is the place of the "by" before the sort key; 0 where it is the first "by".
// A condition may hold "length by METHOD" itself, so the last "by" outside
// parentheses counts, or the one before it in "by length by METHOD".
func sortKey(lex lexer.PeekingLexer) lexer.RawCursor {
	var bys []lexer.RawCursor
	depth, where := 0, false
	for ; !lex.Peek().EOF(); lex.Next() {
		switch t := lex.Peek(); {
		case t.Type == typeMark && t.Value == "(":
			depth++
		case t.Type == typeMark && t.Value == ")":
			depth--
		case t.Type == typeName && t.Value == "where":
			where = true
		case t.Type == typeName && t.Value == "by" && depth == 0 && where:
			bys = append(bys, lex.RawCursor())
		}
	}
	n := len(bys)
	if n == 0 {
		return 0
	}
	if n > 1 && bys[n-2]+2 == bys[n-1] {
		key := lex.Range(bys[n-2]-1, bys[n-1])
		if key[0].Type != typeName || key[2].Value == "length" {
			return bys[n-2]
		}
	}
	return bys[n-1]
}

// text takes the text that comes next.
func (r *reader) text() *ast.Text {
	t := r.peek()
	if t.Type != typeText {
		r.fail(r.unexpected("a text in quotation marks"))
		return nil
	}
	r.next()
	x := &ast.Text{Value: unquoted(t)}
	r.place(&x.Span, t)
	return x
}

func (r *reader) id() *ast.ID {
	t := r.peek()
	if t.Type != typeName && t.Type != typeText && t.Type != typeQuantity {
		r.fail(r.unexpected("an id: a name, a number, or a text in quotation marks"))
		return nil
	}
	r.next()
	if q, _, _ := unit.Scan(t.Value); t.Type == typeQuantity && q.HasUnit && !q.SwingWeight {
		m := mistakeAt(t, diag.OutOfPlace, diag.Quote(t.Value)+" is a quantity, not an id",
			"a name, a number, or a text in quotation marks")
		m.hint = `"` + strings.Trim(t.Value, `"`) + `"`
		r.fail(m)
	}
	x := &ast.ID{Value: t.Value}
	if t.Type == typeText {
		x.Value = unquoted(t)
	}
	r.place(&x.Span, t)
	return x
}

// Parse takes the readings of a club in a case off lex, where there are any.
func (x *readings) Parse(lex *lexer.PeekingLexer) error {
	if lex.Peek().Value != "," {
		return participle.NextMatch
	}
	return x.read(lex, func(r *reader) []*ast.CaseProp {
		var all []*ast.CaseProp
		for r.take(",") {
			start := r.peek().Pos.Offset
			p := &ast.CaseProp{}
			r.name("the name of a property", &p.Name)
			p.Value = r.literal()
			if r.take("+/-") {
				p.PlusMinus = r.literal()
			}
			p.By = r.by()
			r.mark(&p.Span, start)
			all = append(all, p)
		}
		return all
	})
}

// literal parses a value of a case: a quantity with its sign, a text, a day or a word.
func (r *reader) literal() ast.Expr {
	switch t := r.peek(); {
	case t.Type == typeName && !structural[t.Value]:
		r.next()
		e := &ast.Ref{Name: ast.Name{Text: t.Value}}
		r.place(&e.Name.Span, t)
		return r.node(t, e)
	case t.Type == typeSign:
		return r.unary(ast.Neg, func(r *reader) ast.Expr {
			if r.peek().Type != typeQuantity {
				r.fail(r.unexpected("a number after its sign"))
			}
			return r.operand()
		})
	case t.Type == typeQuantity || t.Type == typeDate || t.Type == typeText:
		return r.operand()
	}
	r.fail(r.unexpected("what was read: a quantity, a text, a day, or a word such as left or yes"))
	return nil
}
