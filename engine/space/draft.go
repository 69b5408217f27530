package space

// This file holds clubs that are tried: what is read of them, how a judge gets them, and how a
// sheet writes them.

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Reading is what is read of one property of a club. Properties are told apart by their names, so that
// a draft can be laid out for the books of either of two programs.
type Reading struct {
	Prop   catalogue.Property
	Unit   *unit.Unit // of a quantity: how it is written
	Amount float64    // base units of a quantity, days of a day, 1 and 0 of yes and no
	Half   float64    // half-width stated with it; 0 for none
	More   []float64  // of a quantity read several times: the readings before this one
	Text   string     // of a text or a hand
	None   bool       // of an order: its cell is empty
}

// there reports whether something was read.
func (r *Reading) there() bool { return r != nil && !r.None }

// Draft is a club that is tried. What it has no reading of is not measured.
type Draft struct {
	Kind     catalogue.Kind
	Number   int    // 0 for none; a driver's is 1
	Mark     string // in capitals; "" for none
	Method   string // of its length
	Readings []Reading
}

// Bag is the clubs of one set that are tried together.
type Bag []Draft

func (b Bag) Clone() Bag {
	out := make(Bag, len(b))
	for i, d := range b {
		d.Readings = slices.Clone(d.Readings)
		out[i] = d
	}
	return out
}

// Shrunk is a bag without the readings that it can do without, so that something still holds of it.
func (b Bag) Shrunk(holds func(Bag) bool) Bag {
	for i := range b {
		for k := len(b[i].Readings) - 1; k >= 0; k-- {
			fewer := b.Clone()
			fewer[i].Readings = slices.Delete(fewer[i].Readings, k, k+1)
			if holds(fewer) {
				b = fewer
				continue
			}
			for m := len(b[i].Readings[k].More); m > 0; m-- {
				fewer := b.Clone()
				one := &fewer[i].Readings[k]
				one.Read(slices.Delete(one.Values(), m, m+1))
				if holds(fewer) {
					b = fewer
				}
			}
		}
	}
	return b
}

// Put gives a property its reading, in the place of the one that it had.
func (d *Draft) Put(r Reading) {
	for i := range d.Readings {
		if d.Readings[i].Prop.Name == r.Prop.Name {
			d.Readings[i] = r
			return
		}
	}
	d.Readings = append(d.Readings, r)
}

// Take takes the reading of a property away.
func (d *Draft) Take(name string) {
	d.Readings = slices.DeleteFunc(d.Readings, func(r Reading) bool { return r.Prop.Name == name })
}

// Of is the reading of a property; nil for none.
func (d *Draft) Of(name string) *Reading {
	for i := range d.Readings {
		if d.Readings[i].Prop.Name == name && !d.Readings[i].None {
			return &d.Readings[i]
		}
	}
	return nil
}

// ID is the id of a club by its place in a bag or a case, counted from 0: a to z, then c27 and on.
func ID(n int) string {
	if n < 26 {
		return string(rune('a' + n))
	}
	return "c" + strconv.Itoa(n+1)
}

// Settled is an amount as a sheet writes it, and what that says; false where no club can have it, or no
// text of it is exact enough to be told from its neighbours.
func Settled(amount float64, p catalogue.Property, u *unit.Unit) (text string, exact float64, ok bool) {
	if math.IsNaN(amount) || math.IsInf(amount, 0) {
		return "", 0, false
	}
	if p.Sort == catalogue.SwingWeight && amount >= 0 && amount < 70 {
		text = unit.ExactSwing(amount)
	} else {
		text = unit.Exact(amount, u)
	}
	digits, below := strings.CutPrefix(text, "-")
	q, n, err := unit.Scan(digits)
	if err != nil || n != len(digits) {
		return "", 0, false
	}
	if exact = q.Base(); below {
		exact = -exact
	}
	if catalogue.Senseless(p, exact) != "" || !catalogue.Possible(p, exact) {
		return "", 0, false
	}
	return text, exact, math.Abs(exact-amount) <= 1e-8*max(1, math.Abs(amount))
}

// Plausible reports whether any bench could read an amount of a property: a length or a mass is not below
// nothing, whatever a sheet may hold.
func Plausible(p catalogue.Property, amount float64) bool {
	return amount >= 0 || p.Sort == catalogue.Angle || p.Sort == catalogue.SwingWeight || p.Sort == catalogue.Date
}

// Values are the readings of a quantity in their order, the one that is moved last.
func (r *Reading) Values() []float64 { return append(slices.Clone(r.More), r.Amount) }

// Read gives a quantity its readings.
func (r *Reading) Read(values []float64) {
	last := len(values) - 1
	r.More, r.Amount = values[:last:last], values[last]
}

// words is a reading as a cell of a sheet holds it.
func (r *Reading) words() string {
	texts := r.texts()
	if r.Half > 0 && !r.None {
		texts[len(texts)-1] += r.plusMinus()
	}
	return strings.Join(texts, " | ")
}

// texts are the single readings in words, without what is stated with them.
func (r *Reading) texts() []string {
	switch {
	case r.None:
		return nil
	case r.Prop.Sort == catalogue.Text:
		return []string{r.Text}
	case r.Prop.Sort == catalogue.YesNo:
		return []string{[2]string{"no", "yes"}[int(r.Amount)&1]}
	case r.Prop.Sort == catalogue.Date:
		return []string{book.Day(r.Amount).String()}
	}
	var out []string
	for _, v := range r.Values() {
		text, _, _ := Settled(v, r.Prop, r.Unit)
		out = append(out, text)
	}
	return out
}

// plusMinus is the half-width that is stated with a reading.
func (r *Reading) plusMinus() string { return " +/- " + unit.Exact(r.Half, r.Unit) }

// On reports whether the reading can be in a column that may hold these texts alone; nil for any.
func (r *Reading) On(list []string) bool { return list == nil || catalogue.Listed(list, r.Text) }

// Lay lays a bag out for a judge. What a schema does not know is left out: its books do not speak of it.
func (b Bag) Lay(schema *catalogue.Schema) *club.Set {
	set := &club.Set{File: "tried", Rows: len(b)}
	var order *club.Sheet
	if slices.ContainsFunc(b, func(d Draft) bool { return d.ordered() }) {
		order = &club.Sheet{File: "ordered"}
	}
	sheet := &club.Sheet{File: set.File, Order: order}
	for i := range b {
		c := &club.Club{}
		b[i].LayInto(c, schema)
		c.ID, c.Sheet, c.Row = ID(i), sheet, i+1
		set.Clubs = append(set.Clubs, c)
	}
	return set
}

// ordered reports whether an order beside the sheet has a row for the club.
func (d *Draft) ordered() bool {
	return slices.ContainsFunc(d.Readings, func(r Reading) bool { return r.Prop.Ordered })
}

// Club lays a club out by itself.
func (d *Draft) Club(schema *catalogue.Schema) *club.Club { return Bag{*d}.Lay(schema).Clubs[0] }

// LayInto lays a club out in one that is there already, with its order.
func (d *Draft) LayInto(c *club.Club, schema *catalogue.Schema) {
	order := c.Order
	if d.layInto(c, schema, false); !d.ordered() {
		return
	}
	if order == nil {
		order = &club.Club{}
	}
	d.layInto(order, schema, true)
	c.Order = order
}

// layInto lays out what was read of a club, or what was ordered.
func (d *Draft) layInto(c *club.Club, schema *catalogue.Schema, ordered bool) {
	c.Reset(schema.Len())
	c.Kind, c.Name = d.Kind, d.Name()
	if d.Number > 0 {
		c.SetAmount(catalogue.Number, float64(d.Number))
	}
	if d.Mark != "" {
		c.SetText(catalogue.Mark, d.Mark)
	}
	for i := range d.Readings {
		r := &d.Readings[i]
		p, ok := schema.Lookup(r.Prop.Column())
		switch {
		case !ok || r.None || r.Prop.Ordered != ordered:
		case p.Sort == catalogue.Text:
			c.SetText(p.ID, r.Text)
		default:
			more := club.Reading{Property: p.ID, Half: r.Half, HasHalf: r.Half > 0}
			mean := r.Amount
			if len(r.More) > 0 {
				more.Values = r.Values()
				mean = more.Mean()
			}
			c.SetAmount(p.ID, mean)
			if more.HasHalf || more.Values != nil {
				c.SetReading(more)
			}
			if p.ID == catalogue.LengthID {
				c.Method = d.Method
			}
		}
	}
}

// Name is the club as a person calls it: "7 iron" is "iron 7" here, as books write it.
func (d *Draft) Name() string {
	switch {
	case d.Number > 0 && d.Kind != catalogue.Driver:
		return d.Kind.String() + " " + strconv.Itoa(d.Number)
	case d.Mark != "":
		return d.Kind.String() + " " + d.Mark
	}
	return d.Kind.String()
}

// Cell is a member of a Row: the name of a column and what is there.
type Cell struct{ Name, Text string }

// Row is a row of a sheet, its cells in the order in which a person reads them.
type Row []Cell

// MarshalJSON writes the row as an object, ready to be a line of a sheet.
func (r Row) MarshalJSON() ([]byte, error) {
	var members []string
	for _, c := range r {
		name, _ := json.Marshal(c.Name) // every text can be written
		text, _ := json.Marshal(c.Text)
		members = append(members, string(name)+":"+string(text))
	}
	return []byte("{" + strings.Join(members, ",") + "}"), nil
}

// Rows are the clubs of a bag as rows of a sheet, each with what was ordered of it.
func (b Bag) Rows() []Row {
	out := make([]Row, len(b))
	for i := range b {
		d := &b[i]
		row := Row{{"id", ID(i)}}
		switch {
		case d.Kind == catalogue.Wedge && d.Number == 0 && slices.Contains(catalogue.Stamps, d.Mark):
			row = append(row, Cell{"club", d.Mark})
		case d.Mark == "" && d.Kind != catalogue.Wedge && (d.Number == 0 || d.Kind == catalogue.Driver):
			row = append(row, Cell{"club", d.Kind.String()})
		case d.Mark == "" && (d.Kind == catalogue.Fairway || d.Kind == catalogue.Hybrid || d.Kind == catalogue.Iron):
			row = append(row, Cell{"club", strconv.Itoa(d.Number) + " " + d.Kind.String()})
		default:
			row = append(row, Cell{"kind", d.Kind.String()})
			if d.Number > 0 && d.Kind != catalogue.Driver {
				row = append(row, Cell{"number", strconv.Itoa(d.Number)})
			}
			if d.Mark != "" {
				row = append(row, Cell{"mark", d.Mark})
			}
		}
		for k := range d.Readings {
			r := &d.Readings[k]
			row = append(row, Cell{r.Prop.Name, r.words()})
			if r.Prop.ID == catalogue.LengthID && !r.None {
				row = append(row, Cell{strings.TrimSuffix(r.Prop.Name, "length") + "by", d.Method})
			}
		}
		out[i] = row
	}
	return out
}

// Split takes what was ordered off rows: rows of an order, which has one where anything is asked of it.
func Split(rows []Row) (own, order []Row) {
	for _, row := range rows {
		var of, ordered Row
		for _, c := range row {
			if name, is := strings.CutPrefix(c.Name, "ordered "); is {
				ordered = append(ordered, Cell{name, c.Text})
			} else {
				of = append(of, c)
			}
		}
		if own = append(own, of); ordered != nil {
			which := func(c Cell) bool {
				return !slices.Contains([]string{"set", "id", "club", "kind", "number", "mark"}, c.Name)
			}
			order = append(order, append(slices.DeleteFunc(slices.Clone(of), which), ordered...))
		}
	}
	return own, order
}

// With is a club with one more reading.
func With(d Draft, r *Reading) Draft {
	d.Readings = slices.Clone(d.Readings)
	if r != nil {
		d.Put(*r)
	}
	return d
}

// Length is that of what is read of the clubs of a bag, as text.
func (b Bag) Length() int {
	n := 0
	for i := range b {
		n += 8 // for the club itself
		for k := range b[i].Readings {
			n += len(b[i].Readings[k].words())
		}
	}
	return n
}

// Step is a round step beside an amount, in base units: 1 in beside 46 in, 0.1 beside 5.
func Step(amount float64, u *unit.Unit) float64 {
	n := math.Abs(u.FromBase(amount))
	if n == 0 {
		return u.ToBase(1)
	}
	return u.ToBase(math.Pow(10, math.Floor(math.Log10(n))-1))
}

// Step is a round step beside the reading.
func (r *Reading) Step() float64 { return Step(r.Amount, r.Unit) }

// Moved is the club with a reading at another amount, as a sheet writes it; false where no club can have that.
func (d Draft) Moved(r *Reading, to float64) (Draft, bool) {
	_, exact, ok := Settled(to, r.Prop, r.Unit)
	if !ok || !Plausible(r.Prop, exact) {
		return d, false
	}
	moved := *r
	moved.Amount = exact
	return With(d, &moved), true
}
