package judge

// This file says what to do about a result: the measurement that would settle what is too close to call, and how much
// has to change for what fails to pass.

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Settle says what would decide a result that is too close to call, should it read the same.
type Settle struct {
	Measure string       // what to measure again; where no reading decides it, the component that matters most or ""
	Of      []*club.Club // of which clubs
	Within  unit.Amount  // the half-width that the reading may have; no amount: none decides it
	to      decide.Verdict
}

// verdict is what the judge would give if components of the readings were others: finer changes them.
func (x *task) verdict(r *rule, finer func(*value.Part)) decide.Verdict {
	y := *x
	y.Bench, y.Steps = x.Bench.With(finer), nil
	o, _, _ := y.outcome(r)
	return o.verdict
}

// measurement is a property of some clubs that can be read again.
type measurement struct {
	property catalogue.ID
	clubs    []*club.Club
	variance float64 // that it gives the values
	half     float64 // the widest half-width of its components
}

// of reports whether a part comes from reading the property of one of the clubs.
func (m *measurement) of(p *value.Part) bool {
	c, id, ok := readingOf(p)
	return ok && id == m.property && slices.Contains(m.clubs, c)
}

// readingOf is the club and the property that a component comes from reading; false of any other.
func readingOf(p *value.Part) (*club.Club, catalogue.ID, bool) {
	c, ok := p.Source.Owner.(*club.Club)
	switch p.Source.What {
	case measure.Ruler, measure.Cap, measure.Crown, measure.HeadShape:
		ok = false
	}
	id, read := eval.PropertyOf(p.Source)
	return c, id, ok && read
}

// readings gathers the measurements behind some values, each of one club, then each property of all its
// clubs, those that matter most first.
func readings(open []value.Value) []measurement {
	var single, all []measurement
	note := func(list *[]measurement, p *value.Part, variance float64) {
		c, id, ok := readingOf(p)
		if !ok {
			return
		}
		i := slices.IndexFunc(*list, func(m measurement) bool {
			return m.property == id && (list == &all || m.clubs[0] == c)
		})
		if i < 0 {
			i = len(*list)
			*list = append(*list, measurement{property: id})
		}
		m := &(*list)[i]
		m.clubs = lists.Also(m.clubs, c)
		m.variance += variance
		m.half = max(m.half, p.Half, math.Sqrt(3)*p.U)
	}
	var walk func(v value.Value, counts float64)
	walk = func(v value.Value, counts float64) {
		for i := range v.Parts {
			variance := counts * v.Parts[i].Variance()
			note(&single, &v.Parts[i], variance)
			note(&all, &v.Parts[i], variance)
		}
		if v.Bend != nil {
			for _, a := range v.Bend.Contenders() {
				walk(a, 0)
			}
		}
	}
	for _, v := range open {
		walk(v, 1)
	}
	for i := range all {
		slices.SortStableFunc(all[i].clubs, func(a, b *club.Club) int { return cmp.Compare(a.Row, b.Row) })
	}
	for _, list := range [][]measurement{single, all} {
		slices.SortStableFunc(list, func(a, b measurement) int { return cmp.Compare(b.variance, a.variance) })
	}
	return append(single, slices.DeleteFunc(all, func(m measurement) bool { return len(m.clubs) < 2 })...)
}

// maxTries is how many measurements are tried one by one, and maxDrawn how many where each has to be drawn.
const maxTries, maxDrawn = 500, 50

// settle looks for the measurement that decides an outcome that is too close to call, and for the widest half-width
// with which it does. It is nil where there are too many to try them all, and for a set that is no bag.
func (x *task) settle(r *rule, o *outcome, shown *unit.Unit) *Settle {
	const finest, halvings = 1000, 12 // nobody reads so much more closely than was read, or needs to know it better
	if r.Facts.Bag && len(x.Bag.Clubs) > eval.MaxListed {
		return nil
	}
	tries, most := readings(o.open), maxTries
	if slices.ContainsFunc(o.open, value.Value.Rough) {
		most = maxDrawn
	}
	for i, m := range tries {
		if i == most {
			return nil
		}
		var to decide.Verdict
		within := func(half float64) bool {
			v := x.verdict(r, func(p *value.Part) { m.restate(p, half) })
			if v != decide.Pass && v != decide.Fail {
				return false
			}
			to = v
			return true
		}
		passes, fails := m.half/finest, 2*m.half
		if !within(passes) {
			continue
		}
		for range halvings {
			if half := math.Sqrt(passes * fails); within(half) {
				passes = half
			} else {
				fails = half
			}
		}
		q := x.judge.program.Schema.Property(m.property)
		u := shown
		if u == nil || u.Dim != q.Sort.Dim() {
			u = unit.Base(q.Sort.Dim())
		}
		return &Settle{Measure: q.Name, Of: m.clubs, Within: unit.Amount{Base: passes, Unit: u}, to: to}
	}
	if o.bound == nil || o.drawn != nil { // no component by itself is a share of the doubt
		return &Settle{}
	}
	return x.largest(o.parts)
}

// restate gives the reading that a component comes from a stated half-width, in place of its graduation,
// how it was soled and its repeats.
func (m *measurement) restate(p *value.Part, half float64) {
	switch {
	case !m.of(p):
	case p.Source.What == measure.LieSet || p.Source.What == measure.Repeats:
		p.Half, p.U = 0, 0
	default:
		p.Half, p.U, p.Freedom = half, half/math.Sqrt(3), 0
	}
}

// largest names the component that matters most.
func (x *task) largest(parts []value.Part) *Settle {
	of := slices.MaxFunc(parts, func(p, q value.Part) int { return cmp.Compare(p.Variance(), q.Variance()) })
	if c, id, ok := readingOf(&of); ok {
		return &Settle{Measure: x.judge.program.Schema.Property(id).Name, Of: []*club.Club{c}}
	}
	_, name := x.judge.program.describe(of.Source)
	return &Settle{Measure: name}
}

// mend fills in the rule's mend for a result that fails: toPass is how much the value has to change to pass as decided,
// no amount where no change does that. It is empty where the rule has none, or where the text speaks of an amount that
// there is not.
func mend(r *Result, side ast.Side, toPass unit.Amount, called func(*club.Club) string) string {
	m := r.Rule.Decl.Mend(side)
	if m == nil {
		return ""
	}
	names := lists.Each(r.Subject.Clubs, called)
	clubs := strings.Join(names, " and ")
	clubs = cmp.Or(clubs, r.Subject.Name())
	text := m.Text.Value
	both := strings.Contains(text, "{over}") && strings.Contains(text, "{under}") // one of them is nothing
	over, under, limit := r.excess(side), unit.Amount{}, r.Upper
	if side == ast.Under {
		over, under, limit = under, over, r.Lower
	}
	for _, a := range []*unit.Amount{&over, &under} {
		if both && !a.Known() {
			*a = unit.Amount{Unit: r.Margin.Unit}
		}
	}
	for _, p := range []struct {
		name  string
		text  string
		known bool
	}{
		{"{club}", clubs, true},
		{"{value}", r.Figure(r.Value), r.Value.Known()},
		{"{limit}", r.Written(limit), limit.Known()},
		{"{over}", over.Cut(), over.Known()},
		{"{under}", under.Cut(), under.Known()},
		{"{to-pass}", toPass.Cut(), toPass.Known()},
		{"{margin}", r.Figure(r.Margin), r.Margin.Known()},
	} {
		if !strings.Contains(text, p.name) {
			continue
		}
		if !p.known {
			return ""
		}
		text = strings.ReplaceAll(text, p.name, p.text)
	}
	return text
}

// excess is how far the value lies beyond its limit on a side, brought up to what a bench
// can do: 0 inside.
func (r *Result) excess(side ast.Side) unit.Amount {
	a := r.Over
	if side == ast.Under {
		a = r.Under
	}
	if !a.Known() {
		return unit.Amount{Unit: r.Margin.Unit}
	}
	by := a.Unit.FromBase(a.Base)
	a.Base = a.Unit.ToBase(broughtUp(by, benchSteps(a.Unit, by)[0]))
	return a
}

// toPass returns the side on which an outcome fails, and how much less or more its value has to be so that it passes as
// decided. That is the least amount in the coarsest steps of the bench that do it, no amount where none does. none says
// that no value at all passes.
func (o *outcome) toPass(rule decide.Rule, shown *unit.Unit) (side ast.Side, amount unit.Amount, none bool) {
	by, some := o.change(rule)
	side, sign := ast.Over, -1.0
	if by > 0 || by == 0 && !(o.limits.HasUpper() && unit.Compare(o.value.Num, o.limits.Upper) >= 0) {
		side, sign = ast.Under, 1
	}
	if !some {
		return side, unit.Amount{}, true
	}
	least := shown.FromBase(math.Abs(by))
	size := least
	if size == 0 { // on a limit that does not pass itself
		size = max(math.Abs(shown.FromBase(o.value.Num)), 1)
	}
	for _, step := range benchSteps(shown, size) {
		n := broughtUp(least, step)
		for range 2 {
			if base := shown.ToBase(n); n > 0 && o.passes(rule, sign*base) {
				return side, unit.Amount{Base: base, Unit: shown}, false
			}
			n = broughtUp(n+step/2, step)
		}
	}
	return side, unit.Amount{}, false
}

// broughtUp is the least multiple of a step that is not below an amount.
func broughtUp(amount, step float64) float64 {
	n := amount / step
	if near := math.Round(n); unit.Compare(near, n) == 0 {
		n = near
	}
	if n = math.Ceil(n); step < 1 { // one divided by a step is a whole number, the step itself not always a short one
		return n / math.Round(1/step)
	}
	return n * step
}

// coarse are the steps in which a bench works, of each unit that has some.
var coarse = map[string][]float64{
	"in": {1. / 16, 1. / 32, 1. / 64}, "mm": {0.5}, "cm": {0.05}, "m": {0.0005},
	"deg": {0.01}, "pts": {0.1}, "oz": {0.1}, "g": {1}, "kg": {0.001},
}

// benchSteps are the steps in which an amount like size can be taken off or added, the coarsest first: those of
// the bench, or of four figures, and finer ones where these overshoot.
func benchSteps(u *unit.Unit, size float64) []float64 {
	steps := coarse[u.Name]
	switch {
	case u.Dim == unit.Count && math.Round(size) == size:
		steps = []float64{1}
	case steps == nil:
		steps = []float64{math.Pow10(int(math.Floor(math.Log10(size))) - 3)}
	}
	steps = append([]float64(nil), steps...)
	const finer = 4
	ten := int(math.Ceil(math.Log10(steps[len(steps)-1]))) - 1
	for i := range finer {
		steps = append(steps, math.Pow10(ten-i))
	}
	return steps
}

// passes reports whether a value would pass that is larger by so much, and as sure.
func (o *outcome) passes(rule decide.Rule, by float64) bool {
	if o.drawn == nil {
		v, _ := decide.Decide(rule, o.limits, o.value.Num+by, o.spread)
		return v == decide.Pass
	}
	inside, beyond := o.drawn.Shares(by)
	return rule.Verdict(inside, beyond) == decide.Pass
}

// change is about the least by which the value would have to be larger, or where it is negative smaller, to
// pass; false where no change does that.
func (o *outcome) change(rule decide.Rule) (by float64, some bool) {
	if o.drawn == nil {
		return rule.Change(o.limits, o.value.Num, o.spread)
	}
	return o.drawn.Change(func(inside, beyond float64) bool { return rule.Verdict(inside, beyond) == decide.Pass })
}
