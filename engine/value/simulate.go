package value

// This file makes a number ready to be drawn (JCGM 101:2008): the steps of its calculation for which first order is
// not good enough, the numbers below them, which are linear in their errors, and the errors themselves.

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
)

// Simulator draws values, and remembers what can be used again. It is for one goroutine.
type Simulator struct {
	Hasty  bool                 // verdicts are asked for, not how probable they are
	tables map[string]*Quantile // of errors that are drawn, by their distribution
}

// sampler draws some values.
type sampler struct {
	from    *Simulator
	nodes   []*node
	known   map[*Bend]*node
	columns []*column
	column  map[Source]*column
	errors  []*drawnError
	spare   [][]float64 // vectors of draws, to be used again

	first uint32 // of the draws in hand
	block int    // their number, from 1
}

// node is a step of a calculation, or a number that is linear in its errors.
type node struct {
	*Bend          // nil of a linear one
	read   float64 // the value as read
	scale  float64 // about the largest that it is worked out from, in its own unit: what rounding is a share of
	args   []*node
	terms  []term // of a linear one
	shared bool   // it is needed more than once
	now    []float64
	block  int // of which block now holds the draws
}

// term is an error, by a factor.
type term struct {
	of     *drawnError
	factor float64
}

// column is what the linear numbers have of one source of uncertainty: the half-width that the source gives each of
// them, with a sign, or of repeats the standard uncertainty.
type column struct {
	nodes   []*node
	factors []float64
	freedom float64
}

// drawnError is an error that is drawn by itself: a source, or the sum of all rectangles that the numbers have in the
// same proportion.
type drawnError struct {
	column           // the factors by that of the first node
	halves []float64 // in the first node
	table  *Quantile
	power  uint32 // of the generator
	offset uint32
	now    []float64 // of one that goes to more than one number
	block  int       // of which block now holds the draws
}

// take takes a value in.
func (s *sampler) take(v Value) *node {
	if v.Bend == nil {
		n := &node{read: v.Num}
		if v.Truth == True {
			n.read = 1
		}
		s.nodes = append(s.nodes, n)
		n.scale = math.Abs(n.read)
		s.spread(n, v.Parts)
		return n
	}
	if n := s.known[v.Bend]; n != nil {
		n.shared = true
		return n
	}
	n := &node{Bend: v.Bend, read: v.Num}
	s.nodes = append(s.nodes, n)
	s.known[v.Bend] = n
	for _, a := range v.Bend.Contenders() {
		n.args = append(n.args, s.take(a))
	}
	n.scale = n.sized()
	return n
}

// sized is the scale of a step, by that of its arguments.
func (n *node) sized() float64 {
	size := math.Abs(n.read)
	args := n.args
	switch n.Op {
	case multiplying:
		return args[0].scale * args[1].scale
	case dividing:
		return args[0].scale / args[1].read * args[1].scale / args[1].read
	case summing:
		for k, a := range args {
			size += math.Abs(n.factors[k]) * a.scale
		}
		return size
	case choosing:
		args = args[1:] // the condition is in other units
	}
	for _, a := range args {
		size = max(size, a.scale)
	}
	return size
}

// Contenders are the arguments of a step, of an extreme or a spread those that can be an extreme at all.
func (b *Bend) Contenders() []Value {
	if b.Op != Maximizing && b.Op != Minimizing && b.Op != spreading {
		return b.args
	}
	top, bottom := math.Inf(-1), math.Inf(1) // where the largest and the least are at least and at most
	for _, a := range b.args {
		r := a.reach()
		top, bottom = max(top, a.Num-r), min(bottom, a.Num+r)
	}
	return slices.DeleteFunc(slices.Clone(b.args), func(a Value) bool {
		r := a.reach()
		return (b.Op == Minimizing || a.Num+r < top) && (b.Op == Maximizing || a.Num-r > bottom)
	})
}

// reach is how far a number may be off at the most.
func (v Value) reach() float64 {
	if v.Bend != nil {
		return math.Inf(1)
	}
	r := 0.0
	for _, p := range v.Parts {
		if p.Half == 0 && p.Contribution() != 0 {
			return math.Inf(1)
		}
		r += math.Abs(p.Half * p.Sensitivity)
	}
	return r
}

// spread notes what a linear number has of each source.
func (s *sampler) spread(n *node, parts []Part) {
	for _, p := range parts {
		factor := p.Half * p.Sensitivity
		if p.Half == 0 {
			factor = p.Contribution()
		}
		if factor == 0 {
			continue
		}
		n.scale += math.Abs(factor)
		c := s.column[p.Source]
		if c == nil {
			c = &column{freedom: p.Freedom}
			s.column[p.Source] = c
			s.columns = append(s.columns, c)
		}
		c.nodes, c.factors = append(c.nodes, n), append(c.factors, factor)
	}
}

// settle makes the errors, once all values are taken in.
func (s *sampler) settle() {
	place := make(map[*node]uint64, len(s.nodes))
	for i, n := range s.nodes {
		place[n] = uint64(i)
	}
	alike := map[string]*drawnError{}
	var key []byte
	power := uint32(1)
	for _, c := range s.columns {
		first := c.factors[0]
		key = key[:0]
		for i := range c.factors {
			c.factors[i] /= first
			key = binary.LittleEndian.AppendUint64(key, place[c.nodes[i]])
			key = binary.LittleEndian.AppendUint64(key, math.Float64bits(c.factors[i]))
		}
		e := alike[string(key)]
		if e == nil || c.freedom > 0 {
			e = &drawnError{column: *c, power: power, offset: offset(uint32(len(s.errors)) + 1)}
			s.errors = append(s.errors, e)
			power *= generator
			if c.freedom == 0 {
				alike[string(key)] = e
			}
		}
		e.halves = append(e.halves, math.Abs(first))
	}
	for _, e := range s.errors {
		slices.SortFunc(e.halves, func(a, b float64) int { return cmp.Compare(b, a) })
		e.table = s.from.quantile(e.halves, e.freedom)
		for i, n := range e.nodes {
			n.terms = append(n.terms, term{e, e.factors[i] * e.halves[0]})
		}
	}
}

// maxTables bounds the tables of quantiles that are remembered.
const maxTables = 512

// quantile is the table of a sum of rectangles, the widest first, or of Student's t, the first of them counting as 1;
// nil of a single rectangle.
func (m *Simulator) quantile(halves []float64, freedom float64) *Quantile {
	if freedom == 0 && len(halves) == 1 {
		return nil
	}
	shape := make([]float64, len(halves))
	key := binary.LittleEndian.AppendUint64(nil, math.Float64bits(freedom))
	for i, h := range halves {
		shape[i] = h / halves[0]
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(shape[i]))
	}
	t := m.tables[string(key)]
	switch {
	case t != nil:
		return t
	case freedom > 0:
		t = Student(freedom)
	default:
		const pieces = 512
		t = NewScatter(shape, pieces).Quantile()
	}
	if m.tables == nil || len(m.tables) >= maxTables {
		m.tables = map[string]*Quantile{}
	}
	m.tables[string(key)] = t
	return t
}
