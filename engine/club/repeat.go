package club

// This file reads several rows as repeated readings of one club.

import (
	"cmp"
	"slices"

	"ferrule/lang/catalogue"
)

// Repeat takes in another row of the club: what was measured there are further readings, and everything else has to be
// the same, or empty in one of the rows. Else nothing is taken in, and it returns what differs.
func (c *Club) Repeat(d *Club, s *catalogue.Schema) (differs string) {
	if c.Kind != d.Kind {
		return "kind"
	}
	if c.Method != "" && d.Method != "" && c.Method != d.Method {
		return "by"
	}
	for id := range catalogue.ID(s.Len()) {
		if p := s.Property(id); !measured(p) && c.Has(id) && d.Has(id) && !c.same(d, p) {
			return p.Name
		}
	}
	c.Method = cmp.Or(c.Method, d.Method)
	c.doubts = append(c.doubts, d.doubts...)
	for id := range catalogue.ID(s.Len()) {
		if p := s.Property(id); measured(p) {
			c.gather(d, p)
		} else if text, ok := d.Text(id); ok && p.Sort == catalogue.Text && !c.Has(id) {
			c.SetText(id, text)
		} else if amount, ok := d.Amount(id); ok && p.Sort != catalogue.Text && !c.Has(id) {
			c.SetAmount(id, amount)
		}
	}
	c.open = append(c.open, d.open...)
	return ""
}

// SameClub reports whether two rows name one club: of one kind, with one number and one mark as far as both have them.
func (c *Club) SameClub(d *Club) bool {
	text := func(c *Club) string { s, _ := c.Text(catalogue.Mark); return s }
	a, numbered := c.Amount(catalogue.Number)
	b, both := d.Amount(catalogue.Number)
	return c.Kind == d.Kind && (!numbered || !both || a == b) &&
		(text(c) == "" || text(d) == "" || catalogue.Same(text(c), text(d)))
}

// measured reports whether a property may be read again and give another figure.
func measured(p catalogue.Property) bool { return p.Sort.Numeric() && p.ID != catalogue.Number }

// same reports whether both rows have one value of a property that is not measured.
func (c *Club) same(d *Club, p catalogue.Property) bool {
	if p.Sort == catalogue.Text {
		a, _ := c.Text(p.ID)
		b, _ := d.Text(p.ID)
		return catalogue.Same(a, b)
	}
	a, _ := c.Amount(p.ID)
	b, _ := d.Amount(p.ID)
	return a == b
}

// gather takes in the readings of a measured property. The widest half-width counts. Where one of the readings is a
// slip, the club has no value of the property.
func (c *Club) gather(d *Club, p catalogue.Property) {
	values := slices.Concat(c.Readings(p.ID), d.Readings(p.ID))
	a, b := c.Reading(p.ID), d.Reading(p.ID)
	c.Unset(p.ID)
	c.more = slices.DeleteFunc(c.more, func(r Reading) bool { return r.Property == p.ID })
	if len(values) == 0 || c.Slip(p.ID) != "" {
		return
	}
	r := Reading{Property: p.ID, Half: max(a.Half, b.Half), HasHalf: a.HasHalf || b.HasHalf,
		Unit: cmp.Or(a.Unit, b.Unit)}
	if len(values) > 1 {
		r.Values = values
	}
	c.SetAmount(p.ID, Reading{Values: values}.Mean())
	if len(values) > 1 || r.HasHalf {
		c.SetReading(r)
	}
	if len(values) > 1 {
		c.Weigh(&p, "")
	}
}
