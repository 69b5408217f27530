package space

// This file gathers what clubs can differ in as far as some rules care: kinds, numbers and marks,
// properties, and for each the values at which something may turn.

import (
	"math"
	"slices"
	"strings"

	"ferrule/engine/judge"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Axis is a property in which clubs differ.
type Axis struct {
	Prop   catalogue.Property
	Unit   *unit.Unit // in which a quantity is written
	Turns  []float64  // values of a quantity or a day at which something turns
	texts  []string   // texts that it is compared with, and those of its list
	listed bool       // no other text can be read
	Absent bool       // it is asked whether it is there at all
	filled bool       // a book says what an empty cell means
	Free   bool       // it is in what a rule requires: a bench could change it so that the rule is met
	chosen bool       // it is in what decides which clubs a rule is about, in which order, or which exception counts
	picks  bool       // so it is, the order aside
	own    bool       // it is asked of the subject itself, not of clubs that a value of the bag is taken of
	some   bool       // so is whether it is there, which is to say on some club of a set
}

// Space is what clubs can differ in for a question about some rules, selectors or conditions.
type Space struct {
	Kinds   map[catalogue.Kind]bool
	Numbers map[int]bool // at which something turns, whatever the kind
	Ranges  map[catalogue.Kind]map[int]bool
	Marks   map[catalogue.Kind][]string // catalogue.NoKind: of whatever kind
	Axes    []*Axis
	links   []Sum          // comparisons of two properties: they turn where the sum is 0
	Methods []*book.Method // by which lengths are asked for

	NumberAbsent, MarkAbsent bool // it is asked whether there is one
	numbered                 bool // it counts which number a club has
	ordering                 bool // what is gathered is what neighbours are sorted by
	inside                   int  // how deep in values of the bag is what is gathered

	Inexact bool // something turns where nobody can tell: a question that was not answered is open
	Blind   bool // a condition of a rule does
	Other   bool // a length that is declared with its method is asked for by another
	Bags    bool // a formula holds a value of the whole bag
	Repeats bool // a formula asks for the single readings

	days timing

	Pos  ast.Position // of the pair whose formulas are gathered
	Gaps []Gap        // of rules about neighbours: how far apart two clubs are where a condition on both turns
}

// Gap is how far the second club of a pair is from the first in a property where a condition on both turns.
type Gap struct {
	Property string
	By       float64
}

func NewSpace() *Space {
	return &Space{Kinds: map[catalogue.Kind]bool{}, Numbers: map[int]bool{}, Ranges: map[catalogue.Kind]map[int]bool{},
		Marks: map[catalogue.Kind][]string{}}
}

// Whole reports whether what is not found in the space is not there.
func (s *Space) Whole() bool { return s.WholeButLengths() && !s.Converts() }

// WholeButLengths reports the same where what lengths by several methods differ by makes no difference.
func (s *Space) WholeButLengths() bool {
	return !s.Inexact && !s.Blind && !s.days.turn() && !s.Bags && !s.Repeats
}

// Converts reports whether lengths are asked for by several methods of which it is not known what they differ by. That
// depends on the lie, few of which are laid out, unless all methods stop the head alike. Where conditions look at
// lengths, one method does not turn where another does.
func (s *Space) Converts() bool {
	chosen := slices.ContainsFunc(s.Axes, func(a *Axis) bool { return a.Prop.ByMethod && a.chosen })
	return slices.ContainsFunc(s.Methods, func(m *book.Method) bool {
		first := s.Methods[0]
		return m.Decl.Name.Text != first.Decl.Name.Text && (chosen || m.StopsAt() != first.StopsAt())
	})
}

// timing says what formulas compare days with.
type timing struct{ ages, today, fixed, each bool }

// turn reports whether more may be told apart on one day than on another: where days are compared with figures as well
// as with the day of the check, and where some years are longer than others. By ages alone, or by days before the day
// of the check, the same is told apart on any day.
func (d timing) turn() bool { return d.fixed && (d.ages || d.today) || d.ages && (d.today || d.each) }

// Rule gathers all that a rule speaks of.
func (s *Space) Rule(r *book.Rule) {
	condition := func(gather func()) {
		before := s.Inexact
		s.Inexact = false
		gather()
		s.Blind, s.Inexact = s.Blind || s.Inexact, before
	}
	condition(func() { s.Clubs(r.Among) })
	s.ordering = true
	s.Part(r.By, false)
	s.ordering = false
	if r.Bound == nil {
		condition(func() { s.Part(r.Value, true) })
	} else {
		s.Part(r.Value, true)
	}
	s.bound(r.Bound, r.Value)
	for _, u := range r.Unless {
		condition(func() { s.Part(u.When, false) })
		s.bound(u.Bound, r.Value)
	}
	if r.Unit != nil {
		for _, a := range s.Axes {
			if a.Free && a.Unit != r.Unit && r.Unit.Dim == a.Prop.Sort.Dim() && a.Prop.Sort.Numeric() {
				a.Unit = r.Unit
			}
		}
	}
}

// ScopeOf is all that decides which clubs a rule is about, in which order, and which exception counts.
func ScopeOf(r *book.Rule) *Space {
	s := NewSpace()
	s.Clubs(r.Among)
	s.Part(r.By, false)
	for _, u := range r.Unless {
		s.Part(u.When, false)
	}
	s.Counted(r)
	return s
}

// Counted gathers which clubs count for a rule on a value of the set.
func (s *Space) Counted(r *book.Rule) {
	if f, _ := r.Value.Form(); f.Set != nil {
		s.Clubs(book.Clubs{Decl: f.Set.Among, Info: f.Info})
	}
}

// Part gathers what a formula speaks of; required tells that a rule requires it.
func (s *Space) Part(p book.Part, required bool) {
	p.Visit(func(p book.Part) bool { return s.formula(p, required) }, s.item)
}

// Clubs gathers what says which clubs are meant.
func (s *Space) Clubs(c book.Clubs) {
	c.Visit(func(p book.Part) bool { return s.formula(p, false) }, s.item)
}

// item gathers a member of a list.
func (s *Space) item(m *book.ItemInfo) {
	if m.Any || m.Group != nil {
		return
	}
	s.Kinds[m.Kind] = true
	if m.Numbered {
		if s.Ranges[m.Kind] == nil {
			s.Ranges[m.Kind] = map[int]bool{}
		}
		s.Ranges[m.Kind][int(m.From)], s.Ranges[m.Kind][int(m.To)] = true, true
	}
	if m.HasMark {
		s.mark(m.Kind, m.Mark)
	}
}

func (s *Space) mark(k catalogue.Kind, mark string) {
	if mark = strings.ToUpper(strings.TrimSpace(mark)); mark != "" && !catalogue.Listed(s.Marks[k], mark) {
		s.Marks[k] = append(s.Marks[k], mark)
	}
}

// Axis is that of a property; nil for one that has none of its own.
func (s *Space) Axis(p catalogue.Property) *Axis {
	switch p.ID {
	case catalogue.KindID, catalogue.Mark, catalogue.Number:
		return nil
	}
	for _, a := range s.Axes {
		if a.Prop.Name == p.Name {
			a.list(p)
			return a
		}
	}
	a := &Axis{Prop: p, listed: true}
	a.list(p)
	if p.Sort.Numeric() {
		a.Unit = unit.Base(p.Sort.Dim())
	}
	s.Axes = append(s.Axes, a)
	return a
}

// list takes in the list of the property as a book declares it.
func (a *Axis) list(p catalogue.Property) {
	a.listed = a.listed && p.Texts != nil
	for _, t := range p.Texts {
		if !catalogue.Listed(a.texts, t) {
			a.texts = append(a.texts, t)
		}
	}
}

// bound gathers where a value meets the ends of a bound.
func (s *Space) bound(b *book.Bound, value book.Part) {
	if b == nil {
		return
	}
	for _, p := range b.Parts() {
		s.Part(p, true)
	}
	age := b.Low != nil && s.ages(value, b.Low.At)
	if age = b.High != nil && s.ages(value, b.High.At) || age; age {
		return
	}
	x, ok := sums(value, s.Pos)
	y, ok2 := s.ends(b)
	if !ok || !ok2 || len(x)*len(y) > mostSums {
		s.Inexact = true
		return
	}
	s.turn(x, y)
}

// formula gathers what a formula says by itself, and reports whether what stands inside it is still to be gathered.
func (s *Space) formula(p book.Part, required bool) bool {
	switch n := p.Expr.(type) {
	case *ast.Ref:
		return s.ref(p, required)
	case *ast.Has:
		s.has(p.Info.Refs[n.Of], required)
		return false
	case *ast.Step:
		s.numbered = s.numbered || n.PerNumber
	case *ast.Today:
		s.days.today = true
	case *ast.Age:
		s.days.ages = true
	case *ast.DateLit:
		s.days.fixed = true
	case *ast.If: // which branch counts is not required of anybody
		s.Part(p.In(n.Cond), false)
		s.Part(p.In(n.Then), required)
		s.Part(p.In(n.Else), required)
		return false
	case *ast.CountOf:
		s.Bags = true
		s.inside++
		s.Clubs(book.Clubs{Decl: n.Selector, Info: p.Info})
		s.inside--
		return false
	case *ast.SetValue:
		s.Bags = true
		s.inside++
		s.Part(p.In(n.Of), required)
		s.Clubs(book.Clubs{Decl: n.Among, Info: p.Info})
		s.inside--
		return false
	case *ast.ReadingsValue, *ast.ShareOfReadings, *ast.CountReadings:
		s.Repeats = true
	case *ast.Call:
		for i, a := range n.Args {
			for _, b := range n.Args[:i] {
				s.Compare(p.In(a), p.In(b))
			}
			if n.Func.Text == "abs" {
				s.Compare(p.In(a), book.Part{})
			}
		}
	case *ast.Binary:
		if n.Op.IsComparison() {
			s.Compare(p.In(n.X), p.In(n.Y))
		}
	}
	return true
}

// ref gathers what a name means; false where that only chooses between clubs and was gathered so.
func (s *Space) ref(p book.Part, required bool) bool {
	ref := p.Ref()
	if ref == nil {
		return true
	}
	if required && p.Chooses() {
		s.Part(p, false)
		return false
	}
	switch ref.Kind {
	case book.RefProperty:
		s.numbered = s.numbered || ref.Property.ID == catalogue.Number
		if ref.Property.ID == catalogue.Number && required {
			for k := 1; k <= 12; k++ {
				s.Numbers[k] = true
			}
		}
		a := s.Axis(ref.Property)
		if a == nil {
			return true
		}
		a.Free, a.chosen, a.own = a.Free || required, a.chosen || !required, a.own || s.inside == 0
		a.picks = a.picks || !required && !s.ordering
		a.filled = a.filled || p.Info.Defaults[ref.Property.ID] != nil
		if ref.Method != nil {
			s.method(ref.Method)
			s.Other = s.Other || ref.Property.Method != "" && ref.Property.Method != ref.Method.Decl.Name.Text
		}
	case book.RefKindWord:
		s.Kinds[ref.Club] = true
	}
	return true
}

// method notes a method by which a length is asked for, and what its readings and conversions may
// depend on: which clubs it covers, heads and allowances.
func (s *Space) method(m *book.Method) {
	if slices.Contains(s.Methods, m) {
		return
	}
	s.Methods = append(s.Methods, m)
	if m.Decl.Covers != nil {
		s.Clubs(book.Clubs{Decl: m.Decl.Covers.Selector, Info: m.Book.Info})
	}
}

// Tools gathers which clubs have another head or allowance than others, where lengths are converted or
// it counts how sure they are.
func (s *Space) Tools(p *judge.Program) {
	for _, a := range s.Axes { // the order may say of another lie or grip than the club
		s.Inexact = s.Inexact || a.Prop.Ordered && a.Prop.ByMethod
	}
	s.Axis(p.Schema.Property(catalogue.Lie))
	for _, b := range book.Reach(p.Books) {
		for _, h := range b.Heads {
			s.Clubs(book.Clubs{Decl: &ast.Selector{Items: h.Decl.Items, Where: h.Decl.Where}, Info: b.Info})
		}
		for _, a := range b.Allowances {
			s.Part(book.Part{Expr: a.Decl.Where, Info: b.Info}, false)
		}
	}
}

// has gathers that it is asked whether a property is there.
func (s *Space) has(ref *book.RefInfo, required bool) {
	if ref == nil || ref.Kind != book.RefProperty {
		return
	}
	switch ref.Property.ID {
	case catalogue.Number:
		s.NumberAbsent = true
	case catalogue.Mark:
		s.MarkAbsent = true
	default:
		if a := s.Axis(ref.Property); a != nil {
			a.Absent = true
			a.Free, a.some = a.Free || required, a.some || s.inside == 0
		}
	}
}

// Compare gathers where two formulas are equal; none is 0.
func (s *Space) Compare(x, y book.Part) {
	if s.words(x, y) || s.words(y, x) || s.ages(x, y) || s.ages(y, x) || s.ofBag(x, y) || s.ofBag(y, x) {
		return
	}
	before := s.Inexact
	a, ok := sums(x, s.Pos)
	b, ok2 := []Sum{{}}, true
	if y.Expr != nil {
		b, ok2 = sums(y, s.Pos)
	}
	if ok && ok2 && len(a)*len(b) <= mostSums {
		s.turn(a, b)
	} else {
		s.Inexact = true
	}
	if s.Pos == AnyPos && x.Type().Kind == book.Number && y.Expr != nil {
		s.pairTurns(before, x, y)
	}
}

// words gathers what a property that is not a quantity is compared with; false where x is none.
func (s *Space) words(x, y book.Part) bool {
	r := x.Ref()
	if r == nil {
		return false
	}
	if k := x.Type().Kind; r.Kind == book.RefLet && k != book.Number && k != book.DayType {
		s.Inexact = true
		return true
	}
	if r.Kind != book.RefProperty {
		return false
	}
	switch p := r.Property; {
	case p.ID == catalogue.KindID:
		return true // what is on the other side is gathered by itself
	case p.ID == catalogue.Hand:
		s.compared(r, y.Ref())
		return true
	case p.Sort == catalogue.YesNo:
		return true
	case p.Sort == catalogue.Text:
		lit, ok := ast.Unparen(y.Expr).(*ast.TextLit)
		switch {
		case !ok:
			s.Inexact = true
			s.compared(r, y.Ref())
		case p.ID == catalogue.Mark:
			s.mark(catalogue.NoKind, lit.Value)
		default:
			if a := s.Axis(p); !catalogue.Listed(a.texts, lit.Value) {
				a.texts = append(a.texts, lit.Value)
			}
		}
		return true
	}
	return false
}

// compared gives each of some properties that are compared texts of which it may have one that the others have, or not.
func (s *Space) compared(refs ...*book.RefInfo) {
	for _, r := range refs {
		if r == nil || r.Kind != book.RefProperty {
			continue
		}
		switch a := s.Axis(r.Property); {
		case a == nil:
		case a.Prop.ID == catalogue.Hand:
			a.texts = []string{"right", "left"}
		case len(a.texts) == 0:
			a.texts = []string{"A"}
		}
	}
}

// turn notes where the sums of two sides are equal.
func (s *Space) turn(a, b []Sum) {
	isDay := func(t Term) bool { return t.Prop.Sort == catalogue.Date }
	for _, x := range a {
		for _, y := range b {
			d := x.Plus(y, -1)
			s.days.each = s.days.each || slices.ContainsFunc(d.Terms, isDay)
			switch len(d.Terms) {
			case 0:
			case 1:
				s.TurnsAt(d.Terms[0].Prop, -d.Fixed/d.Terms[0].Factor)
			case 2:
				if d.Terms[0].Prop.ID == catalogue.Number || d.Terms[1].Prop.ID == catalogue.Number {
					s.Inexact = true
				}
				s.links = append(s.links, d)
			default:
				s.Inexact = true
			}
		}
	}
}

func (s *Space) TurnsAt(p catalogue.Property, v float64) {
	if p.ID == catalogue.Number {
		if math.Abs(v) <= catalogue.HighestNumber {
			s.Numbers[int(math.Floor(v))], s.Numbers[int(math.Ceil(v))] = true, true
		}
		return
	}
	if a := s.Axis(p); a != nil {
		a.Turns = append(a.Turns, v)
	}
}
