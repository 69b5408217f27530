package eval

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

// Pick finds the row that holds for the club of x: one with a condition before one
// without. It is -1 where none holds. lacks says why it is not known; two rows that
// hold and differ are a fault of the book, which is in it.
func (x *Env) Pick(rows []candidate, what string, same func(i, j int) bool) (found int, lacks []value.Lack) {
	found = -1
	y := *x
	y.Steps, y.single = nil, false
	for _, conditional := range []bool{true, false} {
		for i, row := range rows {
			if (row.where != nil) != conditional {
				continue
			}
			y.Info = row.info
			in := value.TruthOf(true)
			if row.items != nil {
				in = y.listed(row.items)
			}
			if row.where != nil && in.Truth != value.False {
				in = value.And(in, y.Condition(row.where))
			}
			switch {
			case in.Truth == value.Unknown:
				lacks = value.Merge(lacks, in.Lacks)
			case in.Truth == value.False:
			case found < 0:
				found = i
			case !same(found, i):
				return -1, []value.Lack{{Kind: value.RowsDiffer, Property: what, Name: what, Club: x.Club.Called(),
					At: rows[found].span, And: row.span}}
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

// shelf holds the heads, or the allowances for caps or for crowns, that books declare.
type shelf[D any, A comparable] struct {
	decls   []D
	amounts []A
	rows    []candidate // which clubs each is for
}

func (s *shelf[D, A]) add(decl D, amount A, row candidate) {
	s.decls, s.amounts, s.rows = append(s.decls, decl), append(s.amounts, amount), append(s.rows, row)
}

// find sets what a shelf holds for the club of x. Where it holds nothing, or that is not known, lacks says so under
// need. The books call it what, and a person name.
func (s *shelf[D, A]) find(x *Env, lacks map[string][]value.Lack, need, what, name string, decl *D, amount **A) {
	switch i, why := x.Pick(s.rows, what, func(i, j int) bool { return s.amounts[i] == s.amounts[j] }); {
	case i >= 0:
		*decl, *amount = s.decls[i], &s.amounts[i]
	case why != nil:
		lacks[need] = why
	default:
		lacks[need] = []value.Lack{{Kind: value.NotStated, Property: need, Name: name, Club: x.Club.Called()}}
	}
}

func base(c *book.Constant) float64 {
	if c == nil {
		return 0
	}
	return c.Base
}

// MethodOf is a method as lengths are measured by it. It must be sound.
func MethodOf(m *book.Method) *measure.Method {
	return &measure.Method{
		Name: m.Decl.Name.Text, Stop: stops[m.Decl.Stop.Kind], Angle: base(m.Angle), Top: tops[m.Decl.Top.Kind],
		Reads: base(m.Reads), LieSet: base(m.LieSet), Ruler: base(m.Ruler),
	}
}

// stock takes in the heads and allowances of a book.
func (p *Declared) stock(b *book.Book) {
	for _, a := range b.Allowances {
		s := &p.cap
		if a.Crown {
			s = &p.crown
		}
		s.add(a, measure.Allowance{Amount: a.Amount.Base, Half: base(a.Within)},
			candidate{b.Info, nil, a.Decl.Where, a.Decl.Span})
	}
	for _, h := range b.Heads {
		var head measure.Head
		for i, size := range head.Shape.Sizes() {
			*size = h.Shape[i].Base
			head.Half[i] = base(h.Within[i])
		}
		p.heads.add(h, head, candidate{b.Info, h.Decl.Items, h.Decl.Where, h.Decl.Span})
	}
}

var stops = map[ast.StopKind]measure.Stop{
	ast.StopAtLie: measure.AtLie, ast.StopAtAngle: measure.AtAngle, ast.StopAlongAxis: measure.AlongAxis,
}

var tops = map[ast.TopKind]measure.Top{
	ast.TopCapEdge: measure.CapEdge, ast.TopCapEnd: measure.CapEnd, ast.TopButt: measure.Butt,
}

// ruler is a source of uncertainty: the ruler that one person used for a method.
type ruler struct {
	method *book.Method
	sheet  *club.Sheet
}

// measured is a club, and the one whose cells count where it has none; that may be nil.
type measured struct{ of, other *club.Club }

// subject is what is known of a club that its length may need, with the sources that it
// shares with others.
type subject struct {
	measure.Subject
	lieOf      *club.Club // whose lie as read it is
	head       *book.Head
	cap, crown *book.Allowance
	Lacks      map[string][]value.Lack // by "lie", "head", "cap" and "crown": why it is not there
}

// Measuring gathers what is known of the club of x, once a set.
func (x *Env) Measuring() *subject {
	key := measured{x.Club, x.Else}
	if s, ok := x.Bench.Subjects[key]; ok {
		return s
	}
	p := x.Bench.Books
	s := &subject{lieOf: x.Club, Lacks: map[string][]value.Lack{}}
	x.Bench.Subjects[key] = s
	if x.Else != nil && !x.Club.Stated(catalogue.Lie) {
		s.lieOf = x.Else
	}
	if lie, ok := s.lieOf.Amount(catalogue.Lie); ok {
		s.Lie, s.LieHalf = &lie, s.lieOf.Reading(catalogue.Lie).Half
	} else {
		s.Lacks["lie"] = []value.Lack{LackOf(s.lieOf, catalogue.Lie, "lie")}
	}
	p.heads.find(x, s.Lacks, "head", "head", "shape of the head", &s.head, &s.Head)
	p.cap.find(x, s.Lacks, "cap", "allowance cap", "allowance for a cap", &s.cap, &s.Cap)
	p.crown.find(x, s.Lacks, "crown", "allowance crown", "allowance for a crown", &s.crown, &s.Crown)
	return s
}

// Missing says in words what a conversion or a budget lacks.
func (s *subject) Missing(names []string) []value.Lack {
	var out []value.Lack
	for _, n := range names {
		out = value.Merge(out, s.Lacks[n])
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
// method asked for. The steps are the corrections; lacks says why it cannot be had.
func (x *Env) length(p catalogue.Property, n float64, more club.Reading, asked *book.Method) (
	v value.Value, read float64, steps []Step, lacks []value.Lack) {
	c := x.Club
	taken := x.Bench.Books.taken(methodOf(c, p))
	if taken == nil {
		return value.Value{}, 0, nil, []value.Lack{{Kind: value.NoMethod, Property: p.Name, By: methodOf(c, p)}}
	}
	if asked == nil {
		asked = taken
	}
	if in := x.Bench.Books.covered(asked, c, x.Else); in.Truth != value.True {
		return value.Value{}, 0, nil, in.Lacks
	}
	if message, slip := x.apart(p, more, taken); slip && !x.asRead {
		return value.Value{}, 0, nil, []value.Lack{{Kind: value.Odd, Property: p.Name, Club: c.Called(),
			Words: message}}
	}
	s := x.Measuring()
	from, to := x.Bench.Books.ready[taken].how, x.Bench.Books.ready[asked].how
	r := measure.Reading{N: max(1, len(more.Values)), Half: more.Half, Stated: more.HasHalf, S: deviation(more.Values)}
	budget, missing := measure.Budget(from, r, s.Subject)
	if p.Ordered { // nobody measured it
		budget, missing = ordered(r), nil
	}
	v = value.Value{Kind: value.Number, Num: n, Parts: s.parts(c, p.ID, taken, budget)}
	read = v.Uncertainty()
	for _, l := range s.Missing(missing) {
		l.So = value.LengthUnsure
		v.Unsure = value.Merge(v.Unsure, []value.Lack{l})
	}
	if from != to {
		shift, entries, corrections, missing := measure.Convert(from, to, s.Subject)
		if missing != nil {
			lacks := s.Missing(missing)
			for i := range lacks {
				l := &lacks[i]
				if l.So, l.To = value.NotForeseen, to.Name; taken != x.Bench.Books.planned {
					l.So, l.By = value.NotConverted, from.Name
				}
			}
			return value.Value{}, 0, nil, lacks
		}
		v.Parts = append(v.Parts, s.parts(c, p.ID, taken, entries)...)
		v.Num += shift
		for _, k := range corrections {
			steps = append(steps, Step{What: StepCorrection, Name: k.What, Club: c.ID, Method: to.Name,
				Amount: x.Amount(k.Amount, unit.Length), U: x.Amount(k.U, unit.Length), Line: s.place(k.What)})
		}
	}
	if taken == x.Bench.Books.planned {
		v.Parts = asPlanned(v.Parts)
	}
	return v.Finite(), read, steps, nil
}

// ordered are the components of a length that was ordered: what the order states.
func ordered(r measure.Reading) []value.Part {
	if r.Half == 0 {
		return nil
	}
	r.Stated = true
	out, _ := measure.Budget(&measure.Method{}, r, measure.Subject{})
	return out
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
func (p *Declared) settleKinds() {
	for _, kind := range catalogue.Kinds() {
		k := &p.kinds[kind]
		k.known = p.cap.plain(&k.subject.Cap) && p.crown.plain(&k.subject.Crown)
		for i, row := range p.heads.rows {
			kinds, exact := kindsOf(row.items, row.info)
			if kinds&(1<<kind) == 0 {
				continue
			}
			if !exact || row.where != nil || k.head != nil {
				k.known = false
			}
			k.head, k.subject.Head = p.heads.decls[i], &p.heads.amounts[i]
		}
	}
}

// plain sets what holds for every club; false where there is more than one, or one with a condition.
func (s *shelf[D, A]) plain(of **A) bool {
	if len(s.rows) == 1 {
		*of = &s.amounts[0]
	}
	return len(s.rows) == 0 || len(s.rows) == 1 && s.rows[0].where == nil
}

// taken is the method by which a length was read; nil where no book knows it.
func (p *Declared) taken(name string) *book.Method {
	if name == Planned {
		return p.planned
	}
	return p.methods[name]
}

// asPlanned turns the components of a planned length into those of the shaft and the bore.
func asPlanned(parts []value.Part) []value.Part {
	out := parts[:0]
	for _, q := range parts {
		if q.Source.What == measure.Stated {
			if q.Half == 0 {
				continue
			}
			q.Source.Index = PlannedPart
		}
		out = append(out, q)
	}
	return out
}

// Planned is the method of a length that no one has read: from the bare butt of a finished
// shaft along the axis to the ground, as cut. It needs no grip and no lie, and it is as sure
// as the half-width stated with it says; without one it is exact. It is not a name that a book
// can give and is not among Methods.
const Planned = "planned shaft and bore"

// PlannedPart marks the component of a planned length, so that it is never taken for that
// of a reading of the same club.
const PlannedPart = -1

// readingParts keeps the components of repeated readings of a property apart: that of reading i has the index of the
// property and i+1 times as much.
const readingParts = 1 << 20

// PropertyOf is the property whose reading a component of a club comes from; false of a planned length.
func PropertyOf(o value.Source) (catalogue.ID, bool) {
	return catalogue.ID(o.Index % readingParts), o.Index != PlannedPart
}
