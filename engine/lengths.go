package engine

// This file brings a length from the method by which it was read to the one that is
// asked for, and gives it its uncertainty, each component by its source.

import (
	"fmt"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/measure"
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
func (x *env) pick(rows []candidate, what string, same func(i, j int) bool) (found int, lacks []lack) {
	found = -1
	y := *x
	y.steps, y.single = nil, false
	for _, conditional := range []bool{true, false} {
		for i, row := range rows {
			if (row.where != nil) != conditional {
				continue
			}
			y.info = row.info
			in := truthOf(true)
			if row.items != nil {
				in = y.listed(row.items)
			}
			if row.where != nil && in.truth != False {
				in = and(in, y.condition(row.where))
			}
			switch {
			case in.truth == Unknown:
				lacks = merge(lacks, in.lacks)
			case in.truth == False:
			case found < 0:
				found = i
			case !same(found, i):
				f := &fault{[2]source.Span{rows[found].span, row.span}, fmt.Sprintf("two rows of %s hold for %s and differ", what, x.club.ID)}
				return -1, []lack{{what, f.message, f}}
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
	lacks      map[string][]lack // by "lie", "head", "cap" and "crown": why it is not there
}

// measuring gathers what is known of the club of x, once a set.
func (x *env) measuring() *subject {
	if s, ok := x.j.subjects[x.club]; ok {
		return s
	}
	t := &x.j.program.tools
	s := &subject{lieOf: x.club, lacks: map[string][]lack{}}
	x.j.subjects[x.club] = s
	if x.lieOf != nil && !x.club.Has(catalogue.Lie) {
		s.lieOf = x.lieOf
	}
	if lie, ok := s.lieOf.Amount(catalogue.Lie); ok {
		s.Lie, s.LieHalf = &lie, s.lieOf.Reading(catalogue.Lie).Half
	} else {
		s.lacks["lie"] = []lack{{need: "lie", reason: x.club.Lack(catalogue.Lie, "lie")}}
	}
	none := func(need, what string) []lack {
		return []lack{{need: need, reason: fmt.Sprintf("no book says %s for %s", what, x.club.ID)}}
	}
	i, lacks := x.pick(t.headOf, "head", func(i, j int) bool { return t.shapes[i] == t.shapes[j] })
	switch {
	case i >= 0:
		s.head, s.Head = t.heads[i], &t.shapes[i]
	case lacks != nil:
		s.lacks["head"] = lacks
	default:
		s.lacks["head"] = none("head", "the shape of the head")
	}
	for _, k := range []struct {
		name, what string
		shelf      *shelf
		decl       **book.Allowance
		amount     **measure.Allowance
	}{{"cap", "the allowance for a cap", &t.cap, &s.cap, &s.Cap}, {"crown", "the allowance for a crown", &t.crown, &s.crown, &s.Crown}} {
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
func (s *subject) missing(names []string) []lack {
	var out []lack
	for _, n := range names {
		out = merge(out, s.lacks[n])
	}
	return slices.Clone(out)
}

// parts turns entries of a budget into components by their sources.
func (s *subject) parts(c *club.Club, of catalogue.ID, taken *book.Method, budget []measure.Entry) []part {
	out := make([]part, 0, len(budget))
	for _, e := range budget {
		p := part{source: origin{what: e.What, owner: c, index: int(of)}, half: e.Half, u: e.S, sensitivity: e.Sensitivity, freedom: e.Freedom}
		switch e.What {
		case measure.Ruler:
			p.source = origin{what: e.What, owner: ruler{taken, c.Sheet}}
		case measure.Cap:
			p.source = origin{what: e.What, owner: s.cap}
		case measure.Crown:
			p.source = origin{what: e.What, owner: s.crown}
		case measure.HeadShape:
			p.source.owner, p.source.index = s.head, e.Size
		case measure.LieRead:
			p.source = origin{owner: s.lieOf, index: int(catalogue.Lie)}
		}
		out = append(out, p)
	}
	return out
}

// length is the length n of the club of x, with what more is known of the reading, by the
// method asked for. The steps are the corrections; lacks tells why it cannot be had.
func (x *env) length(p catalogue.Property, n float64, more club.Reading, asked *book.Method) (v value, read float64, steps []Step, lacks []lack) {
	c := x.club
	taken := x.j.program.taken(methodOf(c, p))
	if taken == nil {
		return value{}, 0, nil, []lack{{p.Name, fmt.Sprintf("no book says how %s is read", methodOf(c, p)), nil}}
	}
	if asked == nil {
		asked = taken
	}
	if in := x.j.program.covered(asked, c); in.truth != True {
		return value{}, 0, nil, in.lacks
	}
	if message, slip := x.apart(p, more, taken); slip && !x.asRead {
		return value{}, 0, nil, []lack{{p.Name, c.ID + ": " + message, nil}}
	}
	s := x.measuring()
	from, to := x.j.program.tools.methods[taken], x.j.program.tools.methods[asked]
	r := measure.Reading{N: max(1, len(more.Values)), Half: more.Half, Stated: more.HasHalf, S: deviation(more.Values)}
	budget, missing := measure.Budget(from, r, s.Subject)
	v = value{kind: number, num: n, parts: s.parts(c, p.ID, taken, budget)}
	read = v.uncertainty()
	for _, l := range s.missing(missing) {
		l.reason += ", so how sure its length is cannot be told"
		v.unsure = merge(v.unsure, []lack{l})
	}
	if from != to {
		shift, entries, corrections, missing := measure.Convert(from, to, s.Subject)
		if missing != nil {
			lacks := s.missing(missing)
			for i := range lacks {
				if taken == x.j.program.planned {
					lacks[i].reason += fmt.Sprintf(", so what %s reads beyond its shaft cannot be told", to.Name)
					continue
				}
				lacks[i].reason += fmt.Sprintf(", so its length by %s cannot be brought to %s", from.Name, to.Name)
			}
			return value{}, 0, nil, lacks
		}
		v.parts = append(v.parts, s.parts(c, p.ID, taken, entries)...)
		v.num += shift
		for _, k := range corrections {
			steps = append(steps, Step{What: StepCorrection, Name: k.What, Club: c.ID, Method: to.Name,
				Amount: x.amount(k.Amount, unit.Length), U: x.amount(k.U, unit.Length), Line: s.place(k.What)})
		}
	}
	if taken == x.j.program.planned {
		v.parts = asPlanned(v.parts)
	}
	return v.finite(outOfRange), read, steps, nil
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
