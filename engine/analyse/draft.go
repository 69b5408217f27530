package analyse

// This file holds clubs that are tried: what is read of them, how a judge gets them, and how a
// sheet writes them.

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// reading is what is read of one property of a club. Properties are told apart by their names, so that
// a draft can be laid out for the books of either of two programs.
type reading struct {
	prop   catalogue.Property
	unit   *unit.Unit // of a quantity: how it is written
	amount float64    // base units of a quantity, days of a day, 1 and 0 of yes and no
	half   float64    // half-width stated with it; 0 for none
	more   []float64  // of a quantity read several times: the readings before this one
	text   string     // of a text or a hand
}

// draft is a club that is tried. What it has no reading of is not measured.
type draft struct {
	kind     catalogue.Kind
	number   int    // 0 for none; a driver's is 1
	mark     string // in capitals; "" for none
	method   string // of its length
	readings []reading
}

// bag is the clubs of one set that are tried together.
type bag []draft

func (b bag) clone() bag {
	out := make(bag, len(b))
	for i, d := range b {
		d.readings = slices.Clone(d.readings)
		out[i] = d
	}
	return out
}

// put gives a property its reading, in the place of the one that it had.
func (d *draft) put(r reading) {
	for i := range d.readings {
		if d.readings[i].prop.Name == r.prop.Name {
			d.readings[i] = r
			return
		}
	}
	d.readings = append(d.readings, r)
}

// take takes the reading of a property away.
func (d *draft) take(name string) {
	d.readings = slices.DeleteFunc(d.readings, func(r reading) bool { return r.prop.Name == name })
}

// of is the reading of a property; nil for none.
func (d *draft) of(name string) *reading {
	for i := range d.readings {
		if d.readings[i].prop.Name == name {
			return &d.readings[i]
		}
	}
	return nil
}

// ids are the ids of the clubs of a bag.
func ids(n int) string {
	if n < 26 {
		return string(rune('a' + n))
	}
	return "c" + strconv.Itoa(n+1)
}

// settled is an amount as a sheet writes it, and what that says; false where no club can have it, or no
// text of it is exact enough to be told from its neighbours.
func settled(amount float64, p catalogue.Property, u *unit.Unit) (text string, exact float64, ok bool) {
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

// plausible tells whether any bench could read an amount of a property: a length or a mass is not below
// nothing, whatever a sheet may hold.
func plausible(p catalogue.Property, amount float64) bool {
	return amount >= 0 || p.Sort == catalogue.Angle || p.Sort == catalogue.SwingWeight || p.Sort == catalogue.Date
}

// words is a reading as a cell of a sheet holds it.
func (r *reading) words() string {
	switch r.prop.Sort {
	case catalogue.Text:
		return r.text
	case catalogue.YesNo:
		return [2]string{"no", "yes"}[int(r.amount)&1]
	case catalogue.Date:
		return book.Day(r.amount).String()
	}
	text, _, _ := settled(r.amount, r.prop, r.unit)
	for i := len(r.more) - 1; i >= 0; i-- {
		before, _, _ := settled(r.more[i], r.prop, r.unit)
		text = before + " | " + text
	}
	if r.half > 0 {
		text += " +/- " + unit.Exact(r.half, r.unit)
	}
	return text
}

// lay lays a bag out for a judge. What a schema does not know is left out: its books do not speak of it.
func (b bag) lay(schema *catalogue.Schema) *club.Set {
	set := &club.Set{File: "tried", Rows: len(b)}
	sheet := &club.Sheet{File: set.File}
	for i := range b {
		c := &club.Club{}
		b[i].layInto(c, schema)
		c.ID, c.Sheet, c.Row = ids(i), sheet, i+1
		set.Clubs = append(set.Clubs, c)
	}
	return set
}

func (d *draft) layInto(c *club.Club, schema *catalogue.Schema) {
	c.Reset(schema.Len())
	c.Kind, c.Name = d.kind, d.name()
	if d.number > 0 {
		c.SetAmount(catalogue.Number, float64(d.number))
	}
	if d.mark != "" {
		c.SetText(catalogue.Mark, d.mark)
	}
	for i := range d.readings {
		r := &d.readings[i]
		p, ok := schema.Lookup(r.prop.Name)
		switch {
		case !ok:
		case p.Sort == catalogue.Text:
			c.SetText(p.ID, r.text)
		default:
			more := club.Reading{Property: p.ID, Half: r.half, HasHalf: r.half > 0}
			mean := r.amount
			if len(r.more) > 0 {
				more.Values = append(slices.Clone(r.more), r.amount)
				mean = more.Mean()
			}
			c.SetAmount(p.ID, mean)
			if more.HasHalf || more.Values != nil {
				c.SetReading(more)
			}
			if p.ID == catalogue.LengthID {
				c.Method = d.method
			}
		}
	}
}

// stamps are the marks that name a wedge by themselves.
var stamps = []string{"PW", "GW", "AW", "SW", "LW"}

// name is the club as a person calls it: "7 iron" is "iron 7" here, as books write it.
func (d *draft) name() string {
	switch {
	case d.number > 0 && d.kind != catalogue.Driver:
		return d.kind.String() + " " + strconv.Itoa(d.number)
	case d.mark != "":
		return d.kind.String() + " " + d.mark
	}
	return d.kind.String()
}

// Cell is a member of a Row: the name of a column and what stands there.
type Cell struct{ Name, Text string }

// Row is a row of a sheet, its cells in the order in which a person reads them.
type Row []Cell

// MarshalJSON writes the row as an object, ready to be a line of a sheet.
func (r Row) MarshalJSON() ([]byte, error) {
	out := []byte{'{'}
	for i, c := range r {
		name, err := json.Marshal(c.Name)
		if err != nil {
			return nil, err
		}
		text, err := json.Marshal(c.Text)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			out = append(out, ',')
		}
		out = append(append(append(out, name...), ':'), text...)
	}
	return append(out, '}'), nil
}

// rows are the clubs of a bag as rows of a sheet.
func (b bag) rows() []Row {
	out := make([]Row, len(b))
	for i := range b {
		d := &b[i]
		row := Row{{"id", ids(i)}}
		switch {
		case d.kind == catalogue.Wedge && d.number == 0 && slices.Contains(stamps, d.mark):
			row = append(row, Cell{"club", d.mark})
		case d.mark == "" && d.kind != catalogue.Wedge && (d.number == 0 || d.kind == catalogue.Driver):
			row = append(row, Cell{"club", d.kind.String()})
		case d.mark == "" && (d.kind == catalogue.Fairway || d.kind == catalogue.Hybrid || d.kind == catalogue.Iron):
			row = append(row, Cell{"club", strconv.Itoa(d.number) + " " + d.kind.String()})
		default:
			row = append(row, Cell{"kind", d.kind.String()})
			if d.number > 0 && d.kind != catalogue.Driver {
				row = append(row, Cell{"number", strconv.Itoa(d.number)})
			}
			if d.mark != "" {
				row = append(row, Cell{"mark", d.mark})
			}
		}
		for k := range d.readings {
			r := &d.readings[k]
			row = append(row, Cell{r.prop.Name, r.words()})
			if r.prop.ID == catalogue.LengthID {
				row = append(row, Cell{"by", d.method})
			}
		}
		out[i] = row
	}
	return out
}

// with is a club with one more reading.
func with(d draft, r *reading) draft {
	d.readings = slices.Clone(d.readings)
	if r != nil {
		d.put(*r)
	}
	return d
}

// phrase is a club in a sentence: "an iron 7".
func (d *draft) phrase() string {
	return unit.Article(d.name())
}

// key tells clubs apart by all that is read of them.
func (d *draft) key() string {
	key := fmt.Sprint(d.name(), "|", d.method)
	for i := range d.readings {
		key += "|" + d.readings[i].prop.Name + " " + d.readings[i].words()
	}
	return key
}

// length is that of what is read of the clubs of a bag, as text.
func (b bag) length() int {
	n := 0
	for i := range b {
		n += 8 // for the club itself
		for k := range b[i].readings {
			n += len(b[i].readings[k].words())
		}
	}
	return n
}
