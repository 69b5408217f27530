package trial

// This file holds clubs that are tried: laid out for a judge, and written as lines of a case.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// shape is what stands behind the id of a club: its kind with its number or mark.
type shape struct {
	kind   catalogue.Kind
	number int    // 0 for none
	mark   string // "" for none
}

// String is the shape as a book writes it: "iron 6", `wedge "PW"`.
func (s shape) String() string {
	switch {
	case s.number > 0 && s.kind != catalogue.Driver:
		return s.kind.String() + " " + strconv.Itoa(s.number)
	case s.mark != "":
		return s.kind.String() + " " + quoted(s.mark)
	}
	return s.kind.String()
}

// datum is one reading of a club that is tried.
type datum struct {
	prop   catalogue.Property
	unit   *unit.Unit // of a quantity
	amount float64    // of a quantity, or a day, in base units
	more   []float64  // further readings of a quantity
	half   float64    // half-width in base units; 0 for none
	text   string     // of a text, a hand, a yes-no
	by     string     // the method of a length
}

// draft is a club that is tried.
type draft struct {
	shape
	data []datum
}

// scene is a bag that is tried.
type scene []draft

// clone is a copy that shares nothing.
func (s scene) clone() scene {
	out := make(scene, len(s))
	for i, d := range s {
		out[i] = draft{d.shape, slices.Clone(d.data)}
		for k := range out[i].data {
			out[i].data[k].more = slices.Clone(out[i].data[k].more)
		}
	}
	return out
}

// written is an amount as a case writes it, and what that says exactly; false where
// no short text says it.
func written(amount float64, p catalogue.Property, u *unit.Unit) (text string, exact float64, ok bool) {
	const longest = 14
	if p.Sort == catalogue.SwingWeight && u.Dim == unit.Swing {
		text = unit.ExactSwing(amount)
	} else {
		text = unit.Exact(amount, u)
	}
	sign, digits := 1.0, text
	if rest, below := strings.CutPrefix(text, "-"); below {
		sign, digits = -1, rest
	}
	q, n, err := unit.Scan(digits)
	if err != nil || n != len(digits) || len(digits)-len(u.Name) > longest {
		return "", 0, false
	}
	exact = sign * q.Base()
	return text, exact, unit.Compare(exact, amount) == 0 || amount == 0 && exact == 0
}

// settle rounds the amounts to what their texts say; false where one cannot be said, or
// no club can have it.
func (d *datum) settle() bool {
	if !d.prop.Sort.Numeric() {
		return true
	}
	for i := range 1 + len(d.more) {
		one := d.reading(i)
		_, exact, ok := written(*one, d.prop, d.unit)
		if !ok || catalogue.Senseless(d.prop, exact) != "" || !catalogue.Possible(d.prop, exact) || exact < 0 && d.prop.Sort != catalogue.Angle && d.prop.Sort != catalogue.SwingWeight {
			return false
		}
		*one = exact
	}
	if d.half > 0 {
		_, half, ok := written(d.half, catalogue.Property{}, d.unit)
		d.half = half
		return ok && half > 0
	}
	return true
}

// reading is the first reading, or a further one, counted from 1.
func (d *datum) reading(i int) *float64 {
	if i == 0 {
		return &d.amount
	}
	return &d.more[i-1]
}

// coarse is a half-width that a reading may be stated with: 1/16 in for the length of a
// club, else five small round steps.
func (d *datum) coarse() float64 {
	if inch := unit.Base(unit.Length); d.unit.Dim == unit.Length && d.amount > inch.ToBase(8) {
		return inch.ToBase(1.0 / 16)
	}
	return d.unit.ToBase(5 * tenth(d.unit.FromBase(d.amount)))
}

// lay lays a scene out as a bag; false where an amount of it cannot be written.
func (s scene) lay(size int) (*club.Set, bool) {
	set := &club.Set{File: "tried", Rows: len(s)}
	sheet := &club.Sheet{File: set.File}
	for i := range s {
		d := &s[i]
		c := &club.Club{}
		c.Reset(size)
		c.ID, c.Sheet, c.Row, c.Kind, c.Name = strconv.Itoa(i), sheet, i+1, d.kind, d.String()
		if d.number > 0 {
			c.SetAmount(catalogue.Number, float64(d.number))
		}
		if d.mark != "" {
			c.SetText(catalogue.Mark, d.mark)
		}
		for k := range d.data {
			one := &d.data[k]
			if !one.settle() {
				return nil, false
			}
			switch one.prop.Sort {
			case catalogue.Text:
				c.SetText(one.prop.ID, one.text)
				continue
			case catalogue.YesNo:
				c.SetAmount(one.prop.ID, map[string]float64{"yes": 1}[one.text])
				continue
			}
			mean := one.amount
			r := club.Reading{Property: one.prop.ID, Half: one.half, HasHalf: one.half > 0}
			if len(one.more) > 0 {
				r.Values = append([]float64{one.amount}, one.more...)
				mean = r.Mean()
			}
			c.SetAmount(one.prop.ID, mean)
			if r.HasHalf || r.Values != nil {
				c.SetReading(r)
			}
			if one.prop.ID == catalogue.LengthID {
				c.Method = one.by
			}
		}
		set.Clubs = append(set.Clubs, c)
	}
	return set, true
}

// line is a club of a case, "club a: iron 6, lie 62 deg".
func (d *draft) line(id string) string {
	parts := []string{d.String()}
	for _, one := range d.data {
		for i := range 1 + len(one.more) {
			parts = append(parts, one.words(i))
		}
	}
	return fmt.Sprintf("  club %s: %s\n", id, strings.Join(parts, ", "))
}

// words is a reading as a case writes it: "lie 62 deg +/- 0.5 deg".
func (d *datum) words(i int) string {
	value := ""
	switch {
	case d.prop.ID == catalogue.Hand, d.prop.Sort == catalogue.YesNo:
		value = d.text
	case d.prop.Sort == catalogue.Text:
		value = quoted(d.text)
	case d.prop.Sort == catalogue.Date:
		value = book.Day(d.amount).String()
	default:
		value, _, _ = written(*d.reading(i), d.prop, d.unit)
		if d.half > 0 {
			half, _, _ := written(d.half, catalogue.Property{}, d.unit)
			value += " +/- " + half
		}
	}
	if d.by != "" {
		value += " by " + d.by
	}
	return d.prop.Name + " " + value
}
