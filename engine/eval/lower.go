package eval

// This file compiles formulas for execution: the checked tree is lowered to the
// nodes of github.com/expr-lang/expr, never through text, and run by its machine.
// What a formula takes from outside is loaded beforehand into named variables, each by
// a loader of its own that reads it straight off the club. Where a leaf is missing, or
// carries an uncertainty that a decision needs, the machine is not asked and the
// recording walk decides.

import (
	"errors"
	"math"
	"strconv"
	"sync/atomic"

	"github.com/expr-lang/expr"
	xast "github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/compiler"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/vm"

	"ferrule/engine/club"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// payingUses is how often a formula is walked before it is compiled: a bag or two
// never pays for it.
const payingUses = 48

// compiled is a formula's program, made at its first paying use and shared then.
type compiled struct {
	uses    atomic.Int32
	program atomic.Pointer[program]
}

// program is what a formula was lowered to.
type program struct {
	leaves []leaf
	code   *vm.Program // nil where one leaf is all of it, or where it cannot be lowered: then it has no leaf
}

// leaf is what a program takes from outside. load gives the number or the truth of a club of x; false where it is
// missing, or uncertain where it has to be certain.
type leaf struct {
	of   ast.Position // which club of x
	load func(x *Env, c *club.Club, certain bool) (v any, ok bool)
}

// machine runs programs for one judge. The leaves of the program in hand are the variables of vm.
type machine struct {
	vm    vm.VM
	scope Env          // where the walk works a leaf out
	boxes *[1 << 8]any // numbers met before, so that a leaf seldom takes memory
}

// box is a number as an operand.
func (m *machine) box(n float64) any {
	if m.boxes == nil {
		m.boxes = new([1 << 8]any)
	}
	b := &m.boxes[math.Float64bits(n)*0x9e3779b97f4a7c15>>56]
	if old, ok := (*b).(float64); !ok || old != n {
		*b = n
	}
	return *b
}

// functions are the operations that expr's own operators do not give: comparison
// without rounding dust, and products and quotients that have a value.
var functions = []expr.Option{
	ofTwo("order", unit.Compare), ofTwo("lesser", math.Min), ofTwo("greater", math.Max),
	ranged("quotient", func(a, b float64) float64 { return a / b }),
	ranged("product", func(a, b float64) float64 { return a * b }),
	expr.Function("magnitude", func(p ...any) (any, error) { return math.Abs(p[0].(float64)), nil }, math.Abs),
}

func ofTwo[T any](name string, f func(a, b float64) T) expr.Option {
	return expr.Function(name, func(p ...any) (any, error) { return f(p[0].(float64), p[1].(float64)), nil }, f)
}

// ranged is an operation that has no value where the walk has none: by 0, and where a number is beyond all range.
func ranged(name string, f func(a, b float64) float64) expr.Option {
	return expr.Function(name, func(p ...any) (any, error) {
		a, b := p[0].(float64), p[1].(float64)
		if v := f(a, b); !math.IsInf(v, 0) && !math.IsNaN(v) && !math.IsInf(a, 0) && !math.IsInf(b, 0) {
			return v, nil
		}
		return nil, errors.New("beyond all range")
	}, new(func(float64, float64) float64))
}

// compile makes the program of a formula.
func (f *Formula) compile() *program {
	l := lowering{info: f.Info, lowered: &lowered{types: map[string]any{}}}
	node := l.lower(f.Expr)
	if _, single := node.(*xast.IdentifierNode); single {
		return &program{leaves: l.leaves}
	}
	config := conf.New(l.types)
	for _, o := range functions {
		o(config)
	}
	clear(config.Builtins)
	tree := &parser.Tree{Node: node, Source: file.NewSource(f.Expr.Place().Text())}
	if _, err := checker.Check(tree, config); err != nil {
		return &program{}
	}
	code, err := compiler.Compile(tree, config)
	if err != nil {
		return &program{}
	}
	for i, op := range code.Bytecode {
		if op == vm.OpLoadFast { // by name, from a map
			name := code.Constants[code.Arguments[i]].(string)
			code.Bytecode[i] = vm.OpLoadVar
			code.Arguments[i], _ = strconv.Atoi(name)
		}
	}
	return &program{l.leaves, code}
}

// execute works a formula about the subject of x out: by its program, or by the walk where that is not made yet. It is
// false where a leaf is missing, or where the result is not a finite number.
func (x *Env) execute(f *Formula, certain bool) (n float64, b, ok bool) {
	p := f.program.Load()
	if p == nil && f.uses.Add(1) > payingUses {
		p = f.compile()
		f.program.Store(p)
	}
	if p == nil || p.code == nil && p.leaves == nil {
		return x.walked(f, certain)
	}
	return x.runProgram(p, certain)
}

func (x *Env) runProgram(p *program, certain bool) (n float64, b, ok bool) {
	m := &x.Bench.run
	var out any
	for i := range p.leaves {
		l := &p.leaves[i]
		if out, ok = l.load(x, x.meant(l.of), certain); !ok {
			return 0, false, false
		}
		if i == len(m.vm.Variables) {
			m.vm.Variables = append(m.vm.Variables, nil)
		}
		m.vm.Variables[i] = out
	}
	if p.code != nil {
		var err error
		if out, err = m.vm.Run(p.code, nil); err != nil {
			return 0, false, false
		}
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
func (x *Env) walked(f *Formula, certain bool) (n float64, b, ok bool) {
	y := *x
	y.Steps, y.Info, y.Deciding, y.Draws = nil, f.Info, nil, certain
	v := y.Eval(f.Expr)
	if certain && (v.Unsure != nil || !v.Exact()) {
		return 0, false, false
	}
	return v.Num, v.Truth == value.True, v.Kind == value.Number || v.Kind == value.Condition && v.Truth != value.Unknown
}

// lowered is what becomes of a formula.
type lowered struct {
	leaves []leaf
	types  map[string]any // 0.0 or false for each leaf
}

// lowering turns our tree into expr's.
type lowering struct {
	info *book.Info
	of   ast.Position // the club that a bare name means, inside a drop or a rise
	*lowered
}

// at is the lowering of what is about the club that a name's "first" or "second" means.
func (l lowering) at(p ast.Position) lowering {
	if p != ast.Here {
		l.of = p
	}
	return l
}

// leaf is the operand that load gives; like is 0.0 or false, as it is.
func (l lowering) leaf(like any, load func(x *Env, c *club.Club, certain bool) (any, bool)) xast.Node {
	name := strconv.Itoa(len(l.leaves))
	l.leaves, l.types[name] = append(l.leaves, leaf{l.of, load}), like
	return &xast.IdentifierNode{Value: name}
}

// walked is the leaf of what the walk works out.
func (l lowering) walked(e ast.Expr) xast.Node {
	if l.info.Types[e].Kind == book.Truth {
		return l.leaf(false, func(x *Env, c *club.Club, certain bool) (any, bool) {
			v := x.leafOf(l.info, c, certain).Eval(e)
			return v.Truth == value.True, v.Truth != value.Unknown
		})
	}
	return l.leaf(0.0, func(x *Env, c *club.Club, certain bool) (any, bool) {
		v := x.leafOf(l.info, c, certain).Eval(e)
		known := v.Kind == value.Number || v.Kind == value.Day
		return x.Bench.run.box(v.Num), known && !(certain && (v.Unsure != nil || !v.Exact()))
	})
}

// leafOf is x about a club, where the walk works a leaf of a formula out. It holds until the next leaf.
func (x *Env) leafOf(info *book.Info, c *club.Club, certain bool) *Env {
	y := &x.Bench.run.scope
	*y = *x
	y.Info, y.Club, y.Steps, y.Deciding, y.Draws = info, c, nil, nil, certain
	return y
}

func call(name string, args ...xast.Node) xast.Node {
	return &xast.CallNode{Callee: &xast.IdentifierNode{Value: name}, Arguments: args}
}

// lower gives the node of a formula, with its place.
func (l lowering) lower(e ast.Expr) xast.Node {
	n := l.node(e)
	n.SetLocation(file.Location{From: e.Place().Start, To: e.Place().End})
	return n
}

// constant is the figure of a formula that is one.
func (l lowering) constant(e ast.Expr) (float64, bool) {
	e = ast.Unparen(e)
	if d, ok := e.(*ast.DateLit); ok {
		n, _ := book.ParseDay(d.Date)
		return float64(n), true
	}
	if c, ok := l.info.Constants[e]; ok {
		return c.Base, true
	}
	return 0, false
}

func (l lowering) node(e ast.Expr) xast.Node {
	if c, ok := l.constant(e); ok {
		return &xast.FloatNode{Value: c}
	}
	switch e := e.(type) {
	case *ast.Paren:
		return l.lower(e.X)
	case *ast.Ref:
		return l.at(e.Pos).ref(e)
	case *ast.Unary:
		return &xast.UnaryNode{Operator: e.Op.String(), Node: l.lower(e.X)}
	case *ast.Binary:
		return l.binary(e)
	case *ast.If:
		return &xast.ConditionalNode{Cond: l.lower(e.Cond), Exp1: l.lower(e.Then), Exp2: l.lower(e.Else)}
	case *ast.Call:
		return l.call(e)
	case *ast.Step:
		return l.step(e)
	}
	return l.walked(e)
}

func (l lowering) ref(e *ast.Ref) xast.Node {
	r := l.info.Refs[e]
	switch {
	case r.Kind == book.RefLet:
		l.info = r.Let.Book.Info
		return l.lower(r.Let.Decl.Value)
	case r.Kind != book.RefProperty || r.Property.Ordered:
		return l.walked(e)
	case !r.Property.Sort.Numeric() && r.Property.Sort != catalogue.Date:
		return l.walked(e)
	}
	f := &book.Form{Property: r.Property, Method: r.Method}
	return l.leaf(0.0, func(x *Env, c *club.Club, certain bool) (any, bool) {
		n, u, _, ok := x.plain(f, c, certain)
		return x.Bench.run.box(n), ok && u == 0
	})
}

// arithmetic are the operations that expr has, too.
var arithmetic = map[ast.Op]string{ast.And: "and", ast.Or: "or", ast.Add: "+", ast.Sub: "-"}

// turned is a comparison with its sides changed over.
var turned = map[ast.Op]ast.Op{
	ast.Eq: ast.Eq, ast.Ne: ast.Ne, ast.Lt: ast.Gt, ast.Le: ast.Ge, ast.Gt: ast.Lt, ast.Ge: ast.Le,
}

func (l lowering) binary(e *ast.Binary) xast.Node {
	t := l.info.Types[e.X].Kind
	switch {
	case e.Op == ast.Div:
		return call("quotient", l.lower(e.X), l.lower(e.Y))
	case e.Op == ast.Mul:
		return call("product", l.lower(e.X), l.lower(e.Y))
	case arithmetic[e.Op] != "":
		return &xast.BinaryNode{Operator: arithmetic[e.Op], Left: l.lower(e.X), Right: l.lower(e.Y)}
	case t != book.Number && t != book.DayType:
		return l.walked(e)
	}
	op, x, y := e.Op, e.X, e.Y
	if _, ok := l.constant(x); ok {
		op, x, y = turned[op], y, x
	}
	c, ok := l.constant(y)
	low, high := unit.Alike(c)
	switch {
	case !ok || op == ast.Eq || op == ast.Ne:
		sign, order := op.String(), call("order", l.lower(x), l.lower(y))
		if op == ast.Eq {
			sign = "=="
		}
		return &xast.BinaryNode{Operator: sign, Left: order, Right: &xast.IntegerNode{}}
	case op == ast.Le || op == ast.Gt:
		low = high
	}
	return &xast.BinaryNode{Operator: op.String(), Left: l.lower(x), Right: &xast.FloatNode{Value: low}}
}

func (l lowering) call(e *ast.Call) xast.Node {
	out := l.lower(e.Args[0])
	if e.Func.Text == "abs" {
		return call("magnitude", out)
	}
	name := map[string]string{"max": "greater", "min": "lesser"}[e.Func.Text]
	for _, a := range e.Args[1:] {
		out = call(name, out, l.lower(a))
	}
	return out
}

func (l lowering) step(e *ast.Step) xast.Node {
	from, to := ast.First, ast.Second
	if e.Rise {
		from, to = to, from
	}
	n := xast.Node(&xast.BinaryNode{Operator: "-", Left: l.at(from).lower(e.Of), Right: l.at(to).lower(e.Of)})
	if e.PerNumber {
		n = call("quotient", n, l.leaf(0.0, func(x *Env, _ *club.Club, _ bool) (any, bool) {
			apart, lacks := NumbersApart(x.First, x.Second)
			return x.Bench.run.box(apart), lacks == nil
		}))
	}
	return n
}
