package engine

// This file looks for the measurement that would settle what is too close to call.

import (
	"cmp"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/measure"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Settle says what would decide a result that is too close to call, should it read the same.
type Settle struct {
	Measure string       // what to measure again; where no reading decides it, the component that matters most
	Of      []*club.Club // of which clubs
	Within  Amount       // the half-width that the reading may have; no amount: none decides it
}

// undecided is a comparison that is too close to call: what is held against the lower and the upper limit.
type undecided struct {
	low, high value
	limits    decide.Limits
	drawn     bool
}

// undecided are the comparisons that left an outcome too close to call.
func (o *outcome) undecided() []undecided {
	switch {
	case o.bound == nil:
		return o.open
	case o.drawn != nil:
		return []undecided{{o.weighed[0], o.weighed[1], o.against, true}}
	}
	v := value{kind: number, num: o.value.num, parts: o.parts}
	return []undecided{{v, v, o.limits, false}}
}

// decides reports whether a comparison is decided if components of its readings are others: finer changes them.
func (x *env) decides(rule decide.Rule, u undecided, finer func(*part)) bool {
	if u.drawn {
		d := x.j.draw(u.low, u.high, u.limits, rule.Level, finer)
		defer x.j.forget(d)
		return rule.Verdict(d.inside, d.beyond) != decide.TooClose
	}
	v := value{parts: slices.Clone(u.low.parts)}
	for i := range v.parts {
		finer(&v.parts[i])
	}
	verdict, _ := decide.Decide(rule, u.limits, u.low.num, v.spread())
	return verdict != decide.TooClose
}

// measurement is a property of some clubs that can be read again.
type measurement struct {
	property catalogue.ID
	clubs    []*club.Club
	variance float64 // that it gives the values
	half     float64 // the widest half-width that its components come to
}

// of reports whether a part comes from reading the property of one of the clubs.
func (m *measurement) of(p *part) bool {
	c, id, ok := p.reading()
	return ok && id == m.property && slices.Contains(m.clubs, c)
}

// reading is the club and the property that a component comes from reading; false of any other.
func (p *part) reading() (*club.Club, catalogue.ID, bool) {
	c, ok := p.source.owner.(*club.Club)
	switch p.source.what {
	case measure.Ruler, measure.Cap, measure.Crown, measure.HeadShape:
		ok = false
	}
	return c, catalogue.ID(p.source.index), ok && p.source.index != plannedPart
}

// readings gathers the measurements behind some comparisons, each of one club, then each property of all its
// clubs, those that matter most first.
func readings(us []undecided) []measurement {
	var single, all []measurement
	note := func(list *[]measurement, p *part, variance float64) {
		c, id, ok := p.reading()
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
		if !slices.Contains(m.clubs, c) {
			m.clubs = append(m.clubs, c)
		}
		m.variance += variance
		m.half = max(m.half, p.half, math.Sqrt(3)*p.u)
	}
	var walk func(v value, counts float64)
	walk = func(v value, counts float64) {
		for i := range v.parts {
			variance := counts * v.parts[i].contribution() * v.parts[i].contribution()
			note(&single, &v.parts[i], variance)
			note(&all, &v.parts[i], variance)
		}
		if v.bend != nil {
			for _, a := range v.bend.contenders() {
				walk(a, 0)
			}
		}
	}
	for _, u := range us {
		walk(u.low, 1)
		walk(u.high, 1)
	}
	for i := range all {
		slices.SortStableFunc(all[i].clubs, func(a, b *club.Club) int { return cmp.Compare(a.Row, b.Row) })
	}
	for _, list := range [][]measurement{single, all} {
		slices.SortStableFunc(list, func(a, b measurement) int { return cmp.Compare(b.variance, a.variance) })
	}
	return append(single, slices.DeleteFunc(all, func(m measurement) bool { return len(m.clubs) < 2 })...)
}

// maxTries is how many components are looked through one by one. A set that brings more is no bag.
const maxTries = 500

// settle looks for the measurement that decides an outcome that is too close to call, and for the widest half-width
// with which it does.
func (x *env) settle(r *rule, o *outcome, shown *unit.Unit) *Settle {
	const finest = 1000 // nobody reads so much more closely than was read
	us := o.undecided()
	if parts := 0; slices.ContainsFunc(us, func(u undecided) bool { parts += len(u.low.parts); return parts > maxTries }) {
		return x.largest(us)
	}
	tries, halvings := readings(us), 24
	if slices.ContainsFunc(us, func(u undecided) bool { return u.drawn }) { // each takes its time
		total := 0.0
		for _, m := range tries {
			if len(m.clubs) == 1 {
				total += m.variance
			}
		}
		tries = slices.DeleteFunc(tries, func(m measurement) bool { return len(m.clubs) == 1 && m.variance <= total/2 })
		tries, halvings = tries[:min(len(tries), 3)], 6
	}
	for _, m := range tries {
		within := func(half float64) bool {
			return !slices.ContainsFunc(us, func(u undecided) bool {
				return !x.decides(r.decision, u, func(p *part) { m.restate(p, half) })
			})
		}
		passes, fails := m.half/finest, 2*m.half
		if !within(passes) {
			continue
		}
		for range halvings {
			if half := (passes + fails) / 2; within(half) {
				passes = half
			} else {
				fails = half
			}
		}
		q := x.j.program.Schema.Property(m.property)
		u := shown
		if u == nil || u.Dim != q.Sort.Dim() {
			u = unit.Base(q.Sort.Dim())
		}
		return &Settle{Measure: q.Name, Of: m.clubs, Within: Amount{Base: passes, Unit: u}}
	}
	return x.largest(us)
}

// restate gives the reading that a component comes from a stated half-width, which stands for its graduation,
// how it was soled and its repeats.
func (m *measurement) restate(p *part, half float64) {
	switch {
	case !m.of(p):
	case p.source.what == measure.LieSet || p.source.what == measure.Repeats:
		p.half, p.u = 0, 0
	default:
		p.half, p.u, p.freedom = half, half/math.Sqrt(3), 0
	}
}

// largest names the component that matters most.
func (x *env) largest(us []undecided) *Settle {
	var of *part
	for _, u := range us {
		for i := range u.low.parts {
			if p := &u.low.parts[i]; of == nil || math.Abs(p.contribution()) > math.Abs(of.contribution()) {
				of = p
			}
		}
	}
	if of == nil {
		return nil
	}
	if c, id, ok := of.reading(); ok {
		return &Settle{Measure: x.j.program.Schema.Property(id).Name, Of: []*club.Club{c}}
	}
	_, name := x.j.program.describe(of.source)
	return &Settle{Measure: name}
}
