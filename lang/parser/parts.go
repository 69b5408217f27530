package parser

// This file holds the parts of the grammar that are parsed by hand, off
// participle's lexer: what has branches, and formulas with all that stands in them.

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
// since participle tells a part nothing but its tokens.
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

// starts reports whether one of words comes next on lex.
func starts(lex *lexer.PeekingLexer, words ...string) bool {
	t := lex.Peek()
	for _, w := range words {
		if t.Value == w && (t.Type == typeName || t.Type == typeMark) {
			return true
		}
	}
	return false
}

type (
	formula   struct{ part[ast.Expr] }        // a whole formula
	sum       struct{ part[ast.Expr] }        // a quantity or a sum or product
	where     struct{ part[ast.Expr] }        // "where CONDITION"
	halfWidth struct{ part[ast.Expr] }        // "within Q"
	reference struct{ part[*ast.Ref] }        // "PROPERTY [by METHOD]"
	sort      struct{ part[*ast.Ref] }        // "SORT [by METHOD]"
	list      struct{ part[[]*ast.Item] }     // a list of clubs
	item      struct{ part[*ast.Item] }       // a kind with its number or mark
	selector  struct{ part[*ast.Selector] }   // "LIST [except LIST] [where CONDITION]"
	subject   struct{ part[*ast.For] }        // what stands after "for"
	bound     struct{ part[*ast.Bound] }      // a bound
	outcome   struct{ part[*ast.Bound] }      // "exempt", which is nil, or a bound
	decision  struct{ part[*ast.Decision] }   // what stands after "decision"
	stop      struct{ part[*ast.Stop] }       // what stands after "stop"
	top       struct{ part[*ast.Top] }        // what stands after "top at"
	book      struct{ part[*ast.Use] }        // what stands after "use"
	id        struct{ part[*ast.ID] }         // the id of a club or a set
	readings  struct{ part[[]*ast.CaseProp] } // ", PROPERTY VALUE ..." of a club
	whom      struct{ part[*ast.Expect] }     // what stands after "on" in "expect"
	details   struct{ part[*ast.Expect] }     // what stands after the verdict
)

// Parse takes a formula off lex.
func (x *formula) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).formula) }

// Parse takes a sum off lex.
func (x *sum) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).sum) }

// Parse takes a reference off lex.
func (x *reference) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Ref { return r.property("a property") })
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

// Parse takes "where CONDITION" off lex where it comes next.
func (x *where) Parse(lex *lexer.PeekingLexer) error {
	if !starts(lex, "where") {
		return participle.NextMatch
	}
	return x.read(lex, func(r *reader) ast.Expr { r.next(); return r.formula() })
}

// Parse takes "within Q" off lex where it comes next.
func (x *halfWidth) Parse(lex *lexer.PeekingLexer) error {
	if !starts(lex, "within") {
		return participle.NextMatch
	}
	return x.read(lex, func(r *reader) ast.Expr { r.next(); return r.sum() })
}

// Parse takes a bound off lex where one comes next.
func (x *bound) Parse(lex *lexer.PeekingLexer) error {
	if !starts(lex, boundWords...) {
		return participle.NextMatch
	}
	return x.read(lex, (*reader).bound)
}

// Parse takes the outcome of an exception off lex.
func (x *outcome) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Bound {
		if r.take("exempt") {
			return nil
		}
		if !starts(lex, boundWords...) {
			r.fail(r.unexpected("exempt, or another bound, as in at most 47 in", append([]string{"exempt"}, boundWords...)...))
			return nil
		}
		return r.bound()
	})
}

// Parse takes the subject of a rule off lex.
func (x *subject) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.For {
		switch {
		case r.take("every"):
			return &ast.For{Kind: ast.OfClub, Selector: r.selector()}
		case r.take("each"):
			r.expect("set")
			return &ast.For{Kind: ast.OfSet}
		case r.take("neighbours"):
			r.expect("among")
			return r.pairs()
		}
		m := r.unexpected("every and a list of clubs, each set, or neighbours among a list of clubs", "every", "each", "neighbours")
		if t := r.peek(); m.hint == "" && t.Type == typeName {
			if m.hint = "every " + t.Value; t.Value == "all" || t.Value == "any" {
				m.hint = "every"
			}
		}
		r.fail(m)
		return nil
	})
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
	f.By = r.property("the property that sorts the clubs")
	return f
}

// sortKey is where the "by" of the sort key stands; 0 where it is the first that comes.
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

// Parse takes a decision off lex.
func (x *decision) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Decision {
		d := &ast.Decision{}
		switch {
		case r.take("simple"):
			d.Kind = ast.Simple
			return d
		case r.take("three-way"):
			d.Kind = ast.ThreeWay
		case r.take("guarded"):
			d.Kind = ast.GuardedAcceptance
			if r.take("rejection") {
				d.Kind = ast.GuardedRejection
			} else if !r.take("acceptance") {
				r.fail(r.unexpected("acceptance or rejection", "acceptance", "rejection"))
			}
		default:
			r.fail(r.unexpected("simple, three-way, guarded acceptance or guarded rejection", "simple", "three-way", "guarded"))
		}
		r.expect("at")
		d.Level = r.sum()
		return d
	})
}

// Parse takes the stop of a method off lex.
func (x *stop) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Stop {
		switch {
		case r.take("along"):
			r.expect("axis")
			return &ast.Stop{Kind: ast.StopAlongAxis}
		case !r.take("at"):
			r.fail(r.unexpected("at lie, at an angle, or along axis", "at", "along"))
		case r.take("lie"):
			return &ast.Stop{Kind: ast.StopAtLie}
		}
		return &ast.Stop{Kind: ast.StopAtAngle, Angle: r.sum()}
	})
}

// Parse takes the top of a method off lex.
func (x *top) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Top {
		switch {
		case r.take("butt"):
			return &ast.Top{Kind: ast.TopButt}
		case !r.take("cap"):
			r.fail(r.unexpected("cap edge, cap end or butt", "cap", "butt"))
		case r.take("edge"):
			return &ast.Top{Kind: ast.TopCapEdge}
		case r.take("end"):
			return &ast.Top{Kind: ast.TopCapEnd}
		}
		r.fail(r.unexpected("edge or end", "edge", "end"))
		return nil
	})
}

// Parse takes the book and its rules off lex.
func (x *book) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Use {
		u := &ast.Use{}
		switch t := r.peek(); t.Type {
		case typeName:
			r.next()
			u.Shipped = &ast.Name{Text: t.Value}
			r.place(&u.Shipped.Span, t)
		case typeText:
			u.Path = r.text()
		default:
			r.fail(r.unexpected("the name of a shipped book, or a file in quotation marks"))
		}
		if r.take("only") {
			u.Only = r.names()
		}
		if r.take("without") {
			u.Without = r.names()
		}
		return u
	})
}

// names parses names of rules, which may be words that no other name may be.
func (r *reader) names() []ast.Name {
	var names []ast.Name
	for {
		t := r.peek()
		if t.Type != typeName {
			r.fail(r.unexpected("the name of a rule"))
			return nil
		}
		r.next()
		names = append(names, ast.Name{Span: source.Span{Start: t.Pos.Offset, End: t.Pos.Column}, Text: t.Value})
		if !r.take(",") {
			break
		}
	}
	for i := range names {
		r.places = append(r.places, &names[i].Span)
	}
	return names
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
		r.fail(mistake{code: diag.OutOfPlace, start: t.Pos.Offset, end: t.Pos.Column, message: diag.Quote(t.Value) + " is a quantity, and no id",
			expected: "a name, a number, or a text in quotation marks", hint: `"` + strings.Trim(t.Value, `"`) + `"`})
	}
	x := &ast.ID{Value: t.Value}
	if t.Type == typeText {
		x.Value, x.Quoted = unquoted(t), true
	}
	r.place(&x.Span, t)
	return x
}

// Parse takes the readings of a club in a case off lex, where there are any.
func (x *readings) Parse(lex *lexer.PeekingLexer) error {
	if !starts(lex, ",") {
		return participle.NextMatch
	}
	return x.read(lex, func(r *reader) []*ast.CaseProp {
		var all []*ast.CaseProp
		for r.take(",") {
			start := r.peek().Pos.Offset
			p := &ast.CaseProp{Name: r.name("the name of a property")}
			r.places = append(r.places, &p.Name.Span)
			p.Value = r.literal()
			if r.take("+/-") {
				p.PlusMinus = r.literal()
			}
			if r.take("by") {
				by := r.name("the name of a method")
				p.By = &by
				r.places = append(r.places, &by.Span)
			}
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
		r.place(&e.Span, t)
		return e
	case t.Type == typeSign:
		r.next()
		e := &ast.Unary{Op: ast.Neg}
		if r.peek().Type != typeQuantity {
			r.fail(r.unexpected("a number behind its sign"))
			return nil
		}
		e.X = r.quantity()
		r.mark(&e.Span, t.Pos.Offset)
		return e
	case t.Type == typeQuantity || t.Type == typeDate || t.Type == typeText:
		return r.operand()
	}
	r.fail(r.unexpected("what was read: a quantity, a text, a day, or a word such as left or yes"))
	return nil
}

// Parse takes the clubs of an expectation, or its set, off lex.
func (x *whom) Parse(lex *lexer.PeekingLexer) error {
	return x.read(lex, func(r *reader) *ast.Expect {
		e := &ast.Expect{}
		if r.take("set") {
			e.OnSet = true
			if !r.is(":") {
				e.Set = r.id()
			}
			return e
		}
		for {
			start := r.peek().Pos.Offset
			c := &ast.ExpectClub{ID: r.id()}
			if r.take("of") {
				c.Of = r.id()
			}
			r.mark(&c.Span, start)
			e.On = append(e.On, c)
			if !r.take(",") {
				return e
			}
		}
	})
}

// Parse takes the details of an expectation off lex, where there are any.
func (x *details) Parse(lex *lexer.PeekingLexer) error {
	if !starts(lex, "value", "excepted", "mend") {
		return participle.NextMatch
	}
	return x.read(lex, func(r *reader) *ast.Expect {
		e := &ast.Expect{}
		for {
			t := r.peek()
			twice := r.is("value") && e.Value != nil || r.is("excepted") && e.Excepted || r.is("mend") && e.Mend != nil
			switch {
			case twice:
				r.fail(mistake{code: diag.OutOfPlace, start: t.Pos.Offset, end: t.Pos.Column,
					message: diag.Quote(t.Value) + " stands here for the second time", expected: "value, excepted and mend once each"})
			case r.take("value"):
				e.Value = r.sum()
				if r.take("+/-") {
					e.PlusMinus = r.sum()
				}
			case r.take("excepted"):
				e.Excepted = true
			case r.take("mend"):
				e.Mend = r.text()
			default:
				return e
			}
		}
	})
}

// allowanceOf reports where an allowance is of neither cap nor crown.
func allowanceOf(t lexer.Token) (mistake, bool) {
	if t.Value == "cap" || t.Value == "crown" {
		return mistake{}, true
	}
	m := unexpected(lexer.Token{}, t, "cap or crown", []string{"cap", "crown"})
	m.code = diag.OutOfPlace
	return m, false
}
