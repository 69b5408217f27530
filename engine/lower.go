package engine

// This file compiles formulas for execution: the checked tree is lowered to the
// nodes of github.com/expr-lang/expr, never through text, and run by its machine on
// the numbers and truths that the formula's leaves give. Only what the language can
// write gets there. Where a leaf is missing, or carries an uncertainty that a
// decision needs, the machine is not asked and the recording walk tells.

import (
	"errors"
	"math"
	"sync"

	"github.com/expr-lang/expr"
	xast "github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/compiler"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/vm"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// payingUses is how often a judge walks a formula before it is compiled: a bag or
// two never pays for it.
const payingUses = 48

// compiled is a formula's program, made at its first paying use and shared then.
type compiled struct {
	once    sync.Once
	program *vm.Program // nil where the formula cannot be lowered
	leaves  []leaf
}

// leaf is what a program takes from outside: a name's value, a value of the set, or
// a condition on words.
type leaf struct {
	expr  ast.Expr // nil: how many numbers the pair is apart
	info  *book.Info
	pos   ast.Position
	truth bool // it is one of the truths, else of the numbers
}

// operands is what a program runs on.
type operands struct {
	Numbers []float64
	Truths  []bool
}

// machine runs programs for one judge.
type machine struct {
	vm       vm.VM
	operands operands
	scope    env // where the leaf in hand is worked out
	uses     map[*formula]int
}

var errDivision = errors.New("a division by 0")

// functions are the operations that expr's own operators do not give: comparison
// without rounding dust, and division that refuses 0.
var functions = []expr.Option{
	expr.Function("order", func(p ...any) (any, error) { return unit.Compare(p[0].(float64), p[1].(float64)), nil },
		new(func(float64, float64) int)),
	expr.Function("quotient", func(p ...any) (any, error) {
		if p[1].(float64) == 0 {
			return nil, errDivision
		}
		return p[0].(float64) / p[1].(float64), nil
	}, new(func(float64, float64) float64)),
	expr.Function("magnitude", func(p ...any) (any, error) { return math.Abs(p[0].(float64)), nil }, new(func(float64) float64)),
	expr.Function("lesser", func(p ...any) (any, error) { return min(p[0].(float64), p[1].(float64)), nil },
		new(func(float64, float64) float64)),
	expr.Function("greater", func(p ...any) (any, error) { return max(p[0].(float64), p[1].(float64)), nil },
		new(func(float64, float64) float64)),
}

// compile makes the program of a formula.
func (f *formula) compile() {
	l := lowering{info: f.info}
	node := l.lower(f.expr)
	if node == nil {
		return
	}
	config := conf.New(&operands{})
	for _, o := range functions {
		o(config)
	}
	clear(config.Builtins)
	tree := &parser.Tree{Node: node, Source: file.NewSource(f.expr.Place().Text())}
	if _, err := checker.Check(tree, config); err != nil {
		return
	}
	program, err := compiler.Compile(tree, config)
	if err != nil {
		return
	}
	f.program, f.leaves = program, l.leaves
}

// execute runs the program of a formula about the subject of x. It is false where
// the formula has none yet, where a leaf is missing, or where the result is no
// finite number.
func (x *env) execute(f *formula, certain bool) (n float64, b, ok bool) {
	m := &x.j.run
	if m.uses == nil {
		m.uses = map[*formula]int{}
	}
	if m.uses[f]++; m.uses[f] <= payingUses {
		return x.walked(f, certain)
	}
	f.once.Do(f.compile)
	if f.program == nil {
		return x.walked(f, certain)
	}
	return x.runProgram(f, certain)
}

func (x *env) runProgram(f *formula, certain bool) (n float64, b, ok bool) {
	m := &x.j.run
	m.operands.Numbers, m.operands.Truths = m.operands.Numbers[:0], m.operands.Truths[:0]
	for i := range f.leaves {
		l := &f.leaves[i]
		v := x.leaf(l, certain)
		switch {
		case certain && (v.unsure != nil || !v.exact()):
			return 0, false, false
		case l.truth && v.kind == truth && v.truth != Unknown:
			m.operands.Truths = append(m.operands.Truths, v.truth == True)
		case !l.truth && (v.kind == number || v.kind == day):
			m.operands.Numbers = append(m.operands.Numbers, v.num)
		default:
			return 0, false, false
		}
	}
	out, err := m.vm.Run(f.program, &m.operands)
	if err != nil {
		return 0, false, false
	}
	switch out := out.(type) {
	case bool:
		return 0, out, true
	case float64:
		return out, false, !math.IsNaN(out) && !math.IsInf(out, 0)
	}
	return 0, false, false
}

// walked is what execute gives where a formula has no program.
func (x *env) walked(f *formula, certain bool) (n float64, b, ok bool) {
	y := *x
	y.steps, y.info, y.deciding, y.draws = nil, f.info, nil, certain
	v := y.eval(f.expr)
	if certain && (v.unsure != nil || !v.exact()) {
		return 0, false, false
	}
	return v.num, v.truth == True, v.kind == number || v.kind == truth && v.truth != Unknown
}

// leaf is the value of a leaf.
func (x *env) leaf(l *leaf, certain bool) value {
	if l.expr == nil {
		n, lacks := numbersApart(x.first, x.second)
		if lacks != nil {
			return lackOf(lacks...)
		}
		return numberOf(n)
	}
	y := &x.j.run.scope
	*y = *x
	y.steps, y.info, y.deciding, y.draws = nil, l.info, nil, certain
	switch l.pos {
	case ast.First:
		y.club = x.first
	case ast.Second:
		y.club = x.second
	}
	return y.eval(l.expr)
}

// lowering turns our tree into expr's.
type lowering struct {
	info            *book.Info
	pos             ast.Position // the club that a bare name means, inside a drop or a rise
	leaves          []leaf
	numbers, truths int
}

func (l *lowering) number(e ast.Expr) xast.Node {
	l.leaves = append(l.leaves, leaf{expr: e, info: l.info, pos: l.pos})
	l.numbers++
	return operand("Numbers", l.numbers-1)
}

func (l *lowering) truth(e ast.Expr) xast.Node {
	l.leaves = append(l.leaves, leaf{expr: e, info: l.info, pos: l.pos, truth: true})
	l.truths++
	return operand("Truths", l.truths-1)
}

func operand(name string, i int) xast.Node {
	return &xast.MemberNode{Node: &xast.IdentifierNode{Value: name}, Property: &xast.IntegerNode{Value: i}}
}

func call(name string, args ...xast.Node) xast.Node {
	return &xast.CallNode{Callee: &xast.IdentifierNode{Value: name}, Arguments: args}
}

// lower gives the node of a formula, with its place; nil where it cannot be lowered.
func (l *lowering) lower(e ast.Expr) xast.Node {
	n := l.node(e)
	if n != nil {
		n.SetLocation(file.Location{From: e.Place().Start, To: e.Place().End})
	}
	return n
}

func (l *lowering) node(e ast.Expr) xast.Node {
	if c, ok := l.info.Constants[e]; ok {
		return &xast.FloatNode{Value: c.Base}
	}
	switch e := e.(type) {
	case *ast.Paren:
		return l.lower(e.X)
	case *ast.DateLit:
		d, _ := book.ParseDay(e.Date)
		return &xast.FloatNode{Value: float64(d)}
	case *ast.Ref:
		return l.ref(e)
	case *ast.Has:
		return l.truth(e)
	case *ast.CountOf, *ast.SetValue, *ast.ReadingsValue, *ast.CountReadings, *ast.ShareOfReadings:
		return l.number(e)
	case *ast.Unary:
		x := l.lower(e.X)
		if x == nil {
			return nil
		}
		if e.Op == ast.Not {
			return &xast.UnaryNode{Operator: "not", Node: x}
		}
		return &xast.UnaryNode{Operator: "-", Node: x}
	case *ast.Binary:
		return l.binary(e)
	case *ast.If:
		c, a, b := l.lower(e.Cond), l.lower(e.Then), l.lower(e.Else)
		if c == nil || a == nil || b == nil {
			return nil
		}
		return &xast.ConditionalNode{Cond: c, Exp1: a, Exp2: b}
	case *ast.Call:
		return l.call(e)
	case *ast.Step:
		return l.step(e)
	}
	return nil
}

func (l *lowering) ref(e *ast.Ref) xast.Node {
	r := l.info.Refs[e]
	switch {
	case r == nil:
		return nil
	case r.Kind == book.RefLet:
		inner := lowering{info: r.Let.Book.Info, pos: l.pos, leaves: l.leaves, numbers: l.numbers, truths: l.truths}
		n := inner.lower(r.Let.Decl.Value)
		l.leaves, l.numbers, l.truths = inner.leaves, inner.numbers, inner.truths
		return n
	case r.Kind == book.RefChart:
		return l.number(e)
	case r.Kind == book.RefProperty && (r.Property.Sort.Numeric() || r.Property.Sort == catalogue.Date):
		return l.number(e)
	case r.Kind == book.RefProperty && r.Property.Sort == catalogue.YesNo:
		return l.truth(e)
	}
	return nil
}

var arithmetic = map[ast.Op]string{ast.Add: "+", ast.Sub: "-", ast.Mul: "*"}
var logic = map[ast.Op]string{ast.And: "and", ast.Or: "or"}

func (l *lowering) binary(e *ast.Binary) xast.Node {
	if e.Op == ast.Eq || e.Op == ast.Ne {
		switch l.info.Types[e.X].Kind {
		case book.Number, book.DayType:
		default: // words: the walk answers them
			return l.truth(e)
		}
	}
	a, b := l.lower(e.X), l.lower(e.Y)
	if a == nil || b == nil {
		return nil
	}
	switch {
	case logic[e.Op] != "":
		return &xast.BinaryNode{Operator: logic[e.Op], Left: a, Right: b}
	case arithmetic[e.Op] != "":
		return &xast.BinaryNode{Operator: arithmetic[e.Op], Left: a, Right: b}
	case e.Op == ast.Div:
		return call("quotient", a, b)
	case e.Op == ast.Eq:
		return &xast.BinaryNode{Operator: "==", Left: call("order", a, b), Right: &xast.IntegerNode{}}
	}
	return &xast.BinaryNode{Operator: e.Op.String(), Left: call("order", a, b), Right: &xast.IntegerNode{}}
}

func (l *lowering) call(e *ast.Call) xast.Node {
	var out xast.Node
	for i, a := range e.Args {
		n := l.lower(a)
		switch {
		case n == nil:
			return nil
		case e.Func.Text == "abs":
			out = call("magnitude", n)
		case i == 0:
			out = n
		case e.Func.Text == "max":
			out = call("greater", out, n)
		default:
			out = call("lesser", out, n)
		}
	}
	return out
}

func (l *lowering) step(e *ast.Step) xast.Node {
	outer := l.pos
	l.pos = ast.First
	first := l.lower(e.Of)
	l.pos = ast.Second
	second := l.lower(e.Of)
	l.pos = outer
	if first == nil || second == nil {
		return nil
	}
	if e.Rise {
		first, second = second, first
	}
	var n xast.Node = &xast.BinaryNode{Operator: "-", Left: first, Right: second}
	if e.PerNumber {
		n = call("quotient", n, l.number(nil))
	}
	return n
}
