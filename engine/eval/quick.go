package eval

// This file is the short way to a length by the method asked for. Corrections and uncertainty depend on the methods,
// the kind and the lie alone where the books say no more. So they are worked out once for each, and the judge remembers
// them.

import (
	"math"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// route is all that a correction depends on.
type route struct {
	from, to *book.Method
	kind     catalogue.Kind
	lie      float64
	lieHalf  float64
	hasLie   bool
}

// correction is what a length by one method needs to become one by another, with its uncertainty. own is the variance
// of what is the club's own. The others are standard uncertainties, with their signs, of what it shares with clubs of
// the same route.
type correction struct {
	there  bool // the correction is known
	sure   bool // its uncertainty too
	shift  float64
	own    float64
	shared [9]float64 // of the ruler, the cap, the crown, and the numbers of a head's shape
}

// maxCorrections bounds what a judge remembers.
const maxCorrections = 1 << 12

// correct finds the correction of a club's length; false where the recording walk must.
func (j *Bench) correct(c *club.Club, from, to *book.Method) (*correction, bool) {
	p := j.Books
	if int(c.Kind) >= len(p.kinds) || !p.kinds[c.Kind].known {
		return nil, false
	}
	r := route{from: from, to: to, kind: c.Kind}
	if r.lie, r.hasLie = c.Amount(catalogue.Lie); r.hasLie {
		r.lieHalf = c.Reading(catalogue.Lie).Half
	}
	if k, ok := j.corrections[r]; ok {
		return k, true
	}
	s := p.kinds[c.Kind].subject
	if r.hasLie {
		s.Lie, s.LieHalf = &r.lie, r.lieHalf
	}
	m, n := p.ready[from].how, p.ready[to].how
	budget, missing := measure.Budget(m, measure.Reading{N: 1}, s)
	k := &correction{there: true, sure: missing == nil}
	if m != n {
		shift, more, _, missing := measure.Convert(m, n, s)
		k.there, k.shift = missing == nil, shift
		budget = append(budget, more...)
	}
	for _, e := range budget {
		if u := e.Contribution(); measure.Shared(e.Source.What) {
			k.shared[int(e.Source.What-measure.Ruler)+e.Source.Index] = u
		} else {
			k.own += u * u
		}
	}
	if len(j.corrections) >= maxCorrections {
		clear(j.corrections)
	}
	j.corrections[r] = k
	return k, true
}

// variance is the variance of one length.
func (k *correction) variance() float64 {
	v := k.own
	for _, s := range k.shared {
		v += s * s
	}
	return v
}

// apart is the variance of the difference of two lengths of one sheet: what they share
// cancels as far as they do. Every club has the same cap and crown.
func (p *Declared) apart(a, b *correction, one, other *club.Club, sameRuler bool) float64 {
	v := a.own + b.own
	for i, x := range a.shared {
		y, shared := b.shared[i], true
		switch what := measure.Ruler + value.Component(i); {
		case what == measure.Ruler:
			shared = sameRuler
		case what >= measure.HeadShape:
			shared = p.kinds[one.Kind].head == p.kinds[other.Kind].head
		}
		if shared {
			v += (x - y) * (x - y)
		} else {
			v += x*x + y*y
		}
	}
	return v
}

// plainLength is the length of a club by the method asked for, read once with nothing
// stated, and its correction; false where the recording walk must tell.
func (x *Env) plainLength(f *book.Form, c *club.Club, certain bool) (n float64, k *correction, ok bool) {
	n, ok = c.Amount(f.Property.ID)
	name, asked := methodOf(c, f.Property), f.Method
	if asked == nil {
		asked = x.Bench.Books.methods[name]
	}
	if !ok || asked == nil {
		return 0, nil, false
	}
	if s := x.Bench.Books.ready[asked].covers; s != nil && s.Quick(c) != value.True {
		return 0, nil, false
	}
	if more := c.Reading(f.Property.ID); more.Values != nil || certain && more.HasHalf {
		return 0, nil, false // repeats may lie too far apart
	}
	if name == asked.Decl.Name.Text && !certain {
		return n, nil, true
	}
	from := x.Bench.Books.methods[name]
	if from == nil {
		return 0, nil, false
	}
	k, ok = x.Bench.correct(c, from, asked)
	if !ok || !k.there || certain && !k.sure {
		return 0, nil, false
	}
	return n + k.shift, k, true
}

// plain is a property of a club, with its standard uncertainty where that is asked for, and the correction of a length.
func (x *Env) plain(f *book.Form, c *club.Club, certain bool) (n, u float64, k *correction, ok bool) {
	switch {
	case c == nil:
		return 0, 0, nil, false
	case f.Property.ByMethod:
		n, k, ok = x.plainLength(f, c, certain)
		if ok && certain {
			u = math.Sqrt(k.variance())
		}
		return n, u, k, ok
	case certain && c.Reading(f.Property.ID).HasHalf:
		u = c.Reading(f.Property.ID).Half / math.Sqrt(3)
	}
	n, ok = c.Amount(f.Property.ID)
	return n, u, nil, ok
}

// plainStep is a drop or a rise of a property between the clubs of a pair.
func (x *Env) plainStep(f *book.Form, certain bool) (d, u float64, ok bool) {
	a, v, k, ok1 := x.plain(f, x.First, certain)
	b, w, l, ok2 := x.plain(f, x.Second, certain)
	if !ok1 || !ok2 {
		return 0, 0, false
	}
	if u = math.Hypot(v, w); certain && f.Property.ByMethod {
		ruler := methodOf(x.First, f.Property) == methodOf(x.Second, f.Property) && x.First.Sheet == x.Second.Sheet
		u = math.Sqrt(x.Bench.Books.apart(k, l, x.First, x.Second, ruler))
	}
	if d = a - b; f.Step.Rise {
		d = b - a
	}
	if !f.Step.PerNumber {
		return d, u, true
	}
	apart, lacks := NumbersApart(x.First, x.Second)
	return d / apart, u / apart, lacks == nil
}
