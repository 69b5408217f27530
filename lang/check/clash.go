package check

// This file says what does not fit together: quantities of two dimensions, values
// of two sorts.

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// describe says what a formula gives, with the unit in which it is measured.
func describe(t book.Type) string {
	switch u := unit.Base(t.Dim); {
	case t.Kind != book.Number:
		return typeWords[t.Kind]
	case t.Bare:
		return "a plain number"
	case t.IsSwingWeight():
		return "a place on the swing-weight scale (D2)"
	case t.Dim == unit.Swing && t.Places == 0:
		return "a step on the swing-weight scale (pts)"
	case t.Dim == unit.Swing && !math.IsNaN(t.Places):
		return "neither a place on the swing-weight scale (D2) nor a step (pts)"
	case u.Name != "":
		return unit.Article(t.Dim.String()) + " (" + u.Name + ")"
	}
	return unit.Article(t.Dim.String())
}

var typeWords = map[book.TypeKind]string{book.Faulty: "faulty", book.Truth: "a condition", book.DayType: "a day",
	book.TextType: "a text", book.KindType: "a kind of club", book.HandType: "a hand"}

// cannot says what the two sides of a formula are, and what they cannot do.
func cannot(x, y ast.Expr, a, b book.Type, do string) string {
	return fmt.Sprintf("%s is %s and %s is %s; they cannot %s", shown(x), describe(a), shown(y), describe(b), do)
}

// both are two sides, as places that a mistake shows.
func both(x, y ast.Expr, a, b book.Type) []diag.Label {
	return []diag.Label{{Span: x.Place(), Text: describe(a)}, {Span: y.Place(), Text: describe(b)}}
}

// unitClash reports two quantities that cannot be added, compared and so on, with both
// sides and a mend. whole is the formula that they are in.
func (c *checker) unitClash(whole, x, y ast.Expr, a, b book.Type, do string) book.Type {
	d := diag.Diagnostic{Code: diag.UnitClash, Span: whole.Place(), Message: cannot(x, y, a, b, do)}
	side := y
	if inUnit(y, a) == "" {
		side = x
	}
	d.Expected, d.Hint, d.Notes = c.mend(x, y, a, b)
	if tight := tightFraction(whole, x, y); tight != "" {
		d.Hint, d.Notes = tight,
			[]string{"Put a blank between a whole number and its fraction, " +
				"or a hyphen that touches both."}
	} else if d.Hint != "" && whole != x && whole != y {
		d.Hint = replaced(whole, side, d.Hint)
	}
	if !x.Place().IsZero() && !y.Place().IsZero() {
		d.Related = both(x, y, a, b)
	}
	return c.report(d)
}

// mend suggests what would fit: a literal in the unit of the other side, or other
// properties of its dimension.
func (c *checker) mend(x, y ast.Expr, a, b book.Type) (expected, hint string, notes []string) {
	if h := inUnit(y, a); h != "" {
		return unit.Article(a.Dim.String()) + " on both sides", h, swingNote(a.Dim)
	}
	if h := inUnit(x, b); h != "" {
		return unit.Article(b.Dim.String()) + " on both sides", h, swingNote(b.Dim)
	}
	like := slices.DeleteFunc(c.ofDim(a.Dim), func(name string) bool { return name == text(x.Place()) })
	expected = "two like quantities"
	switch {
	case a.Dim == b.Dim:
		return describe(a) + " beside " + shown(x), "", swingNote(a.Dim)
	case len(like) == 0 && unit.Base(a.Dim).Name != "":
		expected = fmt.Sprintf("%s beside %s", unit.Article(a.Dim.String()), shown(x))
	case len(like) > 0:
		expected = fmt.Sprintf("%s beside %s, such as %s", unit.Article(a.Dim.String()), shown(x), unit.Listed(like,
			"or"))
	}
	if unit.Lookup(unit.Base(a.Dim).Name) == nil || unit.Lookup(unit.Base(b.Dim).Name) == nil {
		notes = append(notes, perLength)
	}
	return expected, "", notes
}

const perLength = "Write a figure per length as a quotient, as in 0.0030 in2 / 1 in."

// tightFraction is "45-3/4 in" where 45 - 3/4 in is written; "" elsewhere.
func tightFraction(whole, x, y ast.Expr) string {
	e, ok := whole.(*ast.Binary)
	if !ok || e.Op != ast.Sub || e.X != x || e.Y != y {
		return ""
	}
	n, ok := x.(*ast.Quantity)
	f, fraction := y.(*ast.Quantity)
	if !ok || !fraction || n.Value.HasUnit || !n.Value.Number.IsInt() || f.Value.Number.IsInt() ||
		f.Value.Number.Cmp(big.NewRat(1, 1)) >= 0 {
		return ""
	}
	tight := n.Value.Text + "-" + f.Value.Text
	if q, length, err := unit.Scan(tight); err != nil || length != len(tight) || !q.HasUnit {
		return ""
	}
	return tight
}

func swingNote(d unit.Dim) []string {
	if d == unit.Swing {
		return []string{"Write a swing weight as on the scale, D2, and steps of it in points, 3 pts."}
	}
	return nil
}

// replaced is the formula whole with its faulty side mended.
func replaced(whole, side ast.Expr, hint string) string {
	w, s := whole.Place(), side.Place()
	if w.File == nil || s.File != w.File || s.Start < w.Start || s.End > w.End {
		return hint
	}
	left := w
	left.End = s.Start
	right := w
	right.Start = s.End
	after := text(right)
	if !strings.HasPrefix(after, ")") && !strings.HasPrefix(after, ",") {
		after = " " + after
	}
	return strings.TrimSpace(text(left) + " " + hint + after)
}

// inUnit is a literal rewritten in the usual unit of a dimension; "" where e is not a literal,
// or the dimension has no unit of its own.
func inUnit(e ast.Expr, want book.Type) string {
	sign := ""
	if u, ok := e.(*ast.Unary); ok && u.Op == ast.Neg {
		sign, e = "-", u.X
	}
	u := unit.Base(want.Dim)
	if want.Dim == unit.Ratio {
		u = unit.Lookup("%")
	}
	q, ok := e.(*ast.Quantity)
	if !ok || q.Value.SwingWeight || q.Value.HasUnit && want.IsSwingWeight() ||
		u.Name != "" && unit.Lookup(u.Name) == nil {
		return ""
	}
	if points, _ := q.Value.Number.Float64(); want.IsSwingWeight() && sign == "" {
		return unit.ExactSwing(points)
	}
	return strings.TrimSpace(sign + q.Value.Figure + " " + u.Name)
}

// ofDim lists some properties of a dimension.
func (c *checker) ofDim(d unit.Dim) []string {
	var names []string
	for _, name := range c.o.Schema.Names()[:catalogue.KnownProperties] {
		p, _ := c.o.Schema.Lookup(name)
		if p.Sort.Numeric() && p.Sort.Dim() == d && len(names) < 3 {
			if p.ByMethod {
				name += " by METHOD"
			}
			names = append(names, name)
		}
	}
	return names
}

// mismatch reports two values that are not alike, whatever they are.
func (c *checker) mismatch(whole, x, y ast.Expr, a, b book.Type, do string) book.Type {
	if a.Kind == book.Number && b.Kind == book.Number {
		return c.unitClash(whole, x, y, a, b, do)
	}
	return c.report(diag.Diagnostic{Code: diag.UnlikeValues, Span: whole.Place(), Message: cannot(x, y, a, b, do),
		Expected: "two like values", Related: both(x, y, a, b)})
}

// fits reports a quantity that has not the dimension that its place asks for. why says
// what asks for it.
func (c *checker) fits(e ast.Expr, want book.Type, why string) bool {
	t := c.info.Types[e]
	if t.Kind == book.Faulty || want.Kind == book.Faulty {
		return false
	}
	if t.Kind != book.Number {
		c.wrong(diag.NotAQuantity, e.Place(), "a quantity", "%s is %s, and %s", shown(e), describe(t), why)
		return false
	}
	if _, ok := like(t, want); ok {
		return true
	}
	d := diag.Diagnostic{Code: diag.UnitClash, Span: e.Place(),
		Message:  fmt.Sprintf("%s is %s, and %s", shown(e), describe(t), why),
		Expected: describe(want), Hint: inUnit(e, want), Notes: swingNote(want.Dim)}
	if d.Hint == "" && unit.Lookup(unit.Base(want.Dim).Name) == nil {
		d.Notes = append(d.Notes, perLength)
	}
	c.report(d)
	return false
}
