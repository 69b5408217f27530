package parser

// This file parses formulas by precedence climbing. What participle sees of it
// is in parts.go.

import (
	"strings"

	"github.com/alecthomas/participle/v2/lexer"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

const (
	maxFormula = 4 << 10  // bytes of one formula
	maxClause  = 16 << 10 // bytes of one clause or line
	maxDepth   = 64       // levels of parentheses, if, not, signs and calls
)

// reader takes tokens off participle's lexer. The first mistake is kept in err,
// and from then on the reader is at the end of the clause.
type reader struct {
	lex    *lexer.PeekingLexer
	stop   lexer.RawCursor // where the clause ends for this reader; 0 for its real end
	places []*source.Span  // of the nodes made, which have no file yet
	err    error
	depth  int
	from   int         // where the formula starts, in bytes; negative before it starts
	last   lexer.Token // the token taken last

	ofChart bool // an "of" ends the value, as in within 1 deg of CHART
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
	if r.from < 0 {
		r.from = t.Pos.Offset
	}
	if t.Pos.Column-r.from > maxFormula {
		r.fail(mistake{code: diag.FormulaTooLong, start: r.from, end: t.Pos.Column,
			message:  "this formula is longer than 4096 characters",
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

func (r *reader) fail(m error) {
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

// node gives a formula its place, from t to the token taken last.
func (r *reader) node(t lexer.Token, e interface {
	ast.Expr
	At() *source.Span
}) ast.Expr {
	r.mark(e.At(), t.Pos.Offset)
	return e
}

// enter goes one level deeper; leave with depth--.
func (r *reader) enter(t lexer.Token) {
	if r.depth++; r.depth > maxDepth {
		r.fail(mistakeAt(t, diag.TooDeep, "this formula is nested more than 64 levels deep",
			"a formula with fewer levels; a let can hold a part of it"))
	}
}

// between is the text between two cursors, on one line.
func (r *reader) between(from, to lexer.RawCursor) string {
	var b strings.Builder
	for i, t := range r.lex.Range(from, to) {
		if i > 0 && t.Value != ")" && t.Value != "," && !strings.HasSuffix(b.String(), "(") &&
			!strings.HasSuffix(b.String(), "-") {
			b.WriteByte(' ')
		}
		b.WriteString(t.Value)
	}
	return b.String()
}

// whole is the mend that replaces what is between two cursors by text.
func (r *reader) whole(from, to lexer.RawCursor, text string) *remark {
	tokens := r.lex.Range(from, to)
	if len(tokens) == 0 {
		return &remark{}
	}
	return &remark{tokens[0].Pos.Offset, tokens[len(tokens)-1].Pos.Column, text}
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
	return r.node(t, e)
}

// andOr parses operands joined by "and", or by "or".
func (r *reader) andOr() ast.Expr {
	start, from := r.peek().Pos.Offset, r.lex.RawCursor()
	x := r.not()
	operand := from
	for joined := ast.Op(0); r.is("and") || r.is("or"); {
		before := r.lex.RawCursor()
		t := r.next()
		op := operators[t.Value]
		after := r.lex.RawCursor()
		y := r.not()
		if joined != 0 && op != joined && r.err == nil {
			end := r.lex.RawCursor()
			hint := "(" + r.between(from, before) + ") " + op.String() + " " + r.between(after, end)
			if op == ast.And { // "and" joins the operands on its two sides
				hint = r.between(from, operand) + " (" + r.between(operand, end) + ")"
			}
			m := mistakeAt(t, diag.MixedAndOr, "and is mixed with or, without parentheses",
				"parentheses around what belongs together")
			m.hint, m.mend = hint, r.whole(from, end, hint)
			r.fail(m)
		}
		joined, operand = op, after
		x = r.binary(start, t, x, y)
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
	return r.unary(ast.Not, (*reader).not)
}

// unary parses an operator before its operand.
func (r *reader) unary(op ast.Op, operand func(*reader) ast.Expr) ast.Expr {
	t := r.next()
	r.enter(t)
	e := &ast.Unary{Op: op, X: operand(r)}
	r.depth--
	return r.node(t, e)
}

// operators are those between two values.
var operators = map[string]ast.Op{"+": ast.Add, "-": ast.Sub, "*": ast.Mul, "/": ast.Div, "and": ast.And, "or": ast.Or,
	"=": ast.Eq, "!=": ast.Ne, "<": ast.Lt, "<=": ast.Le, ">": ast.Gt, ">=": ast.Ge}

// binary is "x op y", the whole starting at start; y was read last.
func (r *reader) binary(start int, op lexer.Token, x, y ast.Expr) *ast.Binary {
	b := &ast.Binary{Op: operators[op.Value], X: x, Y: y}
	r.place(&b.OpSpan, op)
	r.mark(&b.Span, start)
	return b
}

func compares(t lexer.Token) bool { return t.Type == typeMark && operators[t.Value].IsComparison() }

func (r *reader) comparison() ast.Expr {
	start, from := r.peek().Pos.Offset, r.lex.RawCursor()
	x := r.sum()
	t := r.peek()
	ref, _ := x.(*ast.Ref)
	y := (*reader).sum
	if ref != nil && ref.Name.Text == "kind" && t.Value != "<" && t.Value != "<=" && t.Value != ">" && t.Value != ">=" {
		y = (*reader).kind
	}
	switch {
	case r.is("in") || r.is("not"):
		return r.listed(start, x, y)
	case !compares(t):
		return x
	}
	r.next()
	middle := r.lex.RawCursor()
	b := r.binary(start, t, x, y(r))
	again := r.peek()
	if !compares(again) {
		return b
	}
	end := r.lex.RawCursor()
	r.next()
	after := r.lex.RawCursor()
	r.sum()
	last := r.lex.RawCursor()
	hint := r.between(from, end) + " and " + r.between(middle, end) + " " + again.Value + " " + r.between(after, last)
	m := mistakeAt(again, diag.ChainedComparison, "a second comparison follows the first",
		"one comparison at a time, joined by and")
	m.hint, m.mend = hint, r.whole(from, last, hint)
	m.safe = t.Value[0] == again.Value[0] && (t.Value[0] == '<' || t.Value[0] == '>') // 5 <= number < 7 says one thing
	r.fail(m)
	return b
}

// listed parses what follows x in "x in (A, B)" and "x not in (A, B)"; item parses a member of the list.
func (r *reader) listed(start int, x ast.Expr, item func(*reader) ast.Expr) ast.Expr {
	not := r.take("not")
	if not && !r.is("in") {
		r.fail(r.unexpected("in and a list, as in number not in (3, 4)", "in"))
	}
	word, m := r.peek(), r.unexpected("a list in parentheses after in, as in number in (3, 4)")
	r.take("in")
	if !r.is("(") {
		r.fail(m)
		return nil
	}
	open := r.next()
	r.enter(open)
	equals := lexer.Token{Type: typeMark, Value: "=", Pos: word.Pos}
	list := &ast.List{Of: x}
	var any ast.Expr
	for more := true; more; more = r.take(",") {
		list.Items = append(list.Items, item(r))
		b := r.binary(start, equals, x, list.Items[len(list.Items)-1])
		if any == nil {
			any = b
			continue
		}
		or := lexer.Token{Type: typeMark, Value: "or", Pos: word.Pos}
		any = r.binary(start, or, any, b)
	}
	r.close(open)
	r.depth--
	if not {
		u := &ast.Unary{Op: ast.Not, X: any}
		r.mark(&u.Span, start)
		any = u
	}
	if r.err != nil {
		return nil
	}
	e := &ast.Paren{X: any, List: list}
	r.mark(&e.Span, start)
	return e
}

// kind parses what follows "kind =" and what is in the list of "kind in": a kind, a group, "iron 5" or `wedge "PW"`.
func (r *reader) kind() ast.Expr {
	t := r.peek()
	if t.Type != typeName || structural[t.Value] || t.Value == "ordered" {
		return r.sum()
	}
	if t.Value == "first" || t.Value == "second" {
		m := mistakeAt(t, diag.OutOfPlace, "a kind is not compared with another club's kind",
			"a kind of club, a group, or a club such as iron 5")
		m.notes = []string{"Write two conditions: first kind = iron and second kind = iron."}
		r.fail(m)
		return nil
	}
	item := r.item(false)
	if r.err != nil {
		return nil
	}
	if item.From == nil && item.Mark == nil {
		e := &ast.Ref{Name: item.Name}
		r.place(&e.Name.Span, t)
		return r.node(t, e)
	}
	return r.node(t, &ast.ItemRef{Item: item})
}

func (r *reader) sum() ast.Expr {
	start := r.peek().Pos.Offset
	x := r.product()
	for r.is("+") || r.is("-") {
		t := r.next()
		x = r.binary(start, t, x, r.product())
	}
	if t := r.peek(); t.Type == typeSign {
		from := r.lex.RawCursor()
		r.next()
		m := mistakeAt(t, diag.TightMinus,
			diag.Quote(r.between(from, from+2))+" is read as a number with its sign, right after another value",
			"a minus between two values with a blank on both sides")
		m.end, m.hint, m.safe = r.peek().Pos.Column, "- "+r.peek().Value, true
		m.mend = &remark{t.Pos.Offset, t.Pos.Column, "- "}
		r.fail(m)
	}
	return x
}

func (r *reader) product() ast.Expr {
	start, from := r.peek().Pos.Offset, r.lex.RawCursor()
	x := r.operand()
	for r.is("*") || r.is("/") {
		before := r.lex.RawCursor()
		t := r.next()
		if q := r.peek(); t.Value == "/" && q.Type == typeQuantity && q.Pos.Offset == t.Pos.Column {
			if i := strings.IndexByte(q.Value, '/'); i > 0 && strings.Trim(q.Value[:i], "0123456789") == "" {
				m := mistakeAt(t, diag.TightStroke, "it is not clear which of these strokes makes the fraction",
					"blanks around the strokes, or the fraction in parentheses")
				above := r.between(from, before) + " / "
				m.end, m.hint = q.Pos.Column, above+"("+q.Value+")"
				m.mend = &remark{m.start, m.end, " / (" + q.Value + ")"}
				m.notes = []string{"Or " + above + q.Value[:i] + " / " + q.Value[i+1:] + " to divide twice."}
				r.fail(m)
			}
		}
		x = r.binary(start, t, x, r.operand())
	}
	return x
}

func (r *reader) operand() ast.Expr {
	t := r.peek()
	switch {
	case t.Type == typeSign:
		return r.unary(ast.Neg, (*reader).operand)
	case t.Type == typeQuantity:
		return r.quantity()
	case t.Type == typeDate:
		r.next()
		return r.node(t, &ast.DateLit{Date: t.Value})
	case t.Type == typeText:
		r.next()
		return r.node(t, &ast.TextLit{Value: unquoted(t)})
	case t.Type == typeMark && t.Value == "(":
		return r.parenthesis()
	case t.Type == typeMark && t.Value == "-":
		r.fail(mistakeAt(t, diag.TightMinus, "this minus has no value before it",
			"a sign that touches its number, as in -3 deg, or a value on both sides of the minus"))
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
		r.fail(mistakeAt(t, diag.FaultyNumber, err.Message, err.Expected))
	}
	e := &ast.Quantity{Value: q}
	r.mark(&e.Span, t.Pos.Offset)
	return e
}

func (r *reader) parenthesis() ast.Expr {
	t := r.next()
	r.enter(t)
	outside := r.ofChart
	r.ofChart = false
	e := &ast.Paren{X: r.formula()}
	r.ofChart = outside
	r.close(t)
	r.depth--
	return r.node(t, e)
}

// close takes the parenthesis that closes the one of t.
func (r *reader) close(t lexer.Token) {
	if r.take(")") || r.err != nil {
		return
	}
	m := r.unexpected(`")"`)
	if r.peek().EOF() {
		m.code, m.message = diag.OpenParenthesis, "this parenthesis is not closed in its clause"
		m.related = []remark{{m.start, m.end, "the clause ends here"}}
		m.start, m.end = t.Pos.Offset, t.Pos.Column
	} else {
		m.expected = `an operator or ")"`
		m.related = []remark{{t.Pos.Offset, t.Pos.Column, "the parenthesis opens here"}}
	}
	r.fail(m)
}
