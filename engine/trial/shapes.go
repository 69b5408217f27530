package trial

// This file gathers what a rule speaks of: the clubs that it may be about and the properties
// that count, each with the values at which something may change.

import (
	"slices"

	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// option is a value that a property is tried with.
type option struct {
	absent   bool
	common   bool // a common figure for the club
	readings int  // how many readings; 0 is one
	amount   float64
	text     string
}

// facet is a property that counts for a rule. Where a rule requires something of it, it may be moved.
type facet struct {
	*space.Axis
	options  []option
	repeated bool // its single readings count
}

// topic is what a rule speaks of.
type topic struct {
	*space.Space
	rule      *book.Rule
	shapes    []space.Draft // without readings
	facets    []*facet
	repeats   []string                 // properties whose single readings count
	units     map[unit.Dim]*unit.Unit  // in which it states figures
	typed     map[catalogue.ID]float64 // figures of properties from the limits that rules set for them
	method    string                   // of the length that is asked for; "" for none
	counts    []float64                // numbers of clubs, or of readings, that it speaks of
	countings []counting               // counts and other values of a set that it speaks of
	sorts     []space.Sort             // of club that it counts
	stated    bool                     // lengths are tried with a stated half-width
}

// usual are clubs of each kind that are always tried.
var usual = []space.Draft{
	{Kind: catalogue.Driver, Number: 1}, {Kind: catalogue.Fairway, Number: 3}, {Kind: catalogue.Fairway, Number: 5},
	{Kind: catalogue.Hybrid, Number: 4}, {Kind: catalogue.Hybrid, Number: 5},
	{Kind: catalogue.Iron, Number: 6}, {Kind: catalogue.Iron, Number: 7},
	{Kind: catalogue.Wedge, Mark: "PW"}, {Kind: catalogue.Wedge, Mark: "SW"},
	{Kind: catalogue.Putter}, {Kind: catalogue.Chipper},
}

// topicOf gathers what a rule of a book speaks of.
func topicOf(p *judge.Program, b *book.Book, r *book.Rule) *topic {
	t := &topic{Space: space.NewSpace(), rule: r, units: map[unit.Dim]*unit.Unit{}, typed: limitsOf(p)}
	t.Pos = space.AnyPos
	if r.Unit != nil {
		t.units[r.Unit.Dim] = r.Unit
	}
	for _, p := range required(r) {
		t.part(p, true)
	}
	t.clubs(r.Among)
	t.part(r.By, false)
	for _, u := range r.Unless {
		t.part(u.When, false)
	}
	for _, b := range r.Bounds() {
		for _, p := range b.Parts() {
			t.held(r.Value, p)
		}
	}
	if r.Value.Ref() != nil && r.Value.Ref().Kind == book.RefProperty {
		for _, c := range t.counts {
			t.TurnsAt(r.Value.Ref().Property, c)
		}
	}
	if r.Facts.Today { // a day is not moved until the value is at an edge: it has to be tried there
		t.Rule(r)
	}
	if len(t.Methods) > 0 { // a conversion, and how sure a length is, may depend on the lie
		t.Axis(p.Schema.Property(catalogue.Lie))
	}
	for _, d := range slices.Concat(usual, t.Shapes()) {
		t.shape(d)
	}
	for _, c := range t.countings {
		t.tally(p, c)
	}
	for _, a := range t.Axes {
		if a.Prop.ID < catalogue.KnownProperties || visible(b, a.Prop.Column()) {
			t.facets = append(t.facets, t.facet(a))
		}
	}
	return t
}

// limitsOf are figures of properties from the limits that rules set for them.
func limitsOf(p *judge.Program) map[catalogue.ID]float64 {
	out := map[catalogue.ID]float64{}
	for _, r := range p.Rules() {
		of, b := r.Value.Ref(), r.Bound
		if of == nil || of.Kind != book.RefProperty || b == nil {
			continue
		}
		q := b.Parts()[0].Constant()
		if q == nil {
			continue
		}
		if _, before := out[of.Property.ID]; !before {
			out[of.Property.ID] = q.Base
		}
	}
	return out
}

// shape notes a club that is tried.
func (t *topic) shape(d space.Draft) {
	const most = 40
	known := slices.ContainsFunc(t.shapes, func(o space.Draft) bool { return o.Name() == d.Name() })
	if len(t.shapes) < most && !known {
		t.shapes = append(t.shapes, d)
	}
}

// visible reports whether a book knows a declared property by name, so that a case of it can give one.
func visible(b *book.Book, name string) bool {
	has := func(b *book.Book) bool {
		return slices.ContainsFunc(b.Properties, func(p *book.Property) bool { return p.Of.Name == name })
	}
	return has(b) || slices.ContainsFunc(b.Uses, func(u book.Use) bool { return has(u.Book) })
}

// facet is a property with the values that it is tried with: a common one, those at which something turns, and none.
func (t *topic) facet(a *space.Axis) *facet {
	const most = 8
	f := &facet{Axis: a, repeated: slices.Contains(t.repeats, a.Prop.Name)}
	common := option{common: true}
	switch a.Prop.Sort {
	case catalogue.Text:
		for _, text := range a.Words() {
			f.options = append(f.options, option{text: text})
		}
		if a.Prop.ID == catalogue.Hand {
			f.options = []option{{text: "right"}, {text: "left"}}
		}
	case catalogue.YesNo:
		f.options = []option{{amount: 1}, {}}
	case catalogue.Date:
		for _, v := range a.Turns {
			f.options = append(f.options, option{amount: v}, option{amount: v - 1}, option{amount: v + 1})
		}
		if len(f.options) == 0 {
			f.options = []option{common}
		}
		if a.Prop.Ordered { // another day than that of the club
			f.options = append(f.options, option{amount: catalogue.Common(a.Prop) + 1})
		}
	default:
		if u := t.units[a.Prop.Sort.Dim()]; u != nil {
			a.Unit = u
		}
		for _, v := range a.Turns {
			step := space.Step(v, a.Unit) / 10
			f.options = append(f.options, option{amount: v}, option{amount: v - step}, option{amount: v + step})
		}
		f.options = f.options[:min(len(f.options), most)]
		if limit, known := t.typed[a.Prop.ID]; known && a.Prop.ID >= catalogue.KnownProperties {
			common = option{amount: limit}
		}
		if a.Free || len(f.options) == 0 {
			f.options = slices.Insert(f.options, 0, common)
		} else {
			f.options = append(f.options, common)
		}
	}
	if f.repeated {
		f.repeat(t.counts)
	}
	f.options = append(f.options, option{absent: true})
	return f
}

// repeat offers a property in as many readings as some counts turn at.
func (f *facet) repeat(counts []float64) {
	const most = 9
	first := f.options[0]
	for _, n := range append([]float64{2, 3, 4}, counts...) {
		for _, k := range []float64{n, n - 1} {
			first.readings = int(k)
			if k >= 2 && k <= most && !slices.Contains(f.options, first) {
				f.options = append(f.options, first)
			}
		}
	}
}

// common is a common figure of a property for a club, in few digits of the unit in which it is written.
func (f *facet) common(d *space.Draft) float64 {
	v := space.Typical(f.Prop, d)
	if f.Unit == nil || f.Unit == unit.Base(unit.Length) {
		return v
	}
	n, fine := f.Unit.FromBase(v), f.Unit.FromBase(space.Step(v, f.Unit))/10
	return f.Unit.ToBase(roundOff(n, fine))
}

// part gathers what a formula speaks of; required tells that the rule requires it.
func (t *topic) part(p book.Part, required bool) {
	t.Part(p, required)
	p.Visit(func(p book.Part) bool { return t.look(p, required) }, nil)
}

// clubs gathers what says which clubs are meant.
func (t *topic) clubs(c book.Clubs) {
	t.Clubs(c)
	c.Visit(func(p book.Part) bool { return t.look(p, false) }, nil)
}

// among gathers the clubs of a value of the set.
func (t *topic) among(sel *ast.Selector, info *book.Info) {
	c := book.Clubs{Decl: sel, Info: info}
	t.countings = append(t.countings, counting{c, -1})
	t.clubs(c)
}

// look notes what a formula says by itself of counts, of single readings, and of how figures are written; false where
// what stands inside it was looked at.
func (t *topic) look(p book.Part, required bool) bool {
	if k := p.Constant(); k != nil {
		if required && p.Type().Dim == unit.Count {
			t.counts = append(t.counts, k.Base)
		}
		if k.Unit != nil && t.units[k.Unit.Dim] == nil {
			t.units[k.Unit.Dim] = k.Unit
		}
	}
	switch n := p.Expr.(type) {
	case *ast.Ref:
		of := p.Ref()
		if of != nil && of.Method != nil && of.Property.ID == catalogue.LengthID && t.method == "" {
			t.method = of.Method.Decl.Name.Text
		}
		if required && p.Chooses() {
			t.part(p, false)
			return false
		}
	case *ast.ReadingsValue:
		t.repeated(p.In(n.Of))
	case *ast.CountReadings:
		t.repeated(p.In(n.Of))
	case *ast.ShareOfReadings:
		p.In(n.Cond).Visit(func(p book.Part) bool { return t.repeated(p) }, nil)
	case *ast.CountOf:
		t.among(n.Selector, p.Info)
		return false
	case *ast.SetValue:
		t.part(p.In(n.Of), required)
		t.among(n.Among, p.Info)
		return false
	case *ast.Binary:
		if n.Op.IsComparison() {
			t.held(p.In(n.X), p.In(n.Y))
			t.held(p.In(n.Y), p.In(n.X))
		}
	}
	return true
}

// repeated notes that the single readings of a property count.
func (t *topic) repeated(p book.Part) bool {
	if of := p.Ref(); of != nil && of.Kind == book.RefProperty && of.Property.Sort.Numeric() {
		if a := t.Axis(of.Property); a != nil {
			a.Free = true
			t.repeats = append(t.repeats, a.Prop.Name)
		}
	}
	return true
}
