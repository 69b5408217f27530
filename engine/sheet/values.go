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
	f, holds := &fault{column: col.heading, read: s}, col.format.Dim.Article()
	if math.IsInf(v, 0) || math.IsNaN(v) {
		f.message = fmt.Sprintf("%s is far too large or too small; expected %s", diag.Quote(s), holds)
		return f
	}
	if v > 0 && col.property.ID != catalogue.Number {
		return nil
	}
	switch within := catalogue.Senseless(col.property, v); {
	case within == "":
		return nil
	case col.property.ID == catalogue.Number:
		f.message = fmt.Sprintf("%s is not a club's number; expected %s, as in 7", diag.Quote(s), within)
	default:
		f.message = fmt.Sprintf("%s cannot be the %s of a club; expected %s %s", diag.Quote(s), col.property.Name, holds, within)
	}
	return f
}

// repeats reads several readings of one property. Their mean is the amount; a half-width
// may be behind the last and is that of the mean.
func (p *Parser) repeats(c *club.Club, col *column, s string) {
	parts := strings.Split(strings.ReplaceAll(s, ";", "|"), "|")
	if slices.Contains(parts, "") {
		p.fault(col, s, emptyPlace(s), "")
		return
	}
	format := col.format
	if last, err := unit.ParseCell(parts[len(parts)-1], format); err == nil && format.Unit == nil && !format.Dim.Pure() {
		format.Unit = last.Unit
	}
	r := club.Reading{Property: col.property.ID, Values: make([]float64, len(parts)), Read: s}
	for i, part := range parts {
		part = strings.TrimSpace(part)
		cell, err := unit.ParseCell(part, format)
		switch {
		case part == "":
			p.fault(col, s, emptyPlace(s), "")
			return
		case err != nil:
			f := quantityFault(col, part, err)
			f.read, f.message = s, fmt.Sprintf("reading %d of %d: %s", i+1, len(parts), f.message)
			p.note(col, f)
			return
		case cell.HasHalf && i < len(parts)-1:
			p.fault(col, s, fmt.Sprintf("%s has +/- after reading %d of %d; expected it after the last one only, for the mean of them all", diag.Quote(s), i+1, len(parts)), "")
			return
		}
		if f := senseless(col, part, cell.Base); f != nil {
			f.read = s
			p.note(col, *f)
			return
		}
		r.Values[i] = cell.Base
		r.Half, r.HasHalf, r.Unit = cell.Half, cell.HasHalf, cell.Unit
		c.Metric = c.Metric || cell.Unit.Metric()
	}
	c.SetAmount(col.property.ID, r.Mean())
	c.SetReading(r)
}

func emptyPlace(s string) string {
	return diag.Quote(s) + " has an empty place among its readings; expected readings separated by ; or |, as in 44 3/4 | 44 7/8"
}

// method returns the method that a cell names, "" where it names none.
func (p *Parser) method(col *column, s string) string {
	if m, ok := p.methods[s]; ok {
		return m
	}
	name, f := methodOf(p.opts, s)
	if f != nil {
		p.fault(col, s, f.message, f.hint)
		return ""
	}
	if p.methods == nil {
		p.methods = map[string]string{}
	}
	if len(p.methods) < remembered {
		p.methods[strings.Clone(s)] = name
	}
	return name
}

// methodOf returns the method of that name, in whatever case.
func methodOf(o Options, s string) (string, *fault) {
	for _, name := range []string{s, plainName(s)} {
		if slices.Contains(o.MethodNames, name) {
			return strings.Clone(name), nil
		}
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
	plain := s[0] != '#' && s[0] != '='
	for i := 0; plain && i < len(s); i++ {
		plain = s[i]-' ' < 0x7f-' '
	}
	if plain {
		return true
	}
	f := oddText(s)
	if f != nil {
		p.fault(col, s, f.message, f.hint)
	}
	return f == nil
}

// oddText returns what is wrong with a cell of text; nil where nothing is.
func oddText(s string) *fault {
	if f := spreadsheetFault(s); f != nil {
		return f
	}
	if !utf8.ValidString(s) {
		return notUTF8(s)
	}
	if !cells.Printable([]byte(s)) {
		return &fault{message: diag.Quote(s) + " has a character that cannot be printed; expected plain text in UTF-8"}
	}
	return nil
}

// days are how people write days. Those of figures alone are read only where they can mean one day.
var days = []string{time.DateOnly, "2006/1/2", "2006.1.2", "2 January 2006", "2 Jan 2006", "2-Jan-2006", "2. January 2006",
	"January 2, 2006", "Jan 2, 2006", "January 2 2006", "Jan 2 2006"}

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
