package sheet

// This file reads figures of an order that are relative to a standard: "std", "+1/2 in", "2 deg up", "1 deg weak".

import (
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// Standard says what a club has of a property by the chart of the rule books, and by which method a length is meant.
// Why says, behind "and", that there is no such figure.
type Standard func(p catalogue.Property, c *club.Club) (base float64, method, why string)

// turns are what people say of a figure that is off the standard: what of, and whether the figure is larger (common
// practice: an upright club has more lie, a weak one more loft).
var turns = map[string]struct {
	of   catalogue.ID
	sign float64
}{
	"up": {catalogue.Lie, 1}, "upright": {catalogue.Lie, 1}, "flat": {catalogue.Lie, -1},
	"weak": {catalogue.Loft, 1}, "strong": {catalogue.Loft, -1},
	"long": {catalogue.LengthID, 1}, "over": {catalogue.LengthID, 1},
	"short": {catalogue.LengthID, -1}, "under": {catalogue.LengthID, -1},
}

// relativeForms are examples of what an order may say off a standard.
const relativeForms = "std, +1/2 in, -1/4 in, 2 deg up, 1 deg flat, 1 deg weak or 1 deg strong"

// relative is a figure that is relative to a standard.
type relative struct {
	col  *column
	read string
	by   unit.Cell // how far off the standard it is
}

// isRelative reports whether a cell of an order is relative to a standard: it begins with std or a sign, or ends with
// the way in which it is off. Off is the figure without std, signed, and turn that way; "" for none.
func isRelative(cell string) (off, turn string, is bool) {
	words := strings.Fields(cell)
	if len(words) == 0 || strings.HasPrefix(cell, "+/-") {
		return "", "", false
	}
	if first := strings.ToLower(words[0]); first == "std" || first == "std." || first == "standard" {
		words, is = words[1:], true
	}
	if n := len(words); n > 0 {
		if last := strings.ToLower(words[n-1]); turns[last].of != 0 {
			words, turn, is = words[:n-1], last, true
		}
	}
	off = strings.Join(words, " ")
	return off, turn, is || strings.HasPrefix(off, "+") || strings.HasPrefix(off, "-") || strings.HasPrefix(off, "−")
}

// offStandard reads a cell that is relative to a standard; false where it is not.
func (p *Parser) offStandard(col *column, s string) bool {
	off, turn, is := isRelative(s)
	if !is {
		return false
	}
	r := relative{col: col, read: s}
	format, of := col.format, turns[turn].of
	if format.Dim == unit.Swing && format.Unit == nil {
		format.Unit = unit.Base(unit.Swing)
	}
	const expected = "; expected a form such as " + relativeForms
	signed := strings.IndexAny(off, "+-−") == 0
	if off != "" {
		cell, err := unit.ParseCell(off, format)
		if err != nil {
			return p.blame(col, off, quantityFault(col, off, err))
		}
		r.by = cell
	}
	switch {
	case of != 0 && of != col.property.ID:
		p.fault(col, s, fmt.Sprintf("%s is a way to order %s, not %s%s", diag.Quote(turn),
			p.opts.Schema.Property(of).Name, col.property.Name, expected), "")
	case of != 0 && (off == "" || signed && r.by.Base < 0), of == 0 && off != "" && !signed:
		p.fault(col, s, diag.Quote(s)+" does not say how far off the standard it is"+expected, "")
	default:
		if of != 0 {
			r.by.Base *= turns[turn].sign
		}
		p.off = append(p.off, r)
	}
	return true
}

// settle gives a club the figures that its row has relative to a standard.
func (p *Parser) settle(c *club.Club) {
	for _, r := range p.off {
		q := r.col.property
		base, method, why := p.opts.Standard(q, c)
		switch {
		case c.Kind == catalogue.NoKind: // which is told of already
		case why != "":
			p.fault(r.col, r.read, diag.Quote(r.read)+" is relative to a standard, and "+why+
				"; write the figure itself", "")
		case q.ID == catalogue.LengthID && p.by && c.Method != "" && c.Method != method:
			p.fault(r.col, r.read, fmt.Sprintf("%s is relative to a standard length by %s, and the row says by %s; "+
				"leave by empty, or write the length", diag.Quote(r.read), method, c.Method), "")
		default:
			if p.blame(r.col, r.read, senseless(r.col, r.read, base+r.by.Base)) {
				break
			}
			if q.ID == catalogue.LengthID {
				c.Method, p.by = method, true
			}
			c.SetAmount(q.ID, base+r.by.Base)
			if r.by.HasHalf {
				c.SetReading(club.Reading{Property: q.ID, Half: r.by.Half, HasHalf: true})
			}
			c.Metric = c.Metric || r.by.Unit.Metric()
			continue
		}
		c.SetOpen(q.ID)
	}
	p.off = slices.Delete(p.off, 0, len(p.off))
}
