package analyse

// This file brings rules into a normal form, part by part, so that two that are written differently and plainly
// mean the same have one form: groups and named formulas are put in place of their names, quantities are
// exact whatever their unit, and what may stand in any order is sorted. Parts of unlike form may still
// mean the same; only clubs tell.

import (
	"crypto/sha256"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// form is the normal form of a rule.
type form struct {
	dates, scope, exceptions, limit, decision string
	advice                                    bool
	methods                                   []string // names of those that its lengths are asked for by, sorted
	branches                                  bool     // an "if" stands in it
	simple                                    bool     // it is written without what tells how sure a value is
}

// normalizer writes normal forms. What it has written of a let, a group or a chart it knows again.
type normalizer struct {
	simple   bool // what is written is decided simply: how sure a value is counts nothing
	known    map[any]string
	methods  map[string]bool // of the rule in hand
	branches bool            // an "if" stands in the rule in hand
	reaches  map[any]reach
}

// reach is what stands behind a name.
type reach struct {
	methods  []string
	branches bool
}

func newNormalizer() *normalizer {
	return &normalizer{known: map[any]string{}, reaches: map[any]reach{}, methods: map[string]bool{}}
}

// rule is the form of a rule.
func (n *normalizer) rule(r *book.Rule) form {
	info, d := r.Book.Info, r.Decl
	n.methods, n.branches = map[string]bool{}, false
	f := form{advice: d.Advice, simple: n.simple, dates: fmt.Sprint(r.From, r.Until), scope: fmt.Sprint(r.Subject)}
	if r.Among.Decl != nil {
		f.scope += n.selector(r.Among.Decl, info)
	}
	if r.By.Expr != nil {
		f.scope += " by " + n.part(r.By)
	}
	never := n.simple && neverBelowZero(r.Value)
	var unless []string
	for _, u := range r.Unless {
		unless = append(unless, n.part(u.When)+": "+n.bound(u.Bound, never))
	}
	f.exceptions = joined(unless, "; ")
	f.limit = n.part(r.Value) + " "
	if r.Bound != nil {
		f.limit += n.bound(r.Bound, never)
	}
	f.decision = fmt.Sprint(r.Decision.Kind, r.Decision.Level)
	for m := range n.methods {
		f.methods = append(f.methods, m)
	}
	slices.Sort(f.methods)
	f.branches = n.branches
	return f
}

// neverBelowZero reports whether a value is a spread or a count.
func neverBelowZero(p book.Part) bool {
	switch e := p.Behind().Expr.(type) {
	case *ast.CountOf, *ast.CountReadings:
		return true
	case *ast.SetValue:
		return e.How == ast.Spread
	case *ast.ReadingsValue:
		return e.How == ast.Spread
	}
	return false
}

// once writes what stands under a name, and notes the methods that it asks for.
func (n *normalizer) once(of any, write func() string) string {
	s, ok := n.known[of]
	if !ok {
		outer, branches := n.methods, n.branches
		n.methods, n.branches = map[string]bool{}, false
		s = short(write())
		n.known[of] = s
		r := reach{branches: n.branches}
		for m := range n.methods {
			r.methods = append(r.methods, m)
		}
		n.reaches[of] = r
		n.methods, n.branches = outer, branches
	}
	for _, m := range n.reaches[of].methods {
		n.methods[m] = true
	}
	n.branches = n.branches || n.reaches[of].branches
	return s
}

// short keeps forms from growing without bound where names stand for names.
func short(s string) string {
	if len(s) <= 200 {
		return s
	}
	return fmt.Sprintf("%x", sha256.Sum256([]byte(s)))
}

// joined are parts in an order of their own, each once.
func joined(parts []string, between string) string {
	slices.Sort(parts)
	return strings.Join(slices.Compact(parts), between)
}

func (n *normalizer) selector(s *ast.Selector, info *book.Info) string {
	out := "[" + n.items(s.Items, info)
	if len(s.Except) > 0 {
		out += " except " + n.items(s.Except, info)
	}
	if s.Where != nil {
		out += " where " + n.expr(s.Where, info)
	}
	return out + "]"
}

func (n *normalizer) items(items []*ast.Item, info *book.Info) string {
	var parts []string
	for _, item := range items {
		parts = append(parts, strings.Split(n.item(info.Items[item]), ", ")...)
	}
	if slices.Contains(parts, "any") {
		return "any"
	}
	return joined(parts, ", ")
}

func (n *normalizer) item(m *book.ItemInfo) string {
	switch {
	case m == nil:
		return "none"
	case m.Any:
		return "any"
	case m.Group != nil:
		return n.group(m.Group)
	case m.Numbered && m.From == m.To:
		return fmt.Sprintf("%s %g", m.Kind, m.From)
	case m.Numbered:
		var each []string
		for k := m.From; k <= m.To && k < m.From+32; k++ {
			each = append(each, fmt.Sprintf("%s %g", m.Kind, k))
		}
		if m.To >= m.From+32 {
			return fmt.Sprintf("%s %g to %g", m.Kind, m.From, m.To)
		}
		return strings.Join(each, ", ")
	case m.HasMark:
		return fmt.Sprintf("%s %q", m.Kind, catalogue.Key(m.Mark))
	}
	return m.Kind.String()
}

// group is a group as a member of a list: its own list where it is nothing more.
func (n *normalizer) group(g *book.Group) string {
	s := g.Decl.Selector
	if len(s.Except) == 0 && s.Where == nil {
		return n.items(s.Items, g.Book.Info)
	}
	return n.once(g, func() string { return strings.ReplaceAll(n.selector(s, g.Book.Info), ", ", ",") })
}

// bound is a bound, "exempt" for none; on a value that is never below zero one that keeps it from there is none.
func (n *normalizer) bound(b *book.Bound, never bool) string {
	if b == nil {
		return "exempt"
	}
	low, high := "", ""
	if b.Low != nil && !(never && b.Fixed() && atZero(b.Low)) {
		low = n.end(b.Low)
	}
	if b.High != nil {
		high = n.end(b.High)
	}
	if b.Fixed() {
		return low + " to " + high
	}
	var widen []string
	for _, p := range b.Widen {
		widen = append(widen, n.part(p))
	}
	slices.Sort(widen)
	return low + " to " + high + " widened by " + strings.Join(widen, ",")
}

// atZero reports whether a lower end keeps nothing out but what is below 0.
func atZero(low *book.End) bool {
	sign := low.Fixed.Exact.Sign()
	return sign < 0 || sign == 0 && !low.Open
}

// end is an end of a bound.
func (n *normalizer) end(e *book.End) string {
	open := ""
	if e.Open {
		open = "beyond "
	}
	if e.Fixed != nil {
		return open + e.Fixed.Exact.RatString()
	}
	return open + n.part(e.At)
}

func (n *normalizer) optional(e ast.Expr, info *book.Info) string {
	if e == nil {
		return ""
	}
	return n.expr(e, info)
}

// exactEnds are the ends of a bound that is known before any club is read, in base units; nil where it has none.
func exactEnds(b *book.Bound) (low, high *big.Rat) {
	if b.Low != nil {
		low = b.Low.Fixed.Exact
	}
	if b.High != nil {
		high = b.High.Fixed.Exact
	}
	return low, high
}

func (n *normalizer) part(p book.Part) string { return n.expr(p.Expr, p.Info) }

// expr is a formula.
func (n *normalizer) expr(e ast.Expr, info *book.Info) string {
	if c := info.Constants[e]; c != nil {
		return "#" + c.Exact.RatString()
	}
	x := func(e ast.Expr) string { return n.expr(e, info) }
	switch e := e.(type) {
	case *ast.Paren:
		return x(e.X)
	case *ast.DateLit:
		return e.Date
	case *ast.TextLit:
		return fmt.Sprintf("%q", catalogue.Key(e.Value))
	case *ast.Ref:
		return n.ref(e, info)
	case *ast.ItemRef:
		return "=" + n.item(info.Items[e.Item])
	case *ast.Unary:
		return e.Op.String() + "(" + x(e.X) + ")"
	case *ast.Binary:
		return n.binary(e, info)
	case *ast.If:
		n.branches = true
		return "if(" + x(e.Cond) + "," + x(e.Then) + "," + x(e.Else) + ")"
	case *ast.Call:
		var args []string
		for _, a := range e.Args {
			args = append(args, x(a))
		}
		return e.Func.Text + "(" + joined(args, ",") + ")"
	case *ast.Has:
		return "has(" + x(e.Of) + ")"
	case *ast.CountOf:
		return "count" + n.selector(e.Selector, info)
	case *ast.SetValue:
		return n.aggregate(e.How, "("+x(e.Of)+")"+n.selector(e.Among, info))
	case *ast.ReadingsValue:
		return n.aggregate(e.How, " of readings("+x(e.Of)+")")
	case *ast.ShareOfReadings:
		return "share(" + x(e.Cond) + ")"
	case *ast.CountReadings:
		return "readings(" + x(e.Of) + ")"
	case *ast.Step:
		return fmt.Sprint("step ", e.Rise, e.PerNumber, "(", x(e.Of), ")")
	}
	return "?"
}

// aggregate is a value of several. Where it counts nothing how sure it is, a spread is the highest less the lowest.
func (n *normalizer) aggregate(how ast.Aggregate, of string) string {
	if n.simple && how == ast.Spread {
		return ast.Sub.String() + "(" + alike(ast.Highest) + of + "," + alike(ast.Lowest) + of + ")"
	}
	return alike(how) + of
}

// alike is the word for an aggregate; longest and highest are one.
func alike(a ast.Aggregate) string {
	switch a {
	case ast.Longest:
		a = ast.Highest
	case ast.Shortest:
		a = ast.Lowest
	}
	return a.String()
}

func (n *normalizer) ref(e *ast.Ref, info *book.Info) string {
	r := info.Refs[e]
	if r == nil {
		return "?"
	}
	at := [...]string{"", "first ", "second "}[e.Pos]
	switch r.Kind {
	case book.RefProperty:
		if r.Method == nil {
			return at + r.Property.Name
		}
		n.methods[r.Method.Decl.Name.Text] = true
		return at + r.Property.Name + " by " + n.method(r.Method)
	case book.RefLet:
		return at + n.once(r.Let, func() string { return n.expr(r.Let.Decl.Value, r.Let.Book.Info) })
	case book.RefChart:
		return at + n.once(r.Chart, func() string {
			var rows []string
			for i, row := range r.Chart.Decl.Rows {
				s := n.items(row.Items, r.Chart.Book.Info) + " = " + r.Chart.Values[i].Exact.RatString()
				if row.Where != nil {
					s += " where " + n.expr(row.Where, r.Chart.Book.Info)
				}
				rows = append(rows, s)
			}
			return "chart{" + joined(rows, "; ") + "}"
		})
	case book.RefGroup:
		return "=" + n.group(r.Group)
	case book.RefKindWord:
		return "=" + r.Club.String()
	case book.RefHand:
		return "=" + r.Hand
	}
	return "?"
}

// binary is an operation; what may stand in either order is sorted.
func (n *normalizer) binary(e *ast.Binary, info *book.Info) string {
	switch e.Op {
	case ast.And, ast.Or, ast.Add, ast.Mul:
		var parts []string
		n.flatten(e, e.Op, info, &parts)
		if slices.Sort(parts); e.Op == ast.And || e.Op == ast.Or {
			parts = slices.Compact(parts)
		}
		return e.Op.String() + "(" + strings.Join(parts, ",") + ")"
	}
	x, y := n.expr(e.X, info), n.expr(e.Y, info)
	op := e.Op
	switch {
	case op == ast.Gt:
		op, x, y = ast.Lt, y, x
	case op == ast.Ge:
		op, x, y = ast.Le, y, x
	case (op == ast.Eq || op == ast.Ne) && y < x:
		x, y = y, x
	}
	return op.String() + "(" + x + "," + y + ")"
}

func (n *normalizer) flatten(e ast.Expr, op ast.Op, info *book.Info, out *[]string) {
	if b, ok := ast.Unparen(e).(*ast.Binary); ok && b.Op == op && info.Constants[e] == nil {
		n.flatten(b.X, op, info, out)
		n.flatten(b.Y, op, info, out)
		return
	}
	*out = append(*out, n.expr(e, info))
}

// method is how a method measures, whatever its name.
func (n *normalizer) method(m *book.Method) string {
	return n.once(m, func() string {
		covers := "any"
		if m.Decl.Covers != nil {
			covers = n.selector(m.Decl.Covers.Selector, m.Book.Info)
		}
		if n.simple {
			return fmt.Sprint(m.Decl.Stop.Kind, m.Decl.Top.Kind, " ", exactly(m.Angle), " ", covers)
		}
		return fmt.Sprint(m.Decl.Stop.Kind, m.Decl.Top.Kind, " ", exactly(m.Angle), " ", exactly(m.Reads), " ", exactly(m.LieSet), " ", exactly(m.Ruler), " ", covers)
	})
}

// half is a half-width as far as it counts.
func (n *normalizer) half(c *book.Constant) string {
	if n.simple {
		return ""
	}
	return "+-" + exactly(c)
}

func exactly(c *book.Constant) string {
	if c == nil {
		return "-"
	}
	return c.Exact.RatString()
}

// shop is the heads and allowances of all books of a program.
func (n *normalizer) shop(p *engine.Program) string {
	var parts []string
	for _, b := range book.Reach(p.Books) {
		for _, h := range b.Heads {
			s := "head " + n.items(h.Decl.Items, b.Info) + " where " + n.optional(h.Decl.Where, b.Info)
			for i := range h.Shape {
				s += " " + h.Shape[i].Exact.RatString() + n.half(h.Within[i])
			}
			parts = append(parts, s)
		}
		for _, a := range b.Allowances {
			parts = append(parts, fmt.Sprint("allowance ", a.Crown, " ", a.Amount.Exact.RatString(), n.half(a.Within), " where ", n.optional(a.Decl.Where, b.Info)))
		}
	}
	return joined(parts, "\n")
}
