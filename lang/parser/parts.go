package parser

// This file holds the parts of the grammars that are parsed by hand, off participle's lexer, and what clauses are read
// with: words that must come next, ids, texts and readings.

import (
	"slices"
	"strings"

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
	formula  struct{ part[ast.Expr] }      // a whole formula
	sum      struct{ part[ast.Expr] }      // a quantity or a sum or product
	selector struct{ part[*ast.Selector] } // "LIST [except LIST] [where CONDITION]"
	pairs    struct{ part[*ast.For] }      // "SELECTOR by PROPERTY", of neighbours
	distance struct{ part[ast.Expr] }      // Q in "within Q of CHART"
	id       struct{ part[*ast.ID] }       // the id of a club or a set
)

// Parse takes a formula off lex.
func (x *formula) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).formula) }

// Parse takes a sum off lex.
func (x *sum) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).sum) }

// Parse takes a selector off lex.
func (x *selector) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).selector) }

// Parse takes an id off lex.
func (x *id) Parse(lex *lexer.PeekingLexer) error { return x.read(lex, (*reader).id) }

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

// due is a mistake before it is put into words: what may come next, where something else does.
type due []string

// Error is there for the interface.
func (due) Error() string { return "something else is due" }

// tokenTypes are the types of tokens, as participle writes them.
var tokenTypes = map[string]lexer.TokenType{"<name>": typeName, "<text>": typeText, "<date>": typeDate,
	"<quantity>": typeQuantity}

// needs reports whether the next token is one of some, as it must be: words and marks, or tokens of a type.
func (r *reader) needs(wanted ...string) bool {
	t := r.peek()
	ok := slices.ContainsFunc(wanted, func(w string) bool { return r.is(w) || tokenTypes[w] == t.Type })
	if !ok {
		r.fail(due(wanted))
	}
	return ok
}

// must takes the next token, which must be one of some.
func (r *reader) must(wanted ...string) lexer.Token {
	if !r.needs(wanted...) {
		return endOfClause
	}
	return r.skip()
}

// skip takes the next token, behind which a part of the clause starts.
func (r *reader) skip() lexer.Token {
	t := r.next()
	r.from = -1
	return t
}

// declares takes the word of a declaration, its name and some words behind that.
func (r *reader) declares(words ...string) {
	r.skip()
	r.must("<name>")
	for _, w := range words {
		r.must(w)
	}
}

// after parses what follows a word where that comes next; nil where it does not.
func (r *reader) after(word string, how func() ast.Expr) ast.Expr {
	if !r.is(word) {
		return nil
	}
	r.skip()
	return how()
}

// text takes the text that comes next.
func (r *reader) text() *ast.Text {
	t := r.next()
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

// readings parses the readings of a club in a case, ", PROPERTY VALUE ...", where there are any.
func (r *reader) readings() (all []*ast.CaseProp) {
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
