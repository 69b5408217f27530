package space

// This file gathers where comparisons turn that are not of two sums: of values of the bag, of the two clubs of a pair,
// and of ages.

import (
	"math"
	"slices"
	"strings"

	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// ofBag gathers where a value of the bag meets a figure: the highest of a set turns where one club does. False where x
// is no such value, and y no figure. For a count and a spread bags have to be laid out.
func (s *Space) ofBag(x, y book.Part) bool {
	x = x.Behind()
	switch e := x.Expr.(type) {
	case *ast.CountOf:
		return y.Constant() != nil
	case *ast.SetValue:
		if y.Constant() != nil && e.How != ast.Spread {
			s.Compare(x.In(e.Of), y)
		}
		return y.Constant() != nil
	}
	return false
}

// mostNumbers is how far the numbers of pairs of clubs are laid out, each with each.
const mostNumbers = 20

// pairTurns notes how far apart the two clubs of a pair are where a comparison turns. Where all that turns is known it
// is as inexact as before.
func (s *Space) pairTurns(before bool, x, y book.Part) {
	a, ok := sums(x, toldApart)
	b, ok2 := sums(y, toldApart)
	if !ok || !ok2 || len(a)*len(b) > mostSums {
		return
	}
	known := true
	for _, a := range a {
		for _, b := range b {
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
					s.Numbers[k] = true
				}
			case d.Terms[0].Factor == -d.Terms[1].Factor:
				g := Gap{single(d.Terms[0]), math.Abs(d.Fixed / d.Terms[0].Factor)}
				known = known && !slices.ContainsFunc(s.Gaps, func(o Gap) bool { return o.Property != g.Property })
				s.Gaps = append(s.Gaps, g)
			default:
				known = false
			}
		}
	}
	s.Inexact = before || !known
}

// single is the name of a property of either club of a pair.
func single(t Term) string {
	_, name, _ := strings.Cut(t.Prop.Name, " ")
	return name
}

// ages gathers the days from which so many years are full on judge.SomeDay, and one more; false where x is not an age,
// and y no number of years.
func (s *Space) ages(x, y book.Part) bool {
	x = x.Behind()
	age, ok := x.Expr.(*ast.Age)
	if !ok || y.Constant() == nil {
		return false
	}
	of, ok := sums(x.In(age.Of), s.Pos)
	if !ok {
		return false
	}
	least, each := int(math.Floor(min(max(y.Constant().Base, 0), 1000))), s.days.each
	for _, last := range []book.Day{eval.YearsBefore(least, judge.SomeDay), eval.YearsBefore(least+1, judge.SomeDay),
		judge.SomeDay} { // of a day to come nobody can tell
		s.turn(of, []Sum{{Fixed: float64(last) + 0.5}})
	}
	s.days.each = each
	return true
}
