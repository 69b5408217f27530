// Package eval works a formula out on a subject: a club, two neighbours or a set.
//
// bench.go holds what is remembered meanwhile, and what the books declare. walk.go and names.go are the recording walk
// over formulas, select.go the selectors, whole.go values of whole sets. lengths.go and quick.go bring a length to
// another method, and slips.go is about readings that can hardly be right. formula.go and lower.go are the short ways
// and the same formulas compiled.
package eval

// This file holds what is remembered while formulas are worked out, and what the books say that they need.

import (
	"maps"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Declared is what books say about measuring, made ready. It is immutable and safe for concurrent use.
type Declared struct {
	Schema *catalogue.Schema

	methods map[string]*book.Method
	planned *book.Method // of lengths that are planned
	ready   map[*book.Method]method
	Charts  map[*book.Chart][]candidate
	heads   shelf[*book.Head, measure.Head]
	cap     shelf[*book.Allowance, measure.Allowance]
	crown   shelf[*book.Allowance, measure.Allowance]
	kinds   [catalogue.Chipper + 1]common
	texts   map[catalogue.ID][]string // with which the books compare properties, each once
	carried []catalogue.Property      // that rules about sets ask of all clubs, an empty cell of which has a meaning
}

// method is a method made ready.
type method struct {
	how    *measure.Method
	covers *Selector // nil: every club
}

// Declare makes ready what books say about measuring, and those that they use.
func Declare(books []*book.Book, schema *catalogue.Schema) *Declared {
	p := &Declared{Schema: schema, methods: map[string]*book.Method{}, ready: map[*book.Method]method{},
		Charts: map[*book.Chart][]candidate{}, texts: map[catalogue.ID][]string{}}
	for _, b := range book.Reach(books) {
		p.learn(b)
	}
	p.planned = &book.Method{Decl: &ast.Method{Named: ast.Named{Name: ast.Name{Text: Planned}}}}
	p.ready[p.planned] = method{how: &measure.Method{Name: Planned, Stop: measure.AtLie, Top: measure.Butt}}
	p.settleKinds()
	return p
}

// Bench is where the formulas of a set are worked out. It is for one goroutine.
type Bench struct {
	Books       *Declared
	Today       book.Day                    // the day of the check; NoDay where it is not known
	known       map[known]value.Value       // values of the set in hand
	spent, Most int                         // what it took so far to work with these, and what it may take
	selectors   map[*ast.Selector]*Selector // those of values of a set, as far as met
	texts       map[textAt]*oddText         // texts that the books do not know, as far as met
	Subjects    map[measured]*subject       // what is known of the clubs of the set in hand
	corrections map[route]*correction       // how lengths are brought to other methods, as far as met
	Clashed     *value.Lack                 // rows of a chart or the like that disagree on the subject in hand
	members     []value.Value               // scratch of a value of the set
	run         machine
	Draws       value.Simulator
	Finer       func(*value.Part) // changes a component of a reading; nil: nothing
}

// known is a value of a set, as it is worked out where uncertainty counts or not.
type known struct {
	of    ast.Expr
	draws bool
}

func (p *Declared) NewBench() *Bench {
	return &Bench{
		Books: p, Today: book.NoDay, Most: MaxSpent, known: map[known]value.Value{}, Subjects: map[measured]*subject{},
		selectors: map[*ast.Selector]*Selector{}, corrections: map[route]*correction{},
	}
}

// With is the bench where components of the readings are others: finer changes them.
func (j *Bench) With(finer func(*value.Part)) *Bench {
	out := *j
	out.known, out.Finer, out.Draws.Hasty = map[known]value.Value{}, finer, true
	return &out
}

// ForgetClubs forgets what is known of clubs, before another set is taken in hand.
func (j *Bench) ForgetClubs() { clear(j.Subjects) }

// ForgetSet forgets the values of a set, before another or another rule is taken in hand.
func (j *Bench) ForgetSet() {
	clear(j.known)
	j.spent = 0
}

// Blame notes that two rows of a book disagree on the subject in hand, where that is among what is lacking.
func (j *Bench) Blame(lacks []value.Lack) {
	for _, l := range lacks {
		if l.Kind == value.RowsDiffer && j.Clashed == nil {
			j.Clashed = &l
		}
	}
}

// learn takes in the methods, charts, heads and allowances of a book.
func (p *Declared) learn(b *book.Book) {
	p.stock(b)
	p.learnTexts(b)
	p.learnCarried(b)
	for _, h := range b.Charts {
		for _, row := range h.Decl.Rows {
			p.Charts[h] = append(p.Charts[h], candidate{b.Info, row.Items, row.Where, row.Span})
		}
	}
	for _, m := range b.Methods {
		name := m.Decl.Name.Text
		if p.methods[name] == nil {
			p.methods[name] = m
		}
		one := method{how: MethodOf(m)}
		if m.Decl.Covers != nil {
			one.covers = NewSelector(m.Decl.Covers.Selector, b.Info)
		}
		p.ready[m] = one
	}
}

// Methods lists the names of the methods that the books know, sorted.
func (p *Declared) Methods() []string { return slices.Sorted(maps.Keys(p.methods)) }

// Covers says why a method does not cover a club; nil where it does, where the method is not known, and where that
// is not known because a measurement is missing.
func (p *Declared) Covers(method string, c *club.Club) *value.Lack {
	m := p.methods[method]
	if s := p.ready[m].covers; s == nil || s.Quick(c) == value.True {
		return nil
	}
	if in := p.covered(m, c, nil); in.Truth == value.False {
		return &in.Lacks[0]
	}
	return nil
}

// covered reports whether a method covers a club, and if it does not or that is not known, why. Other's cells count
// where the club has none; it may be nil.
func (p *Declared) covered(m *book.Method, c, other *club.Club) value.Value {
	s, in := p.ready[m].covers, value.TruthOf(true)
	if s == nil {
		return in
	}
	switch s.Quick(c) {
	case value.False:
		in = value.TruthOf(false)
	case value.Unknown:
		x := Env{Bench: p.NewBench(), Info: s.info, Club: c, Else: other, Bag: &Bag{}}
		in = x.Takes(s.decl)
	}
	if in.Truth == value.False {
		why := value.Lack{Kind: value.NotCovered, By: m.Decl.Name.Text, Words: c.Kind.Plural()}
		if s.decl.Where != nil {
			why.At = s.decl.Span
		}
		in.Lacks = []value.Lack{why}
	}
	return in
}

// Method returns the method of that name; nil where the books know none.
func (p *Declared) Method(name string) *book.Method { return p.methods[name] }
