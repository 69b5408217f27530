package parser

// This file parses the values that start with a word, and what comes in them and
// after them: references, lists of clubs, selectors and bounds.

import (
	"strings"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
)

// structural words end a value; none of them can be a name in a formula.
var structural = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range []string{
		"and", "or", "then", "else", "at", "most", "least", "below", "above", "between", "is", "in", "within", "of",
		"allowing", "to", "among", "by", "per", "where", "except", "exempt", "every", "each", "for",
	} {
		m[w] = true
	}
	return m
}()

var aggregates = map[string]ast.Aggregate{"longest": ast.Longest, "shortest": ast.Shortest, "highest": ast.Highest,
	"lowest": ast.Lowest, "spread": ast.Spread, "mean": ast.Mean, "total": ast.Total}

// word parses an operand that starts with a word.
func (r *reader) word() ast.Expr {
	t := r.peek()
	switch w := t.Value; {
	case w == "if" || w == "not":
		r.fail(mistakeAt(t, diag.BareIf, w+" needs parentheses around it here",
			"parentheses around it, as in ("+map[string]string{"if": "if A then B else C", "not": "not A"}[w]+")"))
		return nil
	case structural[w]:
		r.fail(r.unexpected(aValue))
		return nil
	case w == "abs" || w == "min" || w == "max":
		r.next()
		if r.is("of") {
			r.fail(noneOf(t))
		}
		return r.call(t)
	case w == "has":
		r.next()
		return r.node(t, &ast.Has{Of: r.ref()})
	case w == "today" || w == "age":
		return r.days()
	case w == "count":
		return r.count()
	case w == "share":
		return r.share()
	case w == "drop" || w == "rise":
		r.next()
		r.expect("of")
		e := &ast.Step{Rise: w == "rise", Of: r.value(w + " of")}
		if r.take("per") {
			r.expect("number")
			e.PerNumber = true
		}
		return r.node(t, e)
	case aggregates[w] != 0:
		return r.aggregate()
	}
	e := r.ref()
	if r.is("of") && !r.ofChart {
		r.fail(noneOf(t))
	}
	if r.err != nil {
		return nil
	}
	return e
}

// noneOf is the mistake of a word before "of" that takes no value of several.
func noneOf(t lexer.Token) mistake {
	m := mistakeAt(t, diag.OutOfPlace, diag.Quote(t.Value)+" cannot come before of",
		"one of "+strings.Join(ast.OfWords, ", "))
	if m.hint = instead.of("of " + t.Value); m.hint == "" {
		m.hint, _ = diag.Nearest(t.Value, ast.OfWords)
	}
	if t.Value == "median" {
		m.notes = []string{"The language has no median; the mean is the nearest to it."}
	}
	return m
}

// value parses what "drop of", "age" and the like take: a name, or a formula in parentheses.
func (r *reader) value(word string) ast.Expr {
	t := r.peek()
	worked := aggregates[t.Value] != 0 || t.Value == "today" || t.Value == "age" // out, not measured
	if t.Type == typeName && !structural[t.Value] && !worked {
		return r.word()
	}
	if r.is("(") {
		return r.parenthesis()
	}
	what := "a property, a let, "
	if word == "age" {
		what += "a day, "
	}
	r.fail(r.unexpected(what + "or a formula in parentheses after " + word))
	return nil
}

// ref parses "NAME", "length by METHOD", "ordered lie" and "first number".
func (r *reader) ref() *ast.Ref {
	t := r.peek()
	pos := ast.Here
	if r.is("first") || r.is("second") {
		r.next()
		pos = ast.First
		if t.Value == "second" {
			pos = ast.Second
		}
	}
	ordered := r.take("ordered")
	if next := r.peek(); ordered && (r.is("first") || r.is("second")) {
		right := next.Value + " ordered"
		m := mistakeAt(t, diag.OutOfPlace, "which club it is comes before ordered", right+" and a property")
		m.end, m.hint, m.safe = next.Pos.Column, right, true
		r.fail(m)
	}
	word := r.peek()
	e := r.property("the name of a property")
	r.beforeName(word)
	e.Pos, e.Ordered, e.Span.Start = pos, ordered, t.Pos.Offset
	return e
}

// prefixes are the words that come before a name in a formula.
var prefixes = []string{"ordered", "first", "second", "has", "age", "not"}

// beforeName reports a word that is like one of those and has a name after it.
func (r *reader) beforeName(word lexer.Token) {
	next := r.peek()
	if next.Type != typeName || structural[next.Value] || next.Pos.Line != word.Pos.Line {
		return
	}
	if near, ok := diag.Nearest(word.Value, prefixes); ok {
		m := mistakeAt(word, diag.OutOfPlace, diag.Quote(word.Value)+" cannot come before "+diag.Quote(next.Value),
			"one of "+strings.Join(prefixes, ", "))
		m.hint = near
		r.fail(m)
	}
}

// property parses "NAME" and "length by METHOD"; what says what is named.
func (r *reader) property(what string) *ast.Ref {
	t := r.peek()
	e := &ast.Ref{}
	r.name(what, &e.Name)
	e.By = r.by()
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

// by parses "by METHOD" where it comes next; nil where it does not.
func (r *reader) by() *ast.Name {
	if !r.take("by") {
		return nil
	}
	method := &ast.Name{}
	r.name("the name of a method", method)
	return method
}

// unquoted is a text without its quotation marks.
func unquoted(t lexer.Token) string { return strings.Trim(t.Value, `"`) }

// name parses a name; what says what is named.
func (r *reader) name(what string, n *ast.Name) {
	t := r.peek()
	if t.Type != typeName || structural[t.Value] {
		r.fail(r.unexpected(what))
		return
	}
	r.next()
	n.Text = t.Value
	r.place(&n.Span, t)
}

func (r *reader) call(t lexer.Token) ast.Expr {
	e := &ast.Call{Func: ast.Name{Text: t.Value}}
	r.place(&e.Func.Span, t)
	open := r.peek()
	r.expect("(")
	r.enter(t)
	e.Args = append(e.Args, r.formula())
	for r.take(",") {
		e.Args = append(e.Args, r.formula())
	}
	r.close(open)
	r.depth--
	return r.node(t, e)
}

// count parses "count of SELECTOR" and "count of readings of P".
func (r *reader) count() ast.Expr {
	t := r.next()
	r.expect("of")
	if r.take("readings") {
		r.expect("of")
		return r.node(t, &ast.CountReadings{Of: r.ref()})
	}
	return r.node(t, &ast.CountOf{Selector: r.selector()})
}

// days parses "today" and "age DATE".
func (r *reader) days() ast.Expr {
	t := r.next()
	if t.Value == "today" {
		return r.node(t, &ast.Today{})
	}
	if r.peek().Type == typeDate {
		return r.node(t, &ast.Age{Of: r.operand()})
	}
	return r.node(t, &ast.Age{Of: r.value(t.Value)})
}

// share parses "share of (CONDITION) among readings".
func (r *reader) share() ast.Expr {
	t := r.next()
	r.expect("of")
	if !r.is("(") {
		r.fail(r.unexpected("a condition in parentheses after share of"))
		return nil
	}
	e := &ast.ShareOfReadings{Cond: r.parenthesis().(*ast.Paren).X}
	r.expect("among")
	r.expect("readings")
	return r.node(t, e)
}

// aggregate parses "longest of V among SELECTOR" and "mean of P among readings".
func (r *reader) aggregate() ast.Expr {
	t := r.next()
	how := aggregates[t.Value]
	r.expect("of")
	of := r.value(t.Value + " of")
	r.expect("among")
	if !r.is("readings") {
		r.enter(t)
		e := &ast.SetValue{How: how, Of: of, Among: r.selector()}
		r.depth--
		return r.node(t, e)
	}
	m := r.unexpected("")
	r.next()
	ref, plain := of.(*ast.Ref)
	switch {
	case !plain:
		m.message, m.expected = "readings are of one property, and this is a formula",
			"the name of a property, as in mean of lie among readings"
		r.fail(m)
	case how == ast.Longest || how == ast.Shortest || how == ast.Total:
		m.message, m.expected = t.Value+" is for the clubs of a set, not for readings",
			"highest, lowest, spread or mean of "+ref.Name.Text+" among readings"
		m.hint = map[ast.Aggregate]string{ast.Longest: "highest", ast.Shortest: "lowest"}[how]
		m.start, m.end = t.Pos.Offset, t.Pos.Column
		r.fail(m)
	}
	return r.node(t, &ast.ReadingsValue{How: how, Of: ref})
}

// selector parses "LIST [except LIST] [where CONDITION]".
func (r *reader) selector() *ast.Selector {
	start := r.peek().Pos.Offset
	s := &ast.Selector{Items: r.list()}
	if r.take("except") {
		s.Except = r.list()
	}
	if r.take("where") {
		r.enter(r.last)
		s.Where = r.formula()
		r.depth--
	}
	r.mark(&s.Span, start)
	return s
}

// list parses "iron 5 to 9, wedge "PW", woods".
func (r *reader) list() []*ast.Item {
	items := []*ast.Item{r.item(true)}
	for r.take(",") {
		items = append(items, r.item(true))
	}
	return items
}

// item parses one member of a list; ranges is whether "5 to 9" is allowed.
func (r *reader) item(ranges bool) *ast.Item {
	t := r.peek()
	if t.Type != typeName || structural[t.Value] {
		r.fail(r.unexpected("a kind of club, a group, or club for any"))
		return nil
	}
	r.next()
	item := &ast.Item{Name: ast.Name{Text: t.Value}}
	r.place(&item.Name.Span, t)
	switch next := r.peek(); {
	case next.Type == typeQuantity:
		item.From = r.number()
		if ranges && r.take("to") {
			if r.peek().Type != typeQuantity {
				r.fail(r.unexpected("the last number, as in iron 5 to 9"))
				return nil
			}
			item.To = r.number()
		}
	case next.Type == typeText:
		item.Mark = r.text()
	}
	r.mark(&item.Span, t.Pos.Offset)
	return item
}

// number parses the number of a club, which has no unit.
func (r *reader) number() *ast.Quantity {
	q := r.quantity()
	if q.Value.HasUnit {
		r.fail(mistake{code: diag.OutOfPlace, start: q.Span.Start, end: q.Span.End,
			message:  diag.Quote(q.Value.Text) + " has a unit, and the number of a club has none",
			expected: `a bare number, as in iron 5; in a chart, "=" before the quantity`})
	}
	return q
}

// boundWords are the words that start a bound.
var boundWords = []string{"at", "below", "above", "between", "is", "within"}
