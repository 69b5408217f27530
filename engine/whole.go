package engine

// This file works out the values of whole sets, "count of wedges" and "longest of
// length by soled among irons", and those over the repeated readings of one club.

import (
	"fmt"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// bag is a set as it is judged: each club once, at one of its settings.
type bag struct {
	set     *club.Set
	clubs   []*club.Club
	refused []club.Refusal // rows that may be a club of the set
	unread  []unread       // which of clubs stand for a refused row
}

// maxListed is how many clubs of a set are listed behind one of its results; a set with
// more is no bag.
const maxListed = 100

// maxSpent bounds how much uncertainty is carried along with values of a set, over all of its clubs: so many components,
// or a small part of that where they are drawn. It leaves a set of thousands of clubs.
const maxSpent = 25_000_000

// weight is how much it takes to work with a value.
func (v value) weight() int {
	n := len(v.parts)
	if v.bend != nil {
		n += 250 * len(v.bend.args)
	}
	return n
}

// whole is a value of the set of x. Where nothing is recorded it is worked out
// once a set.
func (x *env) whole(e ast.Expr) value {
	if x.bag == nil { // a club is asked about by itself
		return lackOf(lack{"", fmt.Sprintf("%s asks about the whole set", written(e)), nil})
	}
	key := known{e, x.draws}
	if x.j.spent > x.j.most {
		return lackOf(lack{"", "the set has too many clubs for each of them to be held against " + written(e), nil})
	}
	x.j.spent += x.j.known[key].weight()
	if v, ok := x.j.known[key]; ok && (x.steps == nil || len(x.bag.clubs) > maxListed) {
		if v.kind == number {
			x.record(Step{What: StepSet, Name: written(e), Amount: x.amount(v.num, x.info.Types[e].Dim), Line: e.Place()})
		}
		return v
	}
	v := x.workOut(e)
	x.j.known[key] = v
	return v
}

func (x *env) workOut(e ast.Expr) value {
	sel, of := wholeOf(e)
	if n, ok := x.plainCount(sel, of); ok {
		return numberOf(n)
	}
	var lacks []lack
	var may []value            // of clubs and refused rows that may count
	members := x.j.members[:0] // taken, so that a value inside this one finds its own
	x.j.members = nil
	sub := x.within(func(y *env) {
		y.first, y.second, y.single, y.deciding = nil, nil, false, nil
		steps := y.steps
		quick := x.selector(sel)
		for _, c := range x.bag.clubs {
			in := value{kind: truth, truth: quick.quick(c)}
			y.club, y.steps = c, nil
			if in.truth == Unknown {
				in = y.takes(sel)
			}
			y.steps = steps
			switch in.truth {
			case Unknown:
				y.steps = nil
				lacks, may = merge(lacks, in.lacks), append(may, y.counted(of))
				y.steps = steps
			case True:
				v := y.counted(of)
				lacks, members = merge(lacks, v.lacks), append(members, v)
			}
		}
		y.steps = nil
		for _, f := range x.bag.refused {
			y.club = f.Club
			if y.takes(sel).truth != False {
				lacks, may = merge(lacks, []lack{lackRefused(f, wholeNeed(of))}), append(may, y.counted(of))
			}
		}
	})
	v := value{}
	switch {
	case lacks != nil:
		v = lackOf(lacks...)
		if !slices.ContainsFunc(lacks, func(l lack) bool { return l.fault != nil }) {
			v.span = spanOf(e, members, may)
		}
	case of == nil:
		v = numberOf(float64(len(members)))
	case len(members) == 0:
		v = lackOf(lack{wholeNeed(of), fmt.Sprintf("the set has no %s", sel.Span.OneLine()), nil})
	default:
		v = x.fold(e.(*ast.SetValue).How, members)
	}
	x.j.members = members
	if x.steps != nil {
		if v.kind == number {
			x.record(Step{What: StepSet, Name: written(e), Amount: x.amount(v.num, x.info.Types[e].Dim), Line: e.Place(), Sub: sub})
		} else {
			*x.steps = append(*x.steps, sub...)
		}
	}
	return v
}

// counted is what a value of the set takes of the club of x: of itself where it is counted.
func (x *env) counted(of ast.Expr) value {
	if of == nil {
		return numberOf(1)
	}
	return x.eval(of)
}

// plainCount counts clubs where the kind alone tells which count and nothing is to
// be recorded.
func (x *env) plainCount(sel *ast.Selector, of ast.Expr) (float64, bool) {
	quick := x.selector(sel)
	if of != nil || x.steps != nil || !quick.plain || len(x.bag.refused) > 0 {
		return 0, false
	}
	n := 0
	for _, c := range x.bag.clubs {
		switch quick.quick(c) {
		case True:
			n++
		case Unknown:
			return 0, false
		}
	}
	return float64(n), true
}

func wholeOf(e ast.Expr) (*ast.Selector, ast.Expr) {
	if c, ok := e.(*ast.CountOf); ok {
		return c.Selector, nil
	}
	s := e.(*ast.SetValue)
	return s.Among, s.Of
}

func wholeNeed(of ast.Expr) string {
	if r, ok := of.(*ast.Ref); ok {
		return r.Name.Text
	}
	return ""
}

// fold makes one number of several, of which there is at least one.
func (x *env) fold(how ast.Aggregate, vs []value) value {
	switch how {
	case ast.Longest, ast.Highest:
		return x.extreme(maximizing, vs)
	case ast.Shortest, ast.Lowest:
		return x.extreme(minimizing, vs)
	case ast.Spread:
		return x.extent(vs)
	}
	sum, factors := total(vs), make([]float64, len(vs))
	fill(factors, 1)
	if how == ast.Mean {
		n := float64(len(vs))
		sum = linear(sum.num/n, sum, 1/n, value{}, 0)
		fill(factors, 1/n)
	}
	return summed(sum, factors, slices.Clone(vs)...).finite(outOfRange)
}

func byNumber(a, b value) int {
	switch {
	case a.num < b.num:
		return -1
	case a.num > b.num:
		return 1
	}
	return 0
}

// repeats are the single readings of a property of the club of x, as they were read.
func (x *env) repeats(e *ast.Ref) []float64 {
	x = x.at(e.Pos)
	if x.club == nil {
		return nil
	}
	return x.club.Readings(x.info.Refs[e].Property.ID)
}

// countReadings is how many readings of a property there are. Those of which one cannot be are none to be counted.
func (x *env) countReadings(e *ast.Ref) value {
	all, c, p := x.repeats(e), x.at(e.Pos).club, x.info.Refs[e].Property
	if c != nil && all == nil && c.Slip(p.ID) != "" {
		return lackOf(lack{p.Name, c.Lack(p.ID, p.Name), nil})
	}
	return numberOf(float64(len(all)))
}

// readings is the highest, lowest, spread or mean of the repeated readings. What varies
// from reading to reading, the graduation and how the club was soled, is each reading's
// own.
func (x *env) readings(how ast.Aggregate, e *ast.Ref) value {
	y := *x
	y.asRead, y.draws = true, false
	x = &y
	v := x.ref(e)
	if v.kind == lacking || how == ast.Mean {
		return v
	}
	var all []value
	for i, n := range x.repeats(e) {
		y := *x
		y.steps, y.single, y.oneOf, y.reading = nil, true, x.info.Refs[e].Property.ID, n
		one := y.ref(e)
		for k := range one.parts {
			if w := one.parts[k].source.what; w == measure.Graduation || w == measure.LieSet {
				one.parts[k].source.index = -1 - i // apart from the properties
			}
		}
		all = append(all, one)
	}
	if len(all) == 0 {
		return lackOf(lack{e.Name.Text, fmt.Sprintf("%s has no %s", x.club.ID, e.Name.Text), nil})
	}
	return x.fold(how, all)
}

// share is the share of the repeated readings for which a condition holds.
func (x *env) share(e *ast.ShareOfReadings) value {
	var of *ast.Ref
	ast.Walk(e.Cond, func(n ast.Expr) bool {
		if r, ok := n.(*ast.Ref); ok && of == nil && x.info.Refs[r] != nil && x.info.Refs[r].Kind == book.RefProperty && x.info.Refs[r].Property.ID != catalogue.KindID {
			of = r
		}
		return true
	})
	if of == nil {
		return lackOf(lack{"", "no property is asked for among the readings", nil})
	}
	whole := *x
	whole.asRead = true
	x = &whole
	if v := x.ref(of); v.kind == lacking {
		return v
	}
	all := x.repeats(of)
	hold := 0
	for _, n := range all {
		y := *x
		y.steps, y.single, y.oneOf, y.reading = nil, true, x.info.Refs[of].Property.ID, n
		switch v := y.condition(e.Cond); v.truth {
		case True:
			hold++
		case Unknown:
			return lackOf(v.lacks...)
		}
	}
	if len(all) == 0 {
		return lackOf(lack{of.Name.Text, "there are no readings", nil})
	}
	return numberOf(float64(hold) / float64(len(all)))
}

// isSwingWeight tells whether a formula is a swing weight itself, to be shown as
// D2, not a step between two.
func isSwingWeight(e ast.Expr, info *book.Info) bool {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ref:
		r := info.Refs[e]
		return r != nil && (r.Kind == book.RefProperty && r.Property.Sort == catalogue.SwingWeight ||
			r.Kind == book.RefChart && info.Types[e].Dim == unit.Swing)
	case *ast.Quantity:
		return e.Value.SwingWeight
	case *ast.SetValue:
		return e.How != ast.Spread && e.How != ast.Total && isSwingWeight(e.Of, info)
	case *ast.ReadingsValue:
		return e.How != ast.Spread && isSwingWeight(e.Of, info)
	case *ast.Binary:
		return (e.Op == ast.Add || e.Op == ast.Sub) && isSwingWeight(e.X, info) && !isSwingWeight(e.Y, info)
	}
	return false
}
