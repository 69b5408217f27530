package club

// This file holds what is odd about a club's readings: those that are out of the common, and slips, which can hardly be
// readings of such a club at all and count as not measured.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Doubt is a reading that a person should look at again.
type Doubt struct {
	Of      catalogue.ID
	Row     Row
	Column  string // the heading of its column; "" where it has none
	Read    string // what was there, as read
	Message string // what is odd about it, one line without a full stop
	Slip    bool   // it can hardly be a reading, and counts as not measured
	Once    bool   // one note for the whole sheet is enough
}

// NewDoubt returns a doubt about what a club has under a property. Where nobody knows what was there, read is "".
func (c *Club) NewDoubt(p catalogue.Property, read, message string, slip bool) Doubt {
	d := Doubt{Of: p.ID, Row: c.Place(), Read: strings.Clone(read), Message: message, Slip: slip}
	if c.Sheet != nil && int(p.ID) < len(c.Sheet.Headings) {
		d.Column = c.Sheet.Headings[p.ID]
	}
	return d
}

// Lose takes a property's value away, and says why it counts as not measured.
func (c *Club) Lose(p catalogue.ID, why string) {
	if c.Has(p) {
		c.Unset(p)
		c.AddDoubt(Doubt{Of: p, Slip: true, Message: why})
	}
}

// AddDoubt adds what is odd about a reading.
func (c *Club) AddDoubt(d Doubt) { c.doubts = append(c.doubts, d) }

// Doubts are what is odd about the readings by themselves, whatever the books say.
func (c *Club) Doubts() []Doubt { return c.doubts }

// Slip says why what was read of a property counts as not measured; "" where it does not, or nothing was read.
func (c *Club) Slip(p catalogue.ID) string {
	for i := range c.doubts {
		if d := &c.doubts[i]; d.Of == p && d.Slip {
			return d.Message
		}
	}
	return ""
}

// marks are those of the coarsest ruler that a part of a club is measured with (common practice): an eighth of an inch.
var marks = unit.Base(unit.Length).ToBase(0.125)

// Weigh holds what was read of a numeric property against what a club of its kind can have and usually has. It holds
// repeats of what is read by no method against their half-width, those of a part else against the marks of a ruler.
// What cannot be is a slip: the club then has no amount of the property. Read is what was there; "" where nobody knows.
func (c *Club) Weigh(p *catalogue.Property, read string) {
	if !c.Has(p.ID) {
		return
	}
	g := catalogue.RangeOf(p, c.Kind)
	v := c.amounts[p.ID]
	points := p.Sort == catalogue.SwingWeight && v >= 0 && v < 70 && strings.ContainsAny(read, "pP") &&
		!strings.ContainsAny(read, "ABCDEFGabcdefg") // what is off the scale of letters has to be in points
	if len(c.more) == 0 && g.Usual.Holds(v) && !points {
		return
	}
	r := c.Reading(p.ID)
	message, slip := c.odd(*p, g, r)
	if slip {
		c.Unset(p.ID)
	} else if part := p.Like != 0 && p.Sort == catalogue.Length; !p.ByMethod && p.MethodIn == 0 && (r.HasHalf || part) {
		u, least := r.Half/math.Sqrt(3), 0.0
		if !r.HasHalf {
			u, least = marks/math.Sqrt(12), 2*marks
		}
		apart, far := r.Apart(*p, u, least)
		if message, slip = cmp.Or(message, apart), far; slip {
			message = apart
			c.have[p.ID>>6] &^= 1 << (p.ID & 63) // the readings stay, for rules that ask for them one by one
		}
	}
	if points && message == "" {
		message = fmt.Sprintf("%s counts from A0, as %s; write a swing weight as on the scale, like D2", read,
			shown(v, *p, nil))
	}
	if message != "" {
		c.AddDoubt(c.NewDoubt(*p, read, message, slip))
	}
}

// odd says what is odd about a reading of such a club; "" where nothing is.
func (c *Club) odd(p catalogue.Property, g *catalogue.Range, r Reading) (message string, slip bool) {
	beyond := func(s catalogue.Span) string {
		for _, v := range c.Readings(p.ID) {
			if !s.Holds(v) {
				return shown(v, p, r.Unit)
			}
		}
		return ""
	}
	what := fmt.Sprintf("the %s of %s", p.Name, c.Kind.Article())
	if v := beyond(g.Possible); v != "" {
		return fmt.Sprintf("%s cannot be %s, which is %s", v, what, g.Possible.Text(p)), true
	}
	if r.Half > g.MostHalf() {
		half := unit.Exact(r.Half, unit.Base(p.Sort.Dim()))
		return fmt.Sprintf("+/- %s is too wide for %s, which is %s", half, what, g.Possible.Text(p)), true
	}
	if v := beyond(g.Usual); v != "" {
		return fmt.Sprintf("%s is unusual for %s, which is mostly %s", v, what, g.Usual.Text(p)), false
	}
	return "", false
}

// shown is an amount as a person reads it; a nil unit is the usual one.
func shown(v float64, p catalogue.Property, u *unit.Unit) string {
	switch {
	case p.Sort == catalogue.SwingWeight:
		return unit.FormatSwing(v)
	case u == nil:
		u = unit.Base(p.Sort.Dim())
	}
	const long = 10
	if text := unit.Exact(v, u); len(text) <= long+len(u.Name) { // else as a spreadsheet gives it
		return text
	}
	return unit.Format(v, u)
}

// critical are the factors f(n) of the critical range for 2 to 10 readings (ISO 5725-6, from memory): 95 % of all
// ranges of n readings are at most f(n) standard deviations wide. Beyond 10 readings that of 10 serves.
var critical = [...]float64{2: 2.8, 3: 3.3, 4: 3.6, 5: 3.9, 6: 4.0, 7: 4.2, 8: 4.3, 9: 4.4, 10: 4.5}

// Apart says that repeated readings of one club lie further apart than such readings do, "" where they do not: beyond
// the critical range they are doubtful, beyond three times that a slip. U is the standard uncertainty of one reading,
// and least the least critical range.
func (r Reading) Apart(p catalogue.Property, u, least float64) (message string, slip bool) {
	if len(r.Values) < 2 {
		return "", false
	}
	most := max(least, u*critical[min(len(r.Values), len(critical)-1)])
	low, high := slices.Min(r.Values), slices.Max(r.Values)
	if unit.Compare(high-low, most) <= 0 {
		return "", false
	}
	if unit.Compare(high-low, 3*most) > 0 {
		return r.listed(p) + " cannot all be right: read it again", true
	}
	return r.listed(p) + " are further apart than such readings usually are: read it again", false
}

// listed are the readings as a person lists them: "46 3/4, 36 3/4 and 46 3/4 in"; of very many the lowest and the
// highest.
func (r Reading) listed(p catalogue.Property) string {
	const few = 10
	values := r.Values
	if len(values) > few {
		values = []float64{slices.Min(values), slices.Max(values)}
	}
	texts := lists.Each(values, func(v float64) string { return shown(v, p, r.Unit) })
	last := len(texts) - 1
	if i := strings.LastIndexByte(texts[last], ' '); i >= 0 { // the unit stands once
		for k := range texts[:last] {
			texts[k] = strings.TrimSuffix(texts[k], texts[last][i:])
		}
	}
	if len(r.Values) > few {
		return fmt.Sprintf("%d readings from %s to %s", len(r.Values), texts[0], texts[last])
	}
	return unit.Listed(texts, "and")
}
