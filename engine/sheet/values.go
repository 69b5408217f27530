package sheet

// This file reads single cells: yes and no, days, names of methods, repeated readings;
// and refuses what no measurement gives.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// senseless is what is wrong with an amount that cannot be meant; nil where nothing is.
func senseless(col *column, s string, v float64) *fault {
	if v > 0 && v <= math.MaxFloat64 && col.property.ID != catalogue.Number {
		return nil
	}
	f, holds := new(fault), col.format.Dim.Article()
	switch within := catalogue.Senseless(col.property, v); {
	case math.IsInf(v, 0) || math.IsNaN(v):
		f.message = fmt.Sprintf("%s is far too large or too small; expected %s", diag.Quote(s), holds)
	case within == "":
		return nil
	case col.property.ID == catalogue.Number:
		f.message = fmt.Sprintf("%s is not a club's number; expected %s, as in 7", diag.Quote(s), within)
	default:
		f.message = fmt.Sprintf("%s cannot be the %s of a club; expected %s %s",
			diag.Quote(s), col.property.Name, holds, within)
	}
	return f
}

// quantity reads a cell of a numeric property: one reading, or several divided by ; or |, whose mean is the amount. A
// half-width may be behind the last and is that of the mean.
func (p *Parser) quantity(c *club.Club, col *column, s string) {
	format, parts := col.format, []string{s}
	cell, err := unit.ParseCell(s, format)
	if err == nil && !cell.HasHalf && senseless(col, s, cell.Base) == nil { // as in nearly every cell
		c.SetAmount(col.property.ID, cell.Base)
		c.Metric = c.Metric || cell.Unit.Metric()
		return
	}
	if err != nil && strings.ContainsAny(s, "|;") {
		parts = strings.Split(strings.ReplaceAll(s, ";", "|"), "|")
	}
	n := len(parts)
	if n > 1 && p.opts.Standard != nil {
		p.fault(col, s, diag.Quote(s)+" is more than one figure; expected what is ordered, which is one", "")
		return
	}
	if n > 1 && format.Unit == nil && !format.Dim.Pure() {
		if last, err := unit.ParseCell(parts[n-1], format); err == nil {
			format.Unit = last.Unit
		}
	}
	p.values = p.values[:0]
	for i, part := range parts {
		if n > 1 {
			part = strings.TrimSpace(part)
			cell, err = unit.ParseCell(part, format)
		}
		f := senseless(col, part, cell.Base)
		switch {
		case part == "":
			f = &fault{message: diag.Quote(s) + " has an empty place among its readings; " +
				"expected readings separated by ; or |, as in 44 3/4 | 44 7/8"}
		case err != nil:
			f = quantityFault(col, part, err)
			if n > 1 {
				f.message = fmt.Sprintf("reading %d of %d: %s", i+1, n, f.message)
			}
			if p.opts.Standard != nil {
				f.message += ", or a form such as " + relativeForms
			}
		case cell.HasHalf && i < n-1:
			f = &fault{message: fmt.Sprintf("%s has +/- after reading %d of %d; "+
				"expected it after the last one only, for the mean of them all", diag.Quote(s), i+1, n)}
		}
		if f != nil && f.heading && p.badAnyway(c, *col, s) {
			return
		}
		if p.blame(col, s, f) {
			return
		}
		p.values = append(p.values, cell.Base)
		c.Metric = c.Metric || cell.Unit.Metric()
	}
	r := club.Reading{Property: col.property.ID, Half: cell.Half, HasHalf: cell.HasHalf}
	c.SetAmount(r.Property, club.Reading{Values: p.values}.Mean())
	if n > 1 {
		r.Values, r.Unit, r.Read = slices.Clone(p.values), cell.Unit, s
	}
	c.SetReading(r)
}

// badAnyway reports whether a cell is bad even with a unit in its heading, and blames it for that.
func (p *Parser) badAnyway(c *club.Club, col column, s string) bool {
	n := len(p.faults) + len(p.unread)
	col.format.Unit = unit.Base(col.format.Dim)
	p.quantity(c.Clone(), &col, s)
	return len(p.faults)+len(p.unread) > n
}

// methodOf returns the method of that name, in whatever case.
func methodOf(o *Options, s string) (string, *fault) {
	if o.MethodNames == nil {
		return strings.Clone(s), nil
	}
	i := slices.Index(o.MethodNames, s)
	if i < 0 {
		i = slices.Index(o.MethodNames, plainName(s))
	}
	if i >= 0 {
		return o.MethodNames[i], nil
	}
	if !utf8.ValidString(s) {
		return "", notUTF8(s)
	}
	near, _ := diag.Nearest(plainName(s), o.MethodNames)
	return "", &fault{hint: near, message: diag.Quote(s) +
		" is not a method that the rule books know; expected one of " + strings.Join(o.MethodNames, ", ")}
}

// printable checks that a text has no character that cannot be printed.
func (p *Parser) printable(col *column, s string) bool {
	return !p.blame(col, s, oddText(s))
}

// oddText returns what is wrong with a cell of text; nil where nothing is.
func oddText(s string) *fault {
	if f := spreadsheetFault(s); f != nil {
		return f
	}
	switch {
	case cells.Printable(s):
		return nil
	case !utf8.ValidString(s):
		return notUTF8(s)
	}
	return &fault{message: diag.Quote(s) + " has a character that cannot be printed; expected plain text in UTF-8"}
}

// days are how people write days. Those of figures alone are read only where they can mean one day.
var days = []string{time.DateOnly, "2006/1/2", "2006.1.2", "2 January 2006", "2 Jan 2006", "2-Jan-2006",
	"2. January 2006", "January 2, 2006", "Jan 2, 2006", "January 2 2006", "Jan 2 2006"}

// clock is the time of day behind a day.
var clock = regexp.MustCompile(`(?i)[T ]+\d{1,2}:\d{2}(:\d{2}([.,]\d+)?)?( ?[ap]m|Z|[+-]\d{2}:?\d{2})?$`)

// figures are a day in figures alone, the year last.
var figures = regexp.MustCompile(`^(\d{1,2})([/.])(\d{1,2})[/.](\d{4})$`)

// dayOf reads a day such as 2026-04-18 or 18 April 2026, with or without a time.
func dayOf(s string) (time.Time, *fault) {
	if t, err := time.Parse(time.DateOnly, s); err == nil && t.Year() >= unit.FirstYear {
		return t, nil
	}
	if f := oddText(s); f != nil {
		return time.Time{}, f
	}
	const expected = "; expected year, month and day, as in 2026-04-18"
	day := strings.Join(strings.Fields(clock.ReplaceAllString(s, "")), " ")
	layouts := days
	if p := figures.FindStringSubmatch(day); p != nil {
		first, _ := strconv.Atoi(p[1])
		second, _ := strconv.Atoi(p[3])
		switch {
		case first <= 12 && second <= 12 && first != second && first*second > 0:
			return time.Time{}, &fault{message: fmt.Sprintf("%s may be %d %s or %d %s%s", diag.Quote(s),
				first, time.Month(second), second, time.Month(first), expected)}
		case first > 12:
			layouts = []string{"2" + p[2] + "1" + p[2] + "2006"}
		default:
			layouts = []string{"1" + p[2] + "2" + p[2] + "2006"}
		}
	}
	for _, layout := range layouts {
		if t, err := time.Parse(layout, day); err == nil && t.Year() >= unit.FirstYear {
			return t, nil
		}
	}
	return time.Time{}, &fault{message: diag.Quote(s) + " is not a day" + expected + ", the year from 1900 on"}
}

// truths are what a yes and a no may be written as, in small letters.
var truths = map[string]float64{"yes": 1, "y": 1, "true": 1, "1": 1, "no": 0, "n": 0, "false": 0, "0": 0}
