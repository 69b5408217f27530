package eval

// This file works out the values of whole sets, "count of wedges" and "longest of
// length by soled among irons", and those over the repeated readings of one club.

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/unit"
)

// Bag is a set as it is judged: each club once, at one of its settings.
type Bag struct {
	Set     *club.Set
	Clubs   []*club.Club
	Refused []club.Refusal // rows that may be a club of the set
}

// MaxListed is how many clubs of a set are listed behind one of its results; a set with
// more is not a bag.
const MaxListed = 100

// MaxSpent bounds how much uncertainty is carried along with values of a set, over all of its clubs: so many
// components, or a small part of that where they are drawn. It leaves a set of thousands of clubs.
const MaxSpent = 25_000_000

// whole is a value of the set of x. Where nothing is recorded it is worked out
// once a set.
func (x *Env) whole(e ast.Expr) value.Value {
	if x.Bag == nil { // a club is asked about by itself
		return value.LackOf(value.Lack{Kind: value.OfSet, At: e.Place()})
	}
	key := known{e, x.Draws}
	if x.Bench.spent > x.Bench.Most {
		return value.LackOf(value.Lack{Kind: value.ManyClubs, At: e.Place()})
	}
	x.Bench.spent += x.Bench.known[key].Weight()
	if v, ok := x.Bench.known[key]; ok && (x.Steps == nil || len(x.Bag.Clubs) > MaxListed) {
		x.recordSet(e, v, nil)
		return v
	}
	v := x.workOut(e)
	x.Bench.known[key] = v
	return v
}

// recordSet records a value of the set, with the steps of its clubs; where it is not known, these alone.
func (x *Env) recordSet(e ast.Expr, v value.Value, sub []Step) {
	if x.Steps != nil {
		x.recordNumber(v, x.Info.Types[e].Dim, Step{What: StepSet, Name: Written(e), Line: e.Place(), Sub: sub})
	}
}

// workOut works a value of the set out.
func (x *Env) workOut(e ast.Expr) value.Value {
	sel, of := wholeOf(e)
	var m gathered
	m.members = x.Bench.members[:0] // taken, so that a value inside this one finds its own
	x.Bench.members = nil
	sub := x.Within(func(y *Env) { y.gather(&m, x.selector(sel), of) })
	v := value.Value{}
	switch {
	case m.lacks != nil:
		v = value.LackOf(m.lacks...)
		if !slices.ContainsFunc(m.lacks, func(l value.Lack) bool { return l.Kind == value.RowsDiffer }) {
			v.Span = m.span(e)
		}
	case of == nil:
		v = value.NumberOf(float64(m.sure))
	case m.sure == 0:
		v = value.LackOf(value.Lack{Kind: value.NoMember, Property: wholeNeed(of), At: sel.Span})
	default:
		v = x.fold(e.(*ast.SetValue).How, m.members)
	}
	x.Bench.members = m.members
	x.recordSet(e, v, sub)
	return v
}

// gathered is what a value of the set is made of.
type gathered struct {
	sure    int           // how many clubs count
	mayBe   float64       // and how many clubs and refused rows may
	members []value.Value // what is taken of the clubs that count; nothing of clubs that are counted
	may     []value.Value // and of those that may
	lacks   []value.Lack
}

// gather works out what a value of the set takes of each club of the bag of x; of is nil where clubs are counted.
func (x *Env) gather(m *gathered, sel *Selector, of ast.Expr) {
	x.First, x.Second, x.Else, x.single, x.Deciding = nil, nil, nil, false, nil
	steps := x.Steps
	for _, c := range x.Bag.Clubs {
		x.Club, x.Steps = c, nil
		in, lacks := x.Picks(sel)
		switch in {
		case value.Unknown:
			m.mayBe, m.may = m.mayBe+1, x.taken(m.may, of)
			m.lacks = value.Merge(m.lacks, lacks)
		case value.True:
			x.Steps = steps
			m.sure, m.members = m.sure+1, x.taken(m.members, of)
			if of != nil {
				m.lacks = value.Merge(m.lacks, m.members[m.sure-1].Lacks)
			}
		}
	}
	x.Steps = nil
	for _, f := range x.Bag.Refused {
		x.Club = f.Club
		if in, _ := x.Picks(sel); in != value.False {
			if m.mayBe, m.may = m.mayBe+1, x.taken(m.may, of); f.Many {
				m.mayBe = math.Inf(1)
			}
			m.lacks = value.Merge(m.lacks, []value.Lack{lackRefused(f, wholeNeed(of))})
		}
	}
}

// taken appends what a value of the set takes of the club of x.
func (x *Env) taken(to []value.Value, of ast.Expr) []value.Value {
	if of == nil {
		return to
	}
	return append(to, x.Eval(of))
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
func (x *Env) fold(how ast.Aggregate, vs []value.Value) value.Value {
	switch how {
	case ast.Longest, ast.Highest:
		return value.Extreme(value.Maximizing, vs, x.Draws)
	case ast.Shortest, ast.Lowest:
		return value.Extreme(value.Minimizing, vs, x.Draws)
	case ast.Spread:
		return value.Extent(vs, x.Draws)
	}
	if how == ast.Mean {
		return value.Sum(vs, float64(len(vs)))
	}
	return value.Sum(vs, 1)
}

// repeats are the single readings of a property of the club of x, as they were read.
func (x *Env) repeats(e *ast.Ref) []float64 {
	x = x.at(e.Pos)
	if x.Club == nil {
		return nil
	}
	return x.Club.Readings(x.Info.Refs[e].Property.ID)
}

// countReadings is how many readings of a property there are. Those of which one cannot be are none to be counted.
func (x *Env) countReadings(e *ast.Ref) value.Value {
	all, c, p := x.repeats(e), x.at(e.Pos).Club, x.Info.Refs[e].Property
	if c != nil && all == nil && c.Slip(p.ID) != "" {
		return value.LackOf(LackOf(c, p.ID, p.Name))
	}
	return value.NumberOf(float64(len(all)))
}

// readings is the highest, lowest, spread or mean of the repeated readings. What varies
// from reading to reading, the graduation and how the club was soled, is each reading's
// own.
func (x *Env) readings(how ast.Aggregate, e *ast.Ref) value.Value {
	y := *x
	y.asRead, y.Draws = true, false
	x = &y
	v := x.ref(e)
	if v.Kind == value.Lacking || how == ast.Mean {
		return v
	}
	var all []value.Value
	for i, n := range x.repeats(e) {
		y := *x
		y.Steps, y.single, y.oneOf, y.reading = nil, true, x.Info.Refs[e].Property.ID, n
		one := y.ref(e)
		for k := range one.Parts {
			if w := one.Parts[k].Source.What; w == measure.Graduation || w == measure.LieSet {
				one.Parts[k].Source.Index += (1 + i) * readingParts
			}
		}
		all = append(all, one)
	}
	if len(all) == 0 {
		return value.LackOf(value.Lack{Kind: value.NoReading, Property: e.Name.Text, Club: x.Club.Called()})
	}
	return x.fold(how, all)
}

// share is the share of the repeated readings for which a condition holds.
func (x *Env) share(e *ast.ShareOfReadings) value.Value {
	of := x.Info.SharesOf[e]
	if of == nil {
		return value.LackOf(value.Lack{Kind: value.NoFormula})
	}
	whole := *x
	whole.asRead = true
	x = &whole
	if v := x.ref(of); v.Kind == value.Lacking {
		return v
	}
	all := x.repeats(of)
	hold := 0
	for _, n := range all {
		y := *x
		y.Steps, y.single, y.oneOf, y.reading = nil, true, x.Info.Refs[of].Property.ID, n
		switch v := y.Condition(e.Cond); v.Truth {
		case value.True:
			hold++
		case value.Unknown:
			return value.LackOf(v.Lacks...)
		}
	}
	if len(all) == 0 {
		return value.LackOf(value.Lack{Kind: value.NoReadings, Property: of.Name.Text})
	}
	return value.NumberOf(float64(hold) / float64(len(all)))
}

// span is the span of a value of the set; nil where nothing is known of it.
func (m *gathered) span(e ast.Expr) *value.Span {
	if _, ok := e.(*ast.CountOf); ok {
		return &value.Span{Low: float64(m.sure), High: float64(m.sure) + m.mayBe, Exact: true}
	}
	lacks := func(v value.Value) bool { return v.Kind != value.Number }
	all := slices.Concat(m.members, m.may)
	known := slices.DeleteFunc(slices.Clone(m.members), lacks)
	if len(known) == 0 {
		return nil
	}
	unsure := func(v value.Value) bool { return lacks(v) || !v.Exact() || v.Unsure != nil }
	s := &value.Span{Exact: !slices.ContainsFunc(all, unsure)}
	least, most := slices.MinFunc(known, value.ByNumber).Num, slices.MaxFunc(known, value.ByNumber).Num
	lower, upper := math.Inf(-1), math.Inf(1)
	if !slices.ContainsFunc(all, lacks) {
		lower, upper = slices.MinFunc(all, value.ByNumber).Num, slices.MaxFunc(all, value.ByNumber).Num
	}
	switch e.(*ast.SetValue).How {
	case ast.Longest, ast.Highest:
		s.Low, s.High = most, upper
	case ast.Shortest, ast.Lowest:
		s.Low, s.High = lower, least
	case ast.Spread:
		s.Low, s.High = most-least, upper-lower
	default:
		return nil
	}
	return s
}

// compareSpans compares two values of which one at least is not known.
func (x *Env) compareSpans(op ast.Op, a, b value.Value) value.Truth {
	simple := !x.Draws && (x.Deciding == nil || x.Deciding.Kind == decide.Simple)
	s, t := a.Within(simple), b.Within(simple)
	switch {
	case s == nil || t == nil:
		return value.Unknown
	case op == ast.Ne:
		return value.Not(value.Value{Truth: x.compareSpans(ast.Eq, a, b)}).Truth
	}
	holds := orders[op].holds
	least, most := unit.Compare(s.Low, t.High), unit.Compare(s.High, t.Low)
	for order := least; order < most; order++ {
		if holds(order) != holds(most) {
			return value.Unknown
		}
	}
	return value.TruthFrom(holds(most))
}
