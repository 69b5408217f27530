package contrast

// This file notes where the conditions of a rule that is compared with itself turn: those on one club, on the two of a
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
func (u *Comparison) condition(p book.Part) {
	x := p.Behind()
	switch e := x.Expr.(type) {
	case *ast.Unary:
		if e.Op == ast.Not {
			u.condition(x.In(e.X))
			return
		}
	case *ast.Binary:
		switch {
		case e.Op == ast.And, e.Op == ast.Or:
			u.condition(x.In(e.X))
			u.condition(x.In(e.Y))
			return
		case e.Op.IsComparison():
			u.comparison(x, e)
			return
		}
	}
	u.Part(p, false)
}

// comparison gathers where a comparison turns.
func (u *Comparison) comparison(p book.Part, e *ast.Binary) {
	before := u.Inexact
	u.Part(p, false)
	if _, _, ok := countBeside(p); ok {
		u.Inexact = before // counts.go lays out every number
		return
	}
	for _, side := range [][2]book.Part{{p.In(e.X), p.In(e.Y)}, {p.In(e.Y), p.In(e.X)}} {
		x, k := side[0].Behind(), side[1].Constant()
		v, ok := x.Expr.(*ast.SetValue)
		if !ok || k == nil {
			continue
		}
		// a value of a set is compared with a figure: clubs turn there, too
		if of := x.In(v.Of).Behind().Ref(); of != nil && of.Kind == book.RefProperty && of.Property.Sort.Numeric() {
			u.TurnsAt(of.Property, k.Base)
		}
	}
	if u.Pos == space.AnyPos && p.In(e.X).Type().Kind == book.Number && u.pairTurns(p, e) {
		u.Inexact = before
	}
}

// pairTurns notes how far apart the two clubs of a pair stand where a comparison turns; false where that is
// not a matter of one property.
func (u *Comparison) pairTurns(p book.Part, e *ast.Binary) bool {
	x, ok := space.PairSums(p.In(e.X))
	y, ok2 := space.PairSums(p.In(e.Y))
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
