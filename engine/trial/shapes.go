package trial

// This file gathers what a rule speaks of: the clubs that it may be about and the properties
// that count, each with the values at which something may change.

import (
	"math"
	"slices"

	"ferrule/engine/eval"
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
	common   bool // a common figure for the kind of club
	readings int  // how many readings; 0 is one
	amount   float64
	text     string
}

// facet is a property that counts for a rule.
type facet struct {
	prop     catalogue.Property
	unit     *unit.Unit
	options  []option
	required bool // it goes into the value or the limits, so it may be moved
	repeated bool // its single readings count
}

// topic is what a rule speaks of.
type topic struct {
	book    *book.Book
	rule    *book.Rule
	shapes  []space.Draft // without readings
	facets  []*facet
	method  string    // of the length that is asked for; "" for none
	counts  []float64 // numbers of clubs that it speaks of
	bag     bool      // it holds a value of the set
	tallies []tally   // sorts of club that it counts
	stated  bool      // lengths are tried with a stated half-width

	numbered bool // it asks for the number of a club
	typed    map[catalogue.ID]float64
	seen     map[any]bool
}

// usual are clubs of each kind that are always tried.
var usual = []space.Draft{
	{Kind: catalogue.Driver, Number: 1}, {Kind: catalogue.Fairway, Number: 3}, {Kind: catalogue.Fairway, Number: 5},
	{Kind: catalogue.Hybrid, Number: 4}, {Kind: catalogue.Hybrid, Number: 5}, {Kind: catalogue.Iron, Number: 6}, {Kind: catalogue.Iron, Number: 7},
	{Kind: catalogue.Wedge, Mark: "PW"}, {Kind: catalogue.Wedge, Mark: "SW"}, {Kind: catalogue.Putter}, {Kind: catalogue.Chipper},
}

// usualAmounts are common figures of each known property, in the units of unit.Base:
// common practice.
var usualAmounts = map[catalogue.ID]float64{
	catalogue.LengthID: 38, catalogue.Lie: 62, catalogue.Loft: 30, catalogue.Bounce: 8, catalogue.MassID: 400, catalogue.Balance: 29,
	catalogue.SwingWeightID: 32, catalogue.FrequencyID: 300, catalogue.VolumeID: 400, catalogue.InertiaID: 4000,
	catalogue.GripLength: 10, catalogue.GripDiameter: 0.9, catalogue.ButtMass: 1.6, catalogue.TipMass: 2,
}

// builds are common lengths in inches, lies and lofts in degrees, kind by kind: common
// practice. Those of irons are of the 6 iron.
var builds = map[catalogue.Kind][3]float64{
	catalogue.Driver: {45, 58, 10}, catalogue.Fairway: {43, 57, 16}, catalogue.Hybrid: {39.5, 60, 22}, catalogue.Iron: {37.5, 61.5, 30},
	catalogue.Wedge: {35.5, 64, 50}, catalogue.Putter: {34, 71, 3}, catalogue.Chipper: {35, 68, 32},
}

// build is a common figure of a club, in base units; false for a property that differs little
// from kind to kind.
func build(d *space.Draft, p catalogue.Property) (float64, bool) {
	b, steps := builds[d.Kind], 0.0
	if d.Kind == catalogue.Iron && d.Number > 0 {
		steps = float64(d.Number - 6)
	}
	switch {
	case p.ID == catalogue.LengthID || p.Method != "":
		return unit.Base(unit.Length).ToBase(b[0] - steps/2), true
	case p.ID == catalogue.Lie:
		return unit.Base(unit.Angle).ToBase(b[1] + steps/2), true
	case p.ID == catalogue.Loft:
		return unit.Base(unit.Angle).ToBase(b[2] + 4*steps), true
	}
	return 0, false
}

// usualOfSort are figures for the properties that a book declares.
var usualOfSort = map[catalogue.Sort]float64{
	catalogue.Length: 2, catalogue.Angle: 5, catalogue.Mass: 50, catalogue.Time: 200, catalogue.Frequency: 300, catalogue.Area: 0.001,
	catalogue.Volume: 50, catalogue.Inertia: 3000, catalogue.Moment: 200, catalogue.LineMass: 2, catalogue.SwingWeight: 32, catalogue.Count: 3, catalogue.Ratio: 0.5,
}

// topicOf gathers what a rule of a book speaks of.
func topicOf(p *judge.Program, b *book.Book, r *book.Rule) *topic {
	t := &topic{book: b, rule: r, typed: limitsOf(p), seen: map[any]bool{}}
	for _, p := range required(r) {
		t.formula(p, true)
	}
	t.clubs(r.Among)
	t.formula(r.By, true)
	for _, u := range r.Unless {
		t.formula(u.When, false)
	}
	for _, b := range r.Bounds() {
		for _, p := range b.Parts() {
			t.held(r.Value, p)
		}
	}
	if slices.ContainsFunc(t.facets, func(f *facet) bool { return f.prop.ByMethod }) { // a conversion, and how sure a length is, may depend on the lie
		lie := t.facet(catalogue.Property{ID: catalogue.Lie, Name: "lie", Sort: catalogue.Angle}, false)
		t.offer(lie, option{common: true})
	}
	if t.numbered {
		for _, c := range t.counts {
			t.numbers(c)
		}
	}
	for _, s := range usual {
		t.shape(s)
	}
	for _, f := range t.facets {
		if r.Unit != nil && r.Unit.Dim == f.unit.Dim {
			f.unit = r.Unit
		}
		t.complete(f)
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
	if d.Kind == catalogue.Driver {
		d.Number = 1
	}
	const most = 40
	if d.Kind != catalogue.NoKind && len(t.shapes) < most && !slices.ContainsFunc(t.shapes, func(o space.Draft) bool { return o.Name() == d.Name() }) {
		t.shapes = append(t.shapes, d)
	}
}

// facet is the facet of a property, made where it is met for the first time. It is nil
// for what is no property that a case of the book can give.
func (t *topic) facet(p catalogue.Property, required bool) *facet {
	switch {
	case p.ID == catalogue.KindID, p.ID == catalogue.Number, p.ID == catalogue.Mark:
		return nil
	case p.ID >= catalogue.KnownProperties && !t.visible(p.Name):
		return nil
	}
	i := slices.IndexFunc(t.facets, func(f *facet) bool { return f.prop.ID == p.ID })
	if i < 0 {
		t.facets = append(t.facets, &facet{prop: p, unit: unit.Base(p.Sort.Dim())})
		i = len(t.facets) - 1
	}
	f := t.facets[i]
	f.required = f.required || required
	return f
}

// visible reports whether the book knows a declared property by name.
func (t *topic) visible(name string) bool {
	has := func(b *book.Book) bool {
		return slices.ContainsFunc(b.Properties, func(p *book.Property) bool { return p.Of.Name == name })
	}
	return has(t.book) || slices.ContainsFunc(t.book.Uses, func(u book.Use) bool { return has(u.Book) })
}

// texts are the texts that a facet is tried with.
func (f *facet) texts() []string {
	var out []string
	for _, o := range f.options {
		out = append(out, o.text)
	}
	return out
}

func (t *topic) offer(f *facet, o option) {
	const most = 8
	if f != nil && len(f.options) < most && !slices.Contains(f.options, o) {
		f.options = append(f.options, o)
	}
}

// complete gives a facet what is always tried: a common figure first, and that it was not
// measured.
func (t *topic) complete(f *facet) {
	switch {
	case f.prop.Sort.Numeric():
		n, ok := usualAmounts[f.prop.ID]
		if !ok {
			n = usualOfSort[f.prop.Sort]
		}
		n = f.unit.FromBase(unit.Base(f.prop.Sort.Dim()).ToBase(n)) // in few digits of the unit in which it is written
		common := option{amount: f.unit.ToBase(roundOff(n, tenth(n))), common: true}
		if limit, known := t.typed[f.prop.ID]; known && !ok {
			common.amount, common.common = limit, false
		}
		if !f.required && len(f.options) > 0 {
			f.options = append(f.options, common)
		} else {
			f.options = append([]option{common}, f.options...)
		}
	case f.prop.ID == catalogue.Hand:
		f.options = []option{{text: "right"}, {text: "left"}}
	case f.prop.Sort == catalogue.YesNo:
		f.options = []option{{amount: 1}, {}}
	case f.prop.Texts != nil:
		for _, text := range f.prop.Texts {
			t.offer(f, option{text: text})
		}
	case f.prop.Sort == catalogue.Text:
		t.offer(f, option{text: eval.OtherText(f.texts())})
	case f.prop.Sort == catalogue.Date && len(f.options) == 0:
		f.options = []option{{amount: 18000}} // a day of 2019
	}
	if f.repeated {
		const most = 9
		first := f.options[0]
		for _, n := range append([]float64{2, 3, 4}, t.counts...) {
			for _, k := range []float64{n, n - 1} {
				first.readings = int(k)
				if k >= 2 && k <= most && !slices.Contains(f.options, first) {
					f.options = append(f.options, first)
				}
			}
		}
	}
	f.options = append(f.options, option{absent: true})
}

// formula gathers what a formula speaks of.
func (t *topic) formula(p book.Part, required bool) {
	p.Visit(func(p book.Part) bool {
		if k := p.Constant(); k != nil && required && p.Type().Dim == unit.Count {
			t.counts = append(t.counts, k.Base)
		}
		switch n := p.Expr.(type) {
		case *ast.Ref:
			t.ref(p.Ref(), required)
			return isRead(p)
		case *ast.ReadingsValue:
			t.repeats(p.In(n.Of))
		case *ast.CountReadings:
			t.repeats(p.In(n.Of))
		case *ast.ShareOfReadings:
			ast.Walk(n.Cond, func(e ast.Expr) bool {
				t.repeats(p.In(e))
				return true
			})
		case *ast.ItemRef:
			t.item(p.Info.Items[n.Item])
			return false
		case *ast.CountOf:
			t.bag = true
			t.tally(book.Clubs{Decl: n.Selector, Info: p.Info}, -1)
			t.clubs(book.Clubs{Decl: n.Selector, Info: p.Info})
			return false
		case *ast.SetValue:
			t.bag = true
			t.tally(book.Clubs{Decl: n.Among, Info: p.Info}, -1)
			t.formula(p.In(n.Of), required)
			t.clubs(book.Clubs{Decl: n.Among, Info: p.Info})
			return false
		case *ast.Binary:
			if n.Op.IsComparison() {
				x, y := p.In(n.X), p.In(n.Y)
				t.compared(x, y, required)
				t.compared(y, x, required)
				t.held(x, y)
				t.held(y, x)
			}
		}
		return true
	}, nil)
}

// repeats notes that the single readings of a property count.
func (t *topic) repeats(p book.Part) {
	if of := p.Ref(); of != nil && of.Kind == book.RefProperty {
		if f := t.facet(of.Property, true); f != nil && f.prop.Sort.Numeric() {
			f.repeated = true
		}
	}
}

func (t *topic) ref(r *book.RefInfo, required bool) {
	if r == nil {
		return
	}
	switch r.Kind {
	case book.RefProperty:
		t.numbered = t.numbered || r.Property.ID == catalogue.Number && required
		f := t.facet(r.Property, required)
		if f != nil && r.Property.ID == catalogue.LengthID && r.Method != nil && t.method == "" {
			t.method = r.Method.Decl.Name.Text
		}
		if m := r.Method; m != nil && !t.seen[m] { // the length is told of clubs that the method covers alone
			t.seen[m] = true
			if m.Decl.Covers != nil {
				t.formula(book.Part{Expr: m.Decl.Covers.Selector.Where, Info: m.Book.Info}, false)
			}
		}
	case book.RefChart:
		if t.seen[r.Chart] {
			return
		}
		t.seen[r.Chart] = true
		info := r.Chart.Book.Info
		for k, row := range r.Chart.Decl.Rows {
			t.items(row.Items, info)
			t.formula(book.Part{Expr: row.Where, Info: info}, false)
			if of := r.Chart.Of; k == 0 && of != nil && of.Kind == book.RefProperty {
				if f := t.facet(of.Property, required); f != nil {
					t.offer(f, option{amount: r.Chart.Values[0].Base})
				}
			}
		}
	case book.RefGroup:
		t.group(r.Group)
	}
}

func (t *topic) group(g *book.Group) {
	if !t.seen[g] {
		t.seen[g] = true
		t.clubs(g.Clubs())
	}
}

func (t *topic) clubs(c book.Clubs) {
	if c.Decl != nil {
		t.items(c.Decl.Items, c.Info)
		t.items(c.Decl.Except, c.Info)
		t.formula(book.Part{Expr: c.Decl.Where, Info: c.Info}, false)
	}
}

func (t *topic) items(items []*ast.Item, info *book.Info) {
	for _, item := range items {
		t.item(info.Items[item])
	}
}

func (t *topic) item(m *book.ItemInfo) {
	switch {
	case m == nil:
	case m.Group != nil:
		t.group(m.Group)
	case m.Numbered:
		t.shape(space.Draft{Kind: m.Kind, Number: int(m.From)})
		if m.To > m.From {
			t.shape(space.Draft{Kind: m.Kind, Number: int(m.From) + 1})
			t.shape(space.Draft{Kind: m.Kind, Number: int(m.To)})
		}
	case m.HasMark:
		t.shape(space.Draft{Kind: m.Kind, Mark: m.Mark})
	}
}

// compared notes at which values of the properties in x something may change, where y is
// what x is compared with.
func (t *topic) compared(x, y book.Part, required bool) {
	x.Visit(func(n book.Part) bool {
		if _, ok := n.Expr.(*ast.Ref); ok && n.Ref() != nil && n.Ref().Kind == book.RefProperty {
			t.turns(n.Ref().Property, y, required)
		}
		return isRead(n)
	}, nil)
}

// turns notes at which values of a property something may change that is compared with y.
func (t *topic) turns(p catalogue.Property, y book.Part, required bool) {
	k := y.Constant()
	text, isText := y.Expr.(*ast.TextLit)
	switch {
	case p.ID == catalogue.Number && k != nil:
		t.numbers(k.Base)
	case p.ID == catalogue.Mark && isText:
		t.shape(space.Draft{Kind: catalogue.Wedge, Mark: text.Value})
	}
	f := t.facet(p, required)
	if f == nil {
		return
	}
	switch y := y.Expr.(type) {
	case *ast.TextLit:
		t.offer(f, option{text: y.Value})
		return
	case *ast.DateLit:
		day, _ := book.ParseDay(y.Date)
		for _, d := range []book.Day{day, day - 1, day + 1} {
			t.offer(f, option{amount: float64(d)})
		}
		return
	}
	if k != nil && y.Type().Dim == p.Sort.Dim() {
		if k.Unit != nil && k.Unit.Dim == f.unit.Dim {
			f.unit = k.Unit
		}
		step := f.unit.ToBase(tenth(f.unit.FromBase(k.Base)))
		for _, v := range []float64{k.Base, k.Base - step, k.Base + step} {
			t.offer(f, option{amount: v})
		}
	}
}

// numbers tries clubs on either side of a number.
func (t *topic) numbers(about float64) {
	if math.Abs(about) > 100 {
		return
	}
	for _, kind := range []catalogue.Kind{catalogue.Iron, catalogue.Fairway, catalogue.Hybrid} {
		for n := int(about) - 1; n <= int(about)+1; n++ {
			if n > 0 {
				t.shape(space.Draft{Kind: kind, Number: n})
			}
		}
	}
}

// tenth is a small round step beside a figure: 0.1 beside 35, 0.01 beside 2.8.
func tenth(n float64) float64 { return space.StepBeside(n) / 10 }
