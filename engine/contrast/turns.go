package contrast

// This file notes where the conditions of a rule that is held against itself turn: those on one club, on the two of a
// pair, and on the whole bag.

import (
	"math"
	"strings"

	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// condition gathers what a condition speaks of, part by part, so that what turns where it cannot be worked out is only
// what none of the ways of laying out clubs takes care of.
func (u *Comparison) condition(e ast.Expr, info *book.Info) {
	x, in := behind(e, info)
	switch x := x.(type) {
	case *ast.Unary:
		if x.Op == ast.Not {
			u.condition(x.X, in)
			return
		}
	case *ast.Binary:
		switch {
		case x.Op == ast.And, x.Op == ast.Or:
			u.condition(x.X, in)
			u.condition(x.Y, in)
			return
		case x.Op.IsComparison():
			u.comparison(x, in)
			return
		}
	}
	u.Formula(e, info, false)
}

// comparison gathers where a comparison turns.
func (u *Comparison) comparison(e *ast.Binary, info *book.Info) {
	before := u.Inexact
	u.Formula(e, info, false)
	if _, _, ok := countBeside(e, info); ok {
		u.Inexact = before // fill.go lays out every number
		return
	}
	for _, side := range [][2]ast.Expr{{e.X, e.Y}, {e.Y, e.X}} {
		if x, in := behind(side[0], info); info.Constants[side[1]] != nil {
			if v, ok := x.(*ast.SetValue); ok {
				u.turnsWith(v, in, info.Constants[side[1]].Base)
			}
		}
	}
	if u.Pos == space.AnyPos && info.Types[e.X].Kind == book.Number && u.pairTurns(e, info) {
		u.Inexact = before
	}
}

// turnsWith notes that a value of a set is compared with a figure: clubs turn there, too.
func (u *Comparison) turnsWith(v *ast.SetValue, info *book.Info, at float64) {
	if x, in := behind(v.Of, info); in != nil {
		if ref, ok := x.(*ast.Ref); ok && in.Refs[ref] != nil && in.Refs[ref].Kind == book.RefProperty && in.Refs[ref].Property.Sort.Numeric() {
			u.TurnsAt(in.Refs[ref].Property, at)
		}
	}
}

// pairTurns notes how far apart the two clubs of a pair stand where a comparison turns; false where that is
// not a matter of one property.
func (u *Comparison) pairTurns(e *ast.Binary, info *book.Info) bool {
	x, ok := u.pairSums(e.X, info, ast.Here)
	y, ok2 := u.pairSums(e.Y, info, ast.Here)
	if !ok || !ok2 || len(x)*len(y) > space.MostSums {
		return false
	}
	known := true
	for _, a := range x {
		for _, b := range y {
			d := a.Plus(b, -1)
			switch {
			case len(d.Terms) < 2:
			case len(d.Terms) > 2 || single(d.Terms[0]) != single(d.Terms[1]):
				known = false
			case d.Terms[0].Prop.ID == catalogue.Number:
				// numbers are whole, so that all pairs of them as far as the sum can turn are all there is
				far := math.Abs(d.Fixed) / min(math.Abs(d.Terms[0].Factor), math.Abs(d.Terms[1].Factor))
				known = known && far <= mostNumbers
				for k := 1; k <= int(min(far, mostNumbers))+2; k++ {
					u.Numbers[k] = true
				}
			case d.Terms[0].Factor == -d.Terms[1].Factor:
				g := gap{single(d.Terms[0]), math.Abs(d.Fixed / d.Terms[0].Factor)}
				for _, other := range u.gaps {
					known = known && other.property == g.property
				}
				u.gaps = append(u.gaps, g)
			default:
				known = false
			}
		}
	}
	u.open = u.open || !known
	return known
}

// mostNumbers is how far the numbers of pairs of clubs are laid out, each with each.
const mostNumbers = 20

// single is the name of a property of either club of a pair.
func single(t space.Term) string {
	_, name, _ := strings.Cut(t.Prop.Name, " ")
	return name
}
