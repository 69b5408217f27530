package engine

// This file brings a length from the method by which it was read to the one that is
// asked for, and gives it its uncertainty, each component by its source.

import (
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// candidate is a row of a book that may hold for a club: of a chart, an allowance or a
// head.
type candidate struct {
	info  *book.Info
	items []*ast.Item // nil: any club
	where ast.Expr    // nil: for each club of the items
	span  source.Span
}

// pick finds the row that holds for the club of x: one with a condition before one
// without. It is -1 where none holds. lacks tells why it cannot be told; two rows that
// hold and differ are a fault of the book, which stands in it.
func (x *env) pick(rows []candidate, what string, same func(i, j int) bool) (found int, lacks []value.Lack) {
	found = -1
	y := *x
	y.steps, y.single = nil, false
	for _, conditional := range []bool{true, false} {
		for i, row := range rows {
			if (row.where != nil) != conditional {
				continue
			}
			y.info = row.info
			in := value.TruthOf(true)
			if row.items != nil {
				in = y.listed(row.items)
			}
			if row.where != nil && in.Truth != value.False {
				in = value.And(in, y.condition(row.where))
			}
			switch {
			case in.Truth == value.Unknown:
				lacks = value.Merge(lacks, in.Lacks)
			case in.Truth == value.False:
			case found < 0:
				found = i
			case !same(found, i):
				return -1, []value.Lack{{Kind: value.RowsDiffer, Property: what, Name: what, Club: x.club.ID, At: rows[found].span, And: row.span}}
			}
		}
		if lacks != nil {
			return -1, lacks
		}
		if found >= 0 {
			break
		}
	}
	return found, nil
}

// toolbox is what the books say about measuring, made ready.
type toolbox struct {
	methods map[*book.Method]*measure.Method
	heads   []*book.Head
	shapes  []measure.Head // of heads
	cap     shelf
	crown   shelf
	headOf  []candidate
	kinds   [catalogue.Chipper + 1]common
}

// shelf holds the allowances of one kind.
type shelf struct {
	decls   []*book.Allowance
	amounts []measure.Allowance
	rows    []candidate
}

func base(c *book.Constant) float64 {
	if c == nil {
		return 0
	}
	return c.Base
}

// stock takes in what a book says about measuring.
func (t *toolbox) stock(b *book.Book) {
	if t.methods == nil {
		t.methods = map[*book.Method]*measure.Method{}
	}
	for _, m := range b.Methods {
		t.methods[m] = &measure.Method{
			Name: m.Decl.Name.Text, Stop: stops[m.Decl.Stop.Kind], Angle: base(m.Angle), Top: tops[m.Decl.Top.Kind],
			Reads: base(m.Reads), LieSet: base(m.LieSet), Ruler: base(m.Ruler),
		}
	}
	for _, a := range b.Allowances {
		s := &t.cap
		if a.Crown {
			s = &t.crown
		}
		s.decls = append(s.decls, a)
		s.amounts = append(s.amounts, measure.Allowance{Amount: a.Amount.Base, Half: base(a.Within)})
		s.rows = append(s.rows, candidate{b.Info, nil, a.Decl.Where, a.Decl.Span})
	}
	for _, h := range b.Heads {
		var head measure.Head
		for i, size := range head.Shape.Sizes() {
			*size = h.Shape[i].Base
			head.Half[i] = base(h.Within[i])
		}
		t.heads = append(t.heads, h)
		t.shapes = append(t.shapes, head)
		t.headOf = append(t.headOf, candidate{b.Info, h.Decl.Items, h.Decl.Where, h.Decl.Span})
	}
}

var stops = map[ast.StopKind]measure.Stop{ast.StopAtLie: measure.AtLie, ast.StopAtAngle: measure.AtAngle, ast.StopAlongAxis: measure.AlongAxis}
var tops = map[ast.TopKind]measure.Top{ast.TopCapEdge: measure.CapEdge, ast.TopCapEnd: measure.CapEnd, ast.TopButt: measure.Butt}

// ruler is a source of uncertainty: the ruler that one person used for a method.
type ruler struct {
	method *book.Method
	sheet  *club.Sheet
}

// subject is what is known of a club that its length may need, with the sources that it
// shares with others.
type subject struct {
	measure.Subject
	lieOf      *club.Club // whose lie as read it is
	head       *book.Head
	cap, crown *book.Allowance
	lacks      map[string][]value.Lack // by "lie", "head", "cap" and "crown": why it is not there
}

// measuring gathers what is known of the club of x, once a set.
func (x *env) measuring() *subject {
	if s, ok := x.j.subjects[x.club]; ok {
		return s
	}
	t := &x.j.program.tools
	s := &subject{lieOf: x.club, lacks: map[string][]value.Lack{}}
	x.j.subjects[x.club] = s
	if x.lieOf != nil && !x.club.Has(catalogue.Lie) {
		s.lieOf = x.lieOf
	}
	if lie, ok := s.lieOf.Amount(catalogue.Lie); ok {
		s.Lie, s.LieHalf = &lie, s.lieOf.Reading(catalogue.Lie).Half
	} else {
		s.lacks["lie"] = []value.Lack{LackOf(x.club, catalogue.Lie, "lie")}
	}
	none := func(need, what string) []value.Lack {
		return []value.Lack{{Kind: value.NotStated, Property: need, Name: what, Club: x.club.ID}}
	}
	i, lacks := x.pick(t.headOf, "head", func(i, j int) bool { return t.shapes[i] == t.shapes[j] })
	switch {
	case i >= 0:
		s.head, s.Head = t.heads[i], &t.shapes[i]
	case lacks != nil:
		s.lacks["head"] = lacks
	default:
		s.lacks["head"] = none("head", "shape of the head")
	}
	for _, k := range []struct {
		name, what string
		shelf      *shelf
		decl       **book.Allowance
		amount     **measure.Allowance
	}{{"cap", "allowance for a cap", &t.cap, &s.cap, &s.Cap}, {"crown", "allowance for a crown", &t.crown, &s.crown, &s.Crown}} {
		i, lacks := x.pick(k.shelf.rows, "allowance "+k.name, func(i, j int) bool { return k.shelf.amounts[i] == k.shelf.amounts[j] })
		switch {
		case i >= 0:
			*k.decl, *k.amount = k.shelf.decls[i], &k.shelf.amounts[i]
		case lacks != nil:
			s.lacks[k.name] = lacks
		default:
			s.lacks[k.name] = none(k.name, k.what)
		}
	}
	return s
}

// missing says in words what a conversion or a budget lacks.
func (s *subject) missing(names []string) []value.Lack {
	var out []value.Lack
	for _, n := range names {
		out = value.Merge(out, s.lacks[n])
	}
	return slices.Clone(out)
}

// parts gives the components of a budget their owners.
func (s *subject) parts(c *club.Club, of catalogue.ID, taken *book.Method, budget []value.Part) []value.Part {
	out := slices.Clone(budget)
	for i := range out {
		switch p := &out[i].Source; p.What {
		case measure.Ruler:
			p.Owner = ruler{taken, c.Sheet}
		case measure.Cap:
			p.Owner = s.cap
		case measure.Crown:
			p.Owner = s.crown
		case measure.HeadShape:
			p.Owner = s.head
		case measure.LieRead:
			*p = value.Source{Owner: s.lieOf, Index: int(catalogue.Lie)}
		default:
			p.Owner, p.Index = c, int(of)
		}
	}
	return out
}

// length is the length n of the club of x, with what more is known of the reading, by the
// method asked for. The steps are the corrections; lacks tells why it cannot be had.
func (x *env) length(p catalogue.Property, n float64, more club.Reading, asked *book.Method) (v value.Value, read float64, steps []Step, lacks []value.Lack) {
	c := x.club
	taken := x.j.program.taken(methodOf(c, p))
	if taken == nil {
		return value.Value{}, 0, nil, []value.Lack{{Kind: value.NoMethod, Property: p.Name, By: methodOf(c, p)}}
	}
	if asked == nil {
		asked = taken
	}
	if in := x.j.program.covered(asked, c); in.Truth != value.True {
		return value.Value{}, 0, nil, in.Lacks
	}
	if message, slip := x.apart(p, more, taken); slip && !x.asRead {
		return value.Value{}, 0, nil, []value.Lack{{Kind: value.Odd, Property: p.Name, Club: c.ID, Words: message}}
	}
	s := x.measuring()
	from, to := x.j.program.tools.methods[taken], x.j.program.tools.methods[asked]
	r := measure.Reading{N: max(1, len(more.Values)), Half: more.Half, Stated: more.HasHalf, S: deviation(more.Values)}
	budget, missing := measure.Budget(from, r, s.Subject)
	v = value.Value{Kind: value.Number, Num: n, Parts: s.parts(c, p.ID, taken, budget)}
	read = v.Uncertainty()
	for _, l := range s.missing(missing) {
		l.So = value.LengthUnsure
		v.Unsure = value.Merge(v.Unsure, []value.Lack{l})
	}
	if from != to {
		shift, entries, corrections, missing := measure.Convert(from, to, s.Subject)
		if missing != nil {
			lacks := s.missing(missing)
			for i := range lacks {
				l := &lacks[i]
				if l.So, l.To = value.NotForeseen, to.Name; taken != x.j.program.planned {
					l.So, l.By = value.NotConverted, from.Name
				}
			}
			return value.Value{}, 0, nil, lacks
		}
		v.Parts = append(v.Parts, s.parts(c, p.ID, taken, entries)...)
		v.Num += shift
		for _, k := range corrections {
			steps = append(steps, Step{What: StepCorrection, Name: k.What, Club: c.ID, Method: to.Name,
				Amount: x.amount(k.Amount, unit.Length), U: x.amount(k.U, unit.Length), Line: s.place(k.What)})
		}
	}
	if taken == x.j.program.planned {
		v.Parts = asPlanned(v.Parts)
	}
	return v.Finite(), read, steps, nil
}

// place is the line of the book that a correction comes from.
func (s *subject) place(what string) source.Span {
	switch {
	case what == "cap" && s.cap != nil:
		return s.cap.Decl.Span
	case what == "crown" && s.crown != nil:
		return s.crown.Decl.Span
	case s.head != nil:
		return s.head.Decl.Span
	}
	return source.Span{}
}

// deviation is the experimental standard deviation of repeated readings; 0 of one.
func deviation(values []float64) float64 {
	n := float64(len(values))
	if n < 2 {
		return 0
	}
	sum, squares := 0.0, 0.0
	for _, v := range values {
		sum += v
	}
	for _, v := range values {
		squares += (v - sum/n) * (v - sum/n)
	}
	return math.Sqrt(squares / (n - 1))
}

// common is what the books say of every club of a kind: its head and allowances where
// nothing but the kind decides which; else known is false.
type common struct {
	known   bool
	head    *book.Head
	subject measure.Subject // without a lie
}

// settleKinds works out what holds for whole kinds.
func (t *toolbox) settleKinds() {
	for _, kind := range catalogue.Kinds() {
		k := &t.kinds[kind]
		k.known = true
		for i, row := range t.headOf {
			kinds, exact := kindsOf(row.items, row.info, 0)
			if kinds&(1<<kind) == 0 {
				continue
			}
			if !exact || row.where != nil || k.head != nil {
				k.known = false
			}
			k.head, k.subject.Head = t.heads[i], &t.shapes[i]
		}
		k.known = k.known && t.cap.plain(&k.subject.Cap) && t.crown.plain(&k.subject.Crown)
	}
}

// plain sets the allowance of every club; false where there is more than one, or one with a condition.
func (s *shelf) plain(of **measure.Allowance) bool {
	if len(s.rows) == 1 {
		*of = &s.amounts[0]
	}
	return len(s.rows) == 0 || len(s.rows) == 1 && s.rows[0].where == nil
}

// route is all that a correction depends on.
type route struct {
	from, to *book.Method
	kind     catalogue.Kind
	lie      float64
	lieHalf  float64
	hasLie   bool
}

// correction is what a length by one method needs to become one by another, with its
// uncertainty: own is the variance of what is the club's own, the others are standard
// uncertainties, with their signs, of what it shares with clubs of the same route.
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
func (j *Judge) correct(c *club.Club, from, to *book.Method) (*correction, bool) {
	t := &j.program.tools
	if int(c.Kind) >= len(t.kinds) || !t.kinds[c.Kind].known {
		return nil, false
	}
	r := route{from: from, to: to, kind: c.Kind}
	if r.lie, r.hasLie = c.Amount(catalogue.Lie); r.hasLie {
		r.lieHalf = c.Reading(catalogue.Lie).Half
	}
	if k, ok := j.corrections[r]; ok {
		return k, true
	}
	s := t.kinds[c.Kind].subject
	if r.hasLie {
		s.Lie, s.LieHalf = &r.lie, r.lieHalf
	}
	m, n := t.methods[from], t.methods[to]
	k := &correction{}
	budget, missing := measure.Budget(m, measure.Reading{N: 1}, s)
	k.sure = missing == nil
	k.there = true
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
func (t *toolbox) apart(a, b *correction, one, other *club.Club, sameRuler bool) float64 {
	v := a.own + b.own
	for i, x := range a.shared {
		y, shared := b.shared[i], true
		switch what := measure.Ruler + value.Component(i); {
		case what == measure.Ruler:
			shared = sameRuler
		case what >= measure.HeadShape:
			shared = t.kinds[one.Kind].head == t.kinds[other.Kind].head
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
func (x *env) plainLength(f *formula, c *club.Club, certain bool) (n float64, k *correction, ok bool) {
	n, ok = c.Amount(f.of.ID)
	name, asked := methodOf(c, f.of), f.asked
	if asked == nil {
		asked = x.j.program.methods[name]
	}
	if !ok || asked == nil {
		return 0, nil, false
	}
	if s := x.j.program.covering[asked]; s != nil && s.quick(c) != value.True {
		return 0, nil, false
	}
	if more := c.Reading(f.of.ID); more.Values != nil || certain && more.HasHalf {
		return 0, nil, false // repeats may lie too far apart
	}
	if name == asked.Decl.Name.Text && !certain {
		return n, nil, true
	}
	from := x.j.program.methods[name]
	if from == nil {
		return 0, nil, false
	}
	k, ok = x.j.correct(c, from, asked)
	if !ok || !k.there || certain && !k.sure {
		return 0, nil, false
	}
	return n + k.shift, k, true
}

// plain is a property of a club, with its standard uncertainty where that is asked for, and the correction of a length.
func (x *env) plain(f *formula, c *club.Club, certain bool) (n, u float64, k *correction, ok bool) {
	switch {
	case c == nil:
		return 0, 0, nil, false
	case f.of.ByMethod:
		n, k, ok = x.plainLength(f, c, certain)
		if ok && certain {
			u = math.Sqrt(k.variance())
		}
		return n, u, k, ok
	case certain && c.Reading(f.of.ID).HasHalf:
		u = c.Reading(f.of.ID).Half / math.Sqrt(3)
	}
	n, ok = c.Amount(f.of.ID)
	return n, u, nil, ok
}

// plainStep is a drop or a rise of a property between the clubs of a pair.
func (x *env) plainStep(f *formula, certain bool) (d, u float64, ok bool) {
	a, v, k, ok1 := x.plain(f, x.first, certain)
	b, w, l, ok2 := x.plain(f, x.second, certain)
	if !ok1 || !ok2 {
		return 0, 0, false
	}
	if u = math.Hypot(v, w); certain && f.of.ByMethod {
		ruler := methodOf(x.first, f.of) == methodOf(x.second, f.of) && x.first.Sheet == x.second.Sheet
		u = math.Sqrt(x.j.program.tools.apart(k, l, x.first, x.second, ruler))
	}
	if d = a - b; f.rise {
		d = b - a
	}
	if !f.perNumber {
		return d, u, true
	}
	apart, lacks := numbersApart(x.first, x.second)
	return d / apart, u / apart, lacks == nil
}
