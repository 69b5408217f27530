package parser

// This file parses formulas by precedence climbing, and what stands in them:
// lists of clubs and selectors. The types that participle meets are at its end.

import (
	"strings"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

const (
	maxFormula = 4 << 10 // bytes of one formula
	maxDepth   = 64      // levels of parentheses, if, not, signs and calls
)

// places are the spans of nodes whose file is not known yet.
type places []*source.Span

// in puts the places into a file.
func (p places) in(file *source.File) {
	for _, s := range p {
		s.File = file
	}
}

// reader takes tokens off participle's lexer. The first mistake is kept in err,
// and from then on the reader is at the end of the clause.
type reader struct {
	lex    *lexer.PeekingLexer
	stop   lexer.RawCursor // where the clause ends for this reader; 0 for its real end
	places places
	err    error
	depth  int
	from   int         // where the formula starts, in bytes
	last   lexer.Token // the token taken last
}

func newReader(lex *lexer.PeekingLexer) *reader {
	r := &reader{lex: lex, from: lex.Peek().Pos.Offset}
	if at := lex.RawCursor(); at > 0 {
		r.last = lex.Range(at-1, at)[0]
	}
	return r
}

var endOfClause = lexer.EOFToken(lexer.Position{})

func (r *reader) peek() lexer.Token {
	if r.err != nil || r.stop > 0 && r.lex.RawCursor() >= r.stop {
		return endOfClause
	}
	return *r.lex.Peek()
}

func (r *reader) next() lexer.Token {
	t := r.peek()
	if t.EOF() {
		return t
	}
	if t.Pos.Column-r.from > maxFormula {
		r.fail(mistake{code: diag.FormulaTooLong, start: r.from, end: t.Pos.Column, message: "this formula is longer than 4096 characters",
			expected: "a shorter formula; a let can hold a part of it"})
		return endOfClause
	}
	r.lex.Next()
	r.last = t
	return t
}

// is reports whether the next token is the word or mark s.
func (r *reader) is(s string) bool {
	t := r.peek()
	return t.Value == s && (t.Type == typeName || t.Type == typeMark)
}

// take takes the word or mark s where it comes next.
func (r *reader) take(s string) bool {
	if !r.is(s) {
		return false
	}
	r.next()
	return true
}

func (r *reader) fail(m mistake) {
	if r.err == nil {
		r.err = m
	}
}

// expect takes the word or mark s, which must come next.
func (r *reader) expect(s string) {
	if !r.take(s) {
		r.fail(r.unexpected(diag.Quote(s), s))
	}
}

func (r *reader) unexpected(expected string, words ...string) mistake {
	t := r.peek()
	if t.EOF() && r.stop > 0 {
		t = *r.lex.Peek() // the word that ends the condition, as "by" in "neighbours among"
	}
	return unexpected(r.last, t, expected, words)
}

// mark gives a node its place, from start to the token taken last.
func (r *reader) mark(s *source.Span, start int) {
	s.Start, s.End = start, r.last.Pos.Column
	r.places = append(r.places, s)
}

// enter goes one level deeper; leave with depth--.
func (r *reader) enter(t lexer.Token) {
	if r.depth++; r.depth > maxDepth {
		r.fail(mistake{code: diag.TooDeep, start: t.Pos.Offset, end: t.Pos.Column, message: "this formula is nested more than 64 levels deep",
			expected: "a formula with fewer levels; a let can hold a part of it"})
	}
}

// text is what stands between two cursors, in one line.
func (r *reader) text(from, to lexer.RawCursor) string {
	var b strings.Builder
	for i, t := range r.lex.Range(from, to) {
		if i > 0 && t.Value != ")" && t.Value != "," && !strings.HasSuffix(b.String(), "(") && !strings.HasSuffix(b.String(), "-") {
			b.WriteByte(' ')
		}
		b.WriteString(t.Value)
	}
	return b.String()
}

// formula parses a whole formula.
func (r *reader) formula() ast.Expr {
	if r.is("if") {
		return r.ifThenElse()
	}
	return r.andOr()
}

func (r *reader) ifThenElse() ast.Expr {
	t := r.next()
	r.enter(t)
	e := &ast.If{}
	e.Cond = r.formula()
	r.expect("then")
	e.Then = r.formula()
	r.expect("else")
	e.Else = r.formula()
	r.depth--
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

// andOr parses operands joined by "and", or by "or".
func (r *reader) andOr() ast.Expr {
	start, from := r.peek().Pos.Offset, r.lex.RawCursor()
	x := r.not()
	operand := from
	for joined := ast.Op(0); r.is("and") || r.is("or"); {
		op := ast.And
		if r.is("or") {
			op = ast.Or
		}
		before := r.lex.RawCursor()
		t := r.next()
		after := r.lex.RawCursor()
		y := r.not()
		if joined != 0 && op != joined && r.err == nil {
			end := r.lex.RawCursor()
			hint := "(" + r.text(from, before) + ") " + op.String() + " " + r.text(after, end)
			if op == ast.And { // and binds what it stands between
				hint = r.text(from, operand) + " (" + r.text(operand, end) + ")"
			}
			r.fail(mistake{code: diag.MixedAndOr, start: t.Pos.Offset, end: t.Pos.Column,
				message:  "and stands beside or without parentheses",
				expected: "parentheses that say which belongs together", hint: hint})
		}
		joined, operand = op, after
		b := &ast.Binary{Op: op, X: x, Y: y}
		r.place(&b.OpSpan, t)
		r.mark(&b.Span, start)
		x = b
	}
	return x
}

// place gives a span the place of one token.
func (r *reader) place(s *source.Span, t lexer.Token) {
	s.Start, s.End = t.Pos.Offset, t.Pos.Column
	r.places = append(r.places, s)
}

func (r *reader) not() ast.Expr {
	if !r.is("not") {
		return r.comparison()
	}
	t := r.next()
	r.enter(t)
	e := &ast.Unary{Op: ast.Not, X: r.not()}
	r.depth--
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

var comparisons = map[string]ast.Op{"=": ast.Eq, "!=": ast.Ne, "<": ast.Lt, "<=": ast.Le, ">": ast.Gt, ">=": ast.Ge}

func (r *reader) comparison() ast.Expr {
	start, from := r.peek().Pos.Offset, r.lex.RawCursor()
	x := r.sum()
	t := r.peek()
	op := comparisons[t.Value]
	if op == 0 || t.Type != typeMark {
		return x
	}
	r.next()
	middle := r.lex.RawCursor()
	b := &ast.Binary{Op: op, X: x}
	r.place(&b.OpSpan, t)
	if ref, ok := x.(*ast.Ref); ok && ref.Name.Text == "kind" && op <= ast.Ne {
		b.Y = r.kind()
	} else {
		b.Y = r.sum()
	}
	r.mark(&b.Span, start)
	again := r.peek()
	if comparisons[again.Value] == 0 || again.Type != typeMark {
		return b
	}
	end := r.lex.RawCursor()
	r.next()
	after := r.lex.RawCursor()
	r.sum()
	r.fail(mistake{code: diag.ChainedComparison, start: again.Pos.Offset, end: again.Pos.Column,
		message:  "a second comparison follows the first",
		expected: "one comparison at a time, joined by and",
		hint: r.text(from, end) + " and " + r.text(middle, end) + " " + again.Value + " " + r.text(after, r.lex.RawCursor())})
	return b
}

// kind parses what stands after "kind =": a kind, a group, "iron 5" or `wedge "PW"`.
func (r *reader) kind() ast.Expr {
	t := r.peek()
	if t.Type != typeName || structural[t.Value] {
		return r.sum()
	}
	item := r.item(false)
	if r.err != nil {
		return nil
	}
	if item.From == nil && item.Mark == nil {
		e := &ast.Ref{Name: item.Name}
		r.place(&e.Name.Span, t)
		r.mark(&e.Span, t.Pos.Offset)
		return e
	}
	e := &ast.ItemRef{Item: item}
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

func (r *reader) sum() ast.Expr {
	start := r.peek().Pos.Offset
	x := r.product()
	for r.is("+") || r.is("-") {
		op := ast.Add
		if r.is("-") {
			op = ast.Sub
		}
		t := r.next()
		b := &ast.Binary{Op: op, X: x}
		r.place(&b.OpSpan, t)
		b.Y = r.product()
		r.mark(&b.Span, start)
		x = b
	}
	if t := r.peek(); t.Type == typeSign {
		from := r.lex.RawCursor()
		r.next()
		r.fail(mistake{code: diag.TightMinus, start: t.Pos.Offset, end: r.peek().Pos.Column,
			message:  diag.Quote(r.text(from, from+2)) + " is read as a number with its sign, behind another value",
			expected: "a minus between two values with a blank on both sides", hint: "- " + r.peek().Value})
	}
	return x
}

func (r *reader) product() ast.Expr {
	start, from := r.peek().Pos.Offset, r.lex.RawCursor()
	x := r.operand()
	for r.is("*") || r.is("/") {
		op := ast.Mul
		if r.is("/") {
			op = ast.Div
		}
		before := r.lex.RawCursor()
		t := r.next()
		b := &ast.Binary{Op: op, X: x}
		r.place(&b.OpSpan, t)
		if q := r.peek(); op == ast.Div && q.Type == typeQuantity && q.Pos.Offset == t.Pos.Column {
			if i := strings.IndexByte(q.Value, '/'); i > 0 && strings.Trim(q.Value[:i], "0123456789") == "" {
				r.fail(mistake{code: diag.TightStroke, start: t.Pos.Offset, end: q.Pos.Column,
					message:  "it is not clear which of these strokes makes the fraction",
					expected: "blanks around the strokes, or the fraction in parentheses",
					hint:     r.text(from, before) + " / (" + q.Value + ")",
					notes:    []string{"Or " + r.text(from, before) + " / " + q.Value[:i] + " / " + q.Value[i+1:] + " to divide twice."}})
			}
		}
		b.Y = r.operand()
		r.mark(&b.Span, start)
		x = b
	}
	return x
}

func (r *reader) operand() ast.Expr {
	t := r.peek()
	switch {
	case t.Type == typeSign:
		r.next()
		r.enter(t)
		e := &ast.Unary{Op: ast.Neg, X: r.operand()}
		r.depth--
		r.mark(&e.Span, t.Pos.Offset)
		return e
	case t.Type == typeQuantity:
		return r.quantity()
	case t.Type == typeDate:
		r.next()
		e := &ast.DateLit{Date: t.Value}
		r.mark(&e.Span, t.Pos.Offset)
		return e
	case t.Type == typeText:
		r.next()
		e := &ast.TextLit{Value: strings.Trim(t.Value, `"`)}
		r.mark(&e.Span, t.Pos.Offset)
		return e
	case t.Type == typeMark && t.Value == "(":
		return r.parenthesis()
	case t.Type == typeMark && t.Value == "-":
		r.fail(mistake{code: diag.TightMinus, start: t.Pos.Offset, end: t.Pos.Column, message: "this minus has no value before it",
			expected: "a sign that touches its number, as in -3 deg, or a value on both sides of the minus"})
		return nil
	case t.Type == typeName:
		return r.word()
	}
	r.fail(r.unexpected(aValue))
	return nil
}

const aValue = "a value: a quantity, a name, or a formula in parentheses"

func (r *reader) quantity() *ast.Quantity {
	t := r.next()
	q, _, err := unit.Scan(t.Value)
	if err != nil { // cannot be: the same text was read before
		r.fail(mistake{code: diag.FaultyNumber, start: t.Pos.Offset, end: t.Pos.Column, message: err.Message, expected: err.Expected, hint: err.Hint})
	}
	e := &ast.Quantity{Value: q}
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

func (r *reader) parenthesis() ast.Expr {
	t := r.next()
	r.enter(t)
	e := &ast.Paren{X: r.formula()}
	r.close(t)
	r.depth--
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

// close takes the parenthesis that closes the one of t.
func (r *reader) close(t lexer.Token) {
	if r.take(")") || r.err != nil {
		return
	}
	m := r.unexpected(`")"`)
	if r.peek().EOF() {
		m.code, m.message = diag.OpenParenthesis, "this parenthesis is not closed in its clause"
		m.related = []related{{m.start, m.end, "the clause ends here"}}
		m.start, m.end = t.Pos.Offset, t.Pos.Column
	} else {
		m.expected = `an operator or ")"`
		m.related = []related{{t.Pos.Offset, t.Pos.Column, "the parenthesis opens here"}}
	}
	r.fail(m)
}

// structural words end a value; none of them can be a name in a formula.
var structural = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range []string{"and", "or", "then", "else", "at", "most", "least", "below", "above", "between", "is", "in", "within", "of",
		"allowing", "to", "among", "by", "per", "where", "except", "exempt", "every", "each", "for"} {
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
		r.fail(mistake{code: diag.BareIf, start: t.Pos.Offset, end: t.Pos.Column,
			message:  w + " stands bare where a value is due",
			expected: "parentheses around it, as in (" + map[string]string{"if": "if A then B else C", "not": "not A"}[w] + ")"})
		return nil
	case structural[w]:
		r.fail(r.unexpected(aValue))
		return nil
	case w == "abs" || w == "min" || w == "max":
		return r.call()
	case w == "has":
		r.next()
		e := &ast.Has{Of: r.ref()}
		r.mark(&e.Span, t.Pos.Offset)
		return e
	case w == "count":
		return r.count()
	case w == "share":
		return r.share()
	case w == "drop" || w == "rise":
		r.next()
		r.expect("of")
		e := &ast.Step{Rise: w == "rise", Of: r.value(w)}
		if r.take("per") {
			r.expect("number")
			e.PerNumber = true
		}
		r.mark(&e.Span, t.Pos.Offset)
		return e
	case aggregates[w] != 0:
		return r.aggregate()
	}
	if e := r.ref(); r.err == nil {
		return e
	}
	return nil
}

// value parses what "drop of" and its like take: a name, or a formula in parentheses.
func (r *reader) value(of string) ast.Expr {
	t := r.peek()
	if t.Type == typeName && !structural[t.Value] && aggregates[t.Value] == 0 {
		return r.word()
	}
	if r.is("(") {
		return r.parenthesis()
	}
	r.fail(r.unexpected("a property, a let, or a formula in parentheses after " + of + " of"))
	return nil
}

// ref parses "NAME", "length by METHOD" and "first number".
func (r *reader) ref() *ast.Ref {
	t := r.peek()
	e := &ast.Ref{}
	if r.is("first") || r.is("second") {
		r.next()
		e.Pos = ast.First
		if t.Value == "second" {
			e.Pos = ast.Second
		}
	}
	e.Name = r.name("a property")
	if r.is("by") {
		r.next()
		by := r.name("a method")
		e.By = &by
		r.places = append(r.places, &by.Span)
	}
	r.mark(&e.Span, t.Pos.Offset)
	r.places = append(r.places, &e.Name.Span)
	return e
}

// name parses a name; the caller gives its place a file.
func (r *reader) name(what string) ast.Name {
	t := r.peek()
	if t.Type != typeName || structural[t.Value] {
		r.fail(r.unexpected("the name of " + what))
		return ast.Name{}
	}
	r.next()
	return ast.Name{Span: source.Span{Start: t.Pos.Offset, End: t.Pos.Column}, Text: t.Value}
}

func (r *reader) call() ast.Expr {
	t := r.next()
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
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

// count parses "count of SELECTOR" and "count of readings of P".
func (r *reader) count() ast.Expr {
	t := r.next()
	r.expect("of")
	if r.take("readings") {
		r.expect("of")
		e := &ast.CountReadings{Of: r.ref()}
		r.mark(&e.Span, t.Pos.Offset)
		return e
	}
	e := &ast.CountOf{Selector: r.selector()}
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

// share parses "share of (CONDITION) among readings".
func (r *reader) share() ast.Expr {
	t := r.next()
	r.expect("of")
	if !r.is("(") {
		r.fail(r.unexpected("a condition in parentheses after share of"))
		return nil
	}
	open := r.next()
	r.enter(open)
	e := &ast.ShareOfReadings{Cond: r.formula()}
	r.close(open)
	r.depth--
	r.expect("among")
	r.expect("readings")
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

// aggregate parses "longest of V among SELECTOR" and "mean of P among readings".
func (r *reader) aggregate() ast.Expr {
	t := r.next()
	how := aggregates[t.Value]
	r.expect("of")
	of := r.value(t.Value)
	r.expect("among")
	if !r.is("readings") {
		r.enter(t)
		e := &ast.SetValue{How: how, Of: of, Among: r.selector()}
		r.depth--
		r.mark(&e.Span, t.Pos.Offset)
		return e
	}
	m := r.unexpected("")
	r.next()
	ref, plain := of.(*ast.Ref)
	switch {
	case !plain:
		m.message, m.expected = "readings are of one property, and this is a formula", "the name of a property, as in mean of lie among readings"
		r.fail(m)
	case how == ast.Longest || how == ast.Shortest || how == ast.Total:
		m.message, m.expected = t.Value+" is for the clubs of a set, not for readings", "highest, lowest, spread or mean of "+ref.Name.Text+" among readings"
		m.hint = map[ast.Aggregate]string{ast.Longest: "highest", ast.Shortest: "lowest"}[how]
		m.start, m.end = t.Pos.Offset, t.Pos.Column
		r.fail(m)
	}
	e := &ast.ReadingsValue{How: how, Of: ref}
	r.mark(&e.Span, t.Pos.Offset)
	return e
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

// item parses one member of a list; ranges tells whether "5 to 9" may stand there.
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
		r.next()
		item.Mark = &ast.Text{Value: strings.Trim(next.Value, `"`)}
		r.place(&item.Mark.Span, next)
	}
	r.mark(&item.Span, t.Pos.Offset)
	return item
}

// number parses the number of a club, which has no unit.
func (r *reader) number() *ast.Quantity {
	q := r.quantity()
	if q.Value.HasUnit {
		r.fail(mistake{code: diag.OutOfPlace, start: q.Span.Start, end: q.Span.End, message: diag.Quote(q.Value.Text) + " has a unit, and the number of a club has none",
			expected: "a bare number, as in iron 5", hint: strings.TrimSpace(strings.TrimSuffix(q.Value.Text, q.Value.Unit.Name))})
	}
	return q
}

// formula is a whole formula in the grammar.
type formula struct {
	expr ast.Expr
	places
}

// Parse takes a formula off lex.
func (f *formula) Parse(lex *lexer.PeekingLexer) error {
	r := newReader(lex)
	f.expr = r.formula()
	f.places = r.places
	return r.err
}

// sum is a quantity or a sum or product in the grammar.
type sum struct {
	expr ast.Expr
	places
}

// Parse takes a sum off lex.
func (s *sum) Parse(lex *lexer.PeekingLexer) error {
	r := newReader(lex)
	s.expr = r.sum()
	s.places = r.places
	return r.err
}

// literal is a value of a case in the grammar: a quantity with its sign, a text, a day or a word.
type literal struct {
	expr ast.Expr
	places
}

// Parse takes a literal off lex.
func (l *literal) Parse(lex *lexer.PeekingLexer) error {
	r := newReader(lex)
	switch t := r.peek(); {
	case t.Type == typeName && !structural[t.Value]:
		r.next()
		e := &ast.Ref{Name: ast.Name{Text: t.Value}}
		r.place(&e.Name.Span, t)
		r.place(&e.Span, t)
		l.expr = e
	case t.Type == typeSign:
		r.next()
		e := &ast.Unary{Op: ast.Neg}
		if r.peek().Type != typeQuantity {
			r.fail(r.unexpected("a number behind its sign"))
		} else {
			e.X = r.quantity()
		}
		r.mark(&e.Span, t.Pos.Offset)
		l.expr = e
	case t.Type == typeQuantity || t.Type == typeDate || t.Type == typeText:
		l.expr = r.operand()
	default:
		r.fail(r.unexpected("what was read: a quantity, a text, a day, or a word such as left or yes"))
	}
	l.places = r.places
	return r.err
}

// list is a list of clubs in the grammar.
type list struct {
	items []*ast.Item
	places
}

// Parse takes a list off lex.
func (l *list) Parse(lex *lexer.PeekingLexer) error {
	r := newReader(lex)
	l.items = r.list()
	l.places = r.places
	return r.err
}

// item is one club of a case in the grammar, its kind with its number or mark.
type item struct {
	item *ast.Item
	places
}

// Parse takes an item off lex.
func (i *item) Parse(lex *lexer.PeekingLexer) error {
	r := newReader(lex)
	i.item = r.item(false)
	i.places = r.places
	return r.err
}

// selector is a selector in the grammar.
type selector struct {
	selector *ast.Selector
	places
}

// Parse takes a selector off lex.
func (s *selector) Parse(lex *lexer.PeekingLexer) error {
	r := newReader(lex)
	s.selector = r.selector()
	s.places = r.places
	return r.err
}

// pairs is "SELECTOR by PROPERTY" in the grammar, of "for neighbours among".
type pairs struct {
	selector *ast.Selector
	by       *ast.Ref
	places
}

// Parse takes a selector and its sort key off lex.
func (p *pairs) Parse(lex *lexer.PeekingLexer) error {
	r := newReader(lex)
	r.stop = sortKey(*lex)
	p.selector = r.selector()
	if r.err == nil && r.stop > 0 && lex.RawCursor() < r.stop {
		r.stop = 0
		r.fail(r.unexpected("by and the property that sorts the clubs", "by", "except", "where"))
	}
	r.stop = 0
	r.expect("by")
	p.by = r.ref()
	p.places = r.places
	return r.err
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
