package book

// This file brings parts of rules into keys, so that two that are written differently and plainly mean the same have
// one key. Groups and named formulas are put in place of their names, quantities are exact whatever their unit, and
// what may be in any order is sorted. Parts with unlike keys may still mean the same; only clubs tell.

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
)

// RuleKey is the key of a rule, part by part.
type RuleKey struct {
	Dates, Scope, Exceptions, Limit, Decision string
	Advice                                    bool
	Properties                                string   // what the book says of empty cells and lists of texts
	Methods                                   []string // names of those that its lengths are asked for by, sorted
	Branches                                  bool     // there is an "if" in it
}

// Keys makes keys. What it has written of a let, a group, a chart or a method it knows again.
type Keys struct {
	simple bool
	known  map[any]known
	holds  // of what is in hand
}

// holds is what parts of a rule hold, beside what they mean.
type holds struct {
	methods map[string]bool // by which lengths are asked for
	stated  map[string]bool // what is said of the empty cells and the texts of properties
	ifs     bool            // there is an "if"
}

func newHolds() holds { return holds{methods: map[string]bool{}, stated: map[string]bool{}} }

// known is the key of what a name means, and what it holds.
type known struct {
	key string
	holds
}

// NewKeys returns a maker of keys. Simple ones are for rules that are decided simply: how sure a value is counts
// nothing.
func NewKeys(simple bool) *Keys {
	return &Keys{simple: simple, known: map[any]known{}, holds: newHolds()}
}

// Rule returns the key of a rule.
func (k *Keys) Rule(r *Rule) RuleKey {
	k.holds = newHolds()
	out := RuleKey{Advice: r.Decl.Advice, Dates: fmt.Sprint(r.From, r.Until), Scope: fmt.Sprint(r.Subject),
		Decision: fmt.Sprint(r.Decision.Kind, r.Decision.Level)}
	if r.Among.Decl != nil {
		out.Scope += k.Clubs(r.Among)
	}
	if r.By.Expr != nil {
		out.Scope += " by " + k.Part(r.By)
	}
	never := k.simple && neverBelowZero(r.Value)
	var unless []string
	for _, u := range r.Unless {
		unless = append(unless, k.Part(u.When)+": "+k.bound(u.Bound, never))
	}
	plain := r.Plain()
	out.Exceptions = joined(unless[:plain:plain], "; ")
	for _, u := range unless[plain:] {
		out.Exceptions += " else " + u
	}
	out.Limit = k.Part(r.Value) + " "
	if r.Bound != nil {
		out.Limit += k.bound(r.Bound, never)
	}
	out.Branches, out.Methods = k.ifs, slices.Sorted(maps.Keys(k.methods))
	out.Properties = joined(slices.Collect(maps.Keys(k.stated)), "; ")
	return out
}

// neverBelowZero reports whether a value is a spread or a count.
func neverBelowZero(p Part) bool {
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

// once writes what a name means, and notes what it holds.
func (k *Keys) once(of any, write func() string) string {
	s, ok := k.known[of]
	if !ok {
		before := k.holds
		k.holds = newHolds()
		s.key = short(write())
		s.holds = k.holds
		k.known[of] = s
		k.holds = before
	}
	maps.Copy(k.methods, s.methods)
	maps.Copy(k.stated, s.stated)
	k.ifs = k.ifs || s.ifs
	return s.key
}

// short keeps keys from growing without bound where names are made of names.
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

// Clubs returns the key of what says which clubs are meant.
func (k *Keys) Clubs(c Clubs) string {
	out := "[" + k.items(c.Decl.Items, c.Info)
	if len(c.Decl.Except) > 0 {
		out += " except " + k.items(c.Decl.Except, c.Info)
	}
	if c.Decl.Where != nil {
		out += " where " + k.Part(Part{c.Decl.Where, c.Info})
	}
	return out + "]"
}

func (k *Keys) items(items []*ast.Item, info *Info) string {
	var parts []string
	for _, item := range items {
		parts = append(parts, strings.Split(k.item(info.Items[item]), ", ")...)
	}
	if slices.Contains(parts, "any") {
		return "any"
	}
	return joined(parts, ", ")
}

func (k *Keys) item(m *ItemInfo) string {
	switch {
	case m == nil:
		return "none"
	case m.Any:
		return "any"
	case m.Group != nil:
		return k.group(m.Group)
	case m.Numbered && m.From == m.To:
		return fmt.Sprintf("%s %g", m.Kind, m.From)
	case m.Numbered:
		var each []string
		for n := m.From; n <= m.To && n < m.From+32; n++ {
			each = append(each, fmt.Sprintf("%s %g", m.Kind, n))
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
func (k *Keys) group(g *Group) string {
	s := g.Decl.Selector
	if len(s.Except) == 0 && s.Where == nil {
		return k.items(s.Items, g.Book.Info)
	}
	return k.once(g, func() string { return strings.ReplaceAll(k.Clubs(g.Clubs()), ", ", ",") })
}

// Bound returns the key of a bound, "exempt" for none.
func (k *Keys) Bound(b *Bound) string { return k.bound(b, false) }

// bound is Bound; on a value that is never below zero an end that keeps it from there is none.
func (k *Keys) bound(b *Bound, never bool) string {
	if b == nil {
		return "exempt"
	}
	low, high := k.end(b.Low), k.end(b.High)
	if never && b.Fixed() && b.Low != nil && b.Low.atZero() {
		low = ""
	}
	if b.Fixed() {
		return low + " to " + high
	}
	widen := lists.Each(b.Widen, k.Part)
	slices.Sort(widen)
	return low + " to " + high + " widened by " + strings.Join(widen, ",")
}

// atZero reports whether a lower end keeps nothing out but what is below 0.
func (e *End) atZero() bool {
	sign := e.Fixed.Exact.Sign()
	return sign < 0 || sign == 0 && !e.Open
}

func (k *Keys) end(e *End) string {
	switch {
	case e == nil:
		return ""
	case e.Open && e.Fixed != nil:
		return "beyond " + exactly(e.Fixed)
	case e.Open:
		return "beyond " + k.Part(e.At)
	case e.Fixed != nil:
		return exactly(e.Fixed)
	}
	return k.Part(e.At)
}

// Part returns the key of a formula; "" for none.
func (k *Keys) Part(p Part) string {
	if p.Expr == nil {
		return ""
	}
	if c := p.Constant(); c != nil {
		return "#" + c.Exact.RatString()
	}
	x := func(e ast.Expr) string { return k.Part(p.In(e)) }
	switch e := p.Expr.(type) {
	case *ast.Paren:
		return x(e.X)
	case *ast.DateLit:
		return e.Date
	case *ast.TextLit:
		return fmt.Sprintf("%q", catalogue.Key(e.Value))
	case *ast.Ref:
		return k.ref(e, p.Info)
	case *ast.ItemRef:
		return "=" + k.item(p.Info.Items[e.Item])
	case *ast.Unary:
		return e.Op.String() + "(" + x(e.X) + ")"
	case *ast.Binary:
		return k.binary(e, p)
	case *ast.If:
		k.ifs = true
		return "if(" + x(e.Cond) + "," + x(e.Then) + "," + x(e.Else) + ")"
	case *ast.Call:
		args := lists.Each(e.Args, x)
		return e.Func.Text + "(" + joined(args, ",") + ")"
	case *ast.Has:
		return "has(" + x(e.Of) + ")"
	case *ast.CountOf:
		return "count" + k.Clubs(Clubs{e.Selector, p.Info})
	case *ast.SetValue:
		return k.aggregate(e.How, "("+x(e.Of)+")"+k.Clubs(Clubs{e.Among, p.Info}))
	case *ast.ReadingsValue:
		return k.aggregate(e.How, " of readings("+x(e.Of)+")")
	case *ast.ShareOfReadings:
		return "share(" + x(e.Cond) + ")"
	case *ast.CountReadings:
		return "readings(" + x(e.Of) + ")"
	case *ast.Today:
		return "today"
	case *ast.Age:
		return "age(" + x(e.Of) + ")"
	case *ast.Step:
		return fmt.Sprint("step ", e.Rise, e.PerNumber, "(", x(e.Of), ")")
	}
	return "?"
}

// aggregate is a value of several. Where it counts nothing how sure it is, a spread is the highest less the lowest.
func (k *Keys) aggregate(how ast.Aggregate, of string) string {
	if k.simple && how == ast.Spread {
		return ast.Sub.String() + "(" + ast.Highest.String() + of + "," + ast.Lowest.String() + of + ")"
	}
	return how.Plain().String() + of
}

func (k *Keys) ref(e *ast.Ref, info *Info) string {
	r := info.Refs[e]
	if r == nil {
		return "?" + e.Name.Text
	}
	at := [...]string{"", "first ", "second "}[e.Pos]
	switch r.Kind {
	case RefProperty:
		k.property(r.Property, info)
		name := r.Property.Name + ":" + r.Property.Sort.String() // two books may declare it as unlike sorts
		if r.Method == nil {
			return at + name
		}
		k.methods[r.Method.Decl.Name.Text] = true
		return at + name + " by " + k.Method(r.Method)
	case RefLet:
		return at + k.once(r.Let, func() string { return k.Part(r.Let.Part()) })
	case RefChart:
		return at + k.once(r.Chart, func() string { return k.Chart(r.Chart) })
	case RefGroup:
		return "=" + k.group(r.Group)
	case RefKindWord:
		return "=" + r.Club.String()
	case RefHand:
		return "=" + r.Hand
	}
	return "?"
}

// property notes what is said of the empty cells of a property, and which texts there are.
func (k *Keys) property(p catalogue.Property, info *Info) {
	said := p.Name
	if d := info.Defaults[p.ID]; d != nil && !p.Ordered {
		said += " else " + catalogue.Key(d.Text)
	}
	if p.Texts != nil {
		texts := lists.Each(p.Texts, catalogue.Key)
		said += " one of " + fmt.Sprintf("%q", joined(texts, "|"))
	}
	if said != p.Name {
		k.stated[said] = true
	}
}

// Chart returns the key of what a chart says of which clubs.
func (k *Keys) Chart(h *Chart) string {
	var rows []string
	for i, row := range h.Decl.Rows {
		s := k.items(row.Items, h.Book.Info) + " = " + exactly(&h.Values[i])
		if row.Where != nil {
			s += " where " + k.Part(Part{row.Where, h.Book.Info})
		}
		rows = append(rows, s)
	}
	return "chart{" + joined(rows, "; ") + "}"
}

// binary is an operation; what may be in either order is sorted.
func (k *Keys) binary(e *ast.Binary, p Part) string {
	switch e.Op {
	case ast.And, ast.Or, ast.Add, ast.Mul:
		var parts []string
		k.flatten(p, e.Op, &parts)
		if slices.Sort(parts); e.Op == ast.And || e.Op == ast.Or {
			parts = slices.Compact(parts)
		}
		return e.Op.String() + "(" + strings.Join(parts, ",") + ")"
	}
	x, y := k.Part(p.In(e.X)), k.Part(p.In(e.Y))
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

func (k *Keys) flatten(p Part, op ast.Op, out *[]string) {
	if b, ok := ast.Unparen(p.Expr).(*ast.Binary); ok && b.Op == op && p.Constant() == nil {
		k.flatten(p.In(b.X), op, out)
		k.flatten(p.In(b.Y), op, out)
		return
	}
	*out = append(*out, k.Part(p))
}

// Method returns the key of how a method measures, whatever its name. A faulty one is like no other.
func (k *Keys) Method(m *Method) string {
	return k.once(m, func() string {
		if m.Faulty {
			return fmt.Sprintf("%p", m)
		}
		covers := "any"
		if m.Decl.Covers != nil {
			covers = k.Clubs(Clubs{m.Decl.Covers.Selector, m.Book.Info})
		}
		sure := ""
		if !k.simple {
			sure = fmt.Sprint(exactly(m.Reads), " ", exactly(m.LieSet), " ", exactly(m.Ruler), " ")
		}
		return fmt.Sprint(m.Decl.Stop.Kind, m.Decl.Top.Kind, " ", exactly(m.Angle), " ", sure, covers)
	})
}

// half is a half-width as far as it counts; one that is not stated is 0.
func (k *Keys) half(c *Constant) string {
	switch {
	case k.simple:
		return ""
	case c == nil:
		return "+-0"
	}
	return "+-" + exactly(c)
}

func exactly(c *Constant) string {
	if c == nil {
		return "-"
	}
	return c.Exact.RatString()
}

// Head returns the key of the figures of a head.
func (k *Keys) Head(h *Head) string {
	out := ""
	for i := range h.Shape {
		out += " " + exactly(&h.Shape[i]) + k.half(h.Within[i])
	}
	return out
}

// Allowance returns the key of the figures of an allowance.
func (k *Keys) Allowance(a *Allowance) string {
	return fmt.Sprint(a.Crown, " ", exactly(&a.Amount), k.half(a.Within))
}

// Shop returns the key of all heads and allowances of some books and those that they use.
func (k *Keys) Shop(books []*Book) string {
	var parts []string
	for _, b := range Reach(books) {
		where := func(e ast.Expr) string { return " where " + k.Part(Part{e, b.Info}) }
		for _, h := range b.Heads {
			parts = append(parts, "head "+k.items(h.Decl.Items, b.Info)+where(h.Decl.Where)+k.Head(h))
		}
		for _, a := range b.Allowances {
			parts = append(parts, "allowance "+k.Allowance(a)+where(a.Decl.Where))
		}
	}
	return joined(parts, "\n")
}
