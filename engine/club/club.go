// Package club holds a measured club as it came off a sheet: what was read, where
// it stood, and what was not measured. It knows nothing of rules.
package club

import (
	"iter"
	"slices"

	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Sheet is where clubs come from.
type Sheet struct {
	File     string
	Headings []string // by catalogue.ID: the heading of the property's column; "" where the sheet has none
	Table    bool     // each row has the same columns
	Order    *Sheet   // the order given beside it; nil where none was given
}

// HasNo reports whether no row of the sheet can have the property, as no column is for it.
func (s *Sheet) HasNo(p catalogue.ID) bool {
	return s.Table && p > catalogue.Mark && int(p) < len(s.Headings) && s.Headings[p] == ""
}

// Unused is a column of a sheet that nothing was read from.
type Unused struct {
	Row            // of the headings; of JSON Lines the first one that has it
	Column  string // its heading
	Nearest string // the known column with the nearest name, or the one read in its place; "" where none is near
}

// Row is a row of a sheet, counted from 1 with the heading as row 1.
type Row struct {
	File string
	Row  int
}

// Reading tells more about a property than its one amount: repeats and a stated
// half-width.
type Reading struct {
	Property catalogue.ID
	Values   []float64 // the single readings in base units; nil where there is one only
	Half     float64   // stated half-width in base units
	HasHalf  bool
	Unit     *unit.Unit // in which the single readings are shown; nil: the usual one
	Read     string     // of repeats what was there, as read; "" where nobody knows
}

// Mean is the mean of repeated readings.
func (r Reading) Mean() float64 {
	sum := 0.0
	for _, v := range r.Values {
		sum += v
	}
	return sum / float64(len(r.Values))
}

type textValue struct {
	property catalogue.ID
	text     string
}

// Club is one row of a sheet: a club, at one of its settings. Amounts are in base
// units (lang/unit); days are counted from 1970-01-01; yes is 1 and no is 0. What
// the row does not hold is not measured. The zero value has room for no property;
// Reset makes room.
type Club struct {
	ID      string
	Named   bool   // the sheet states the id; else it is made of the club's text
	Name    string // the club as the sheet says it: "7 iron"
	Kind    catalogue.Kind
	Loose   bool   // off a row that is refused: a property without a value may be anything
	Unsure  string // why it cannot be used though it was read, of a row of an order
	Setting string
	Metric  bool   // a length of it was read in a metric unit
	Method  string // how Length was taken; "" if there is no length
	On      string // the day it was measured, "2026-04-18"; "" where not said
	Who     string // who measured it, and what somebody noted of it: both as the sheet has them
	Note    string
	Sheet   *Sheet
	Row     int
	Next    *Club // the same club at another setting
	Order   *Club // the row of the order for it, Loose where it cannot be used; nil where there is none
	Apart   bool  // the order has none for this setting of it, and has one for another that is on the sheet

	amounts []float64
	have    []uint64
	open    []catalogue.ID // what the row says was not measured, and what it holds that could not be read
	more    []Reading
	texts   []textValue
	doubts  []Doubt
}

// Reset empties the club and makes room for properties with IDs below n, keeping
// its memory.
func (c *Club) Reset(n int) {
	amounts, have, open, more, texts, doubts := c.amounts, c.have, c.open[:0], c.more[:0], c.texts[:0], c.doubts[:0]
	if cap(amounts) < n {
		amounts = make([]float64, n)
		have = make([]uint64, (n+63)/64)
	}
	amounts, have = amounts[:n], have[:(n+63)/64]
	clear(have)
	*c = Club{amounts: amounts, have: have, open: open, more: more, texts: texts, doubts: doubts}
}

// Has reports whether the club has a value of the property, of whatever sort.
func (c *Club) Has(p catalogue.ID) bool {
	return int(p)>>6 < len(c.have) && c.have[p>>6]&(1<<(p&63)) != 0
}

// SetOpen notes that something is in the cell of a property and gives it no value, as a question mark does.
func (c *Club) SetOpen(p catalogue.ID) { c.open = append(c.open, p) }

// Empty reports whether the cell of a property is empty, or the sheet has none. Of a row that is refused nobody knows.
func (c *Club) Empty(p catalogue.ID) bool {
	return !c.Stated(p) && !c.Loose && !slices.Contains(c.open, p)
}

// SetAmount gives a numeric property, a day or a yes-no its value.
func (c *Club) SetAmount(p catalogue.ID, amount float64) {
	c.amounts[p] = amount
	c.have[p>>6] |= 1 << (p & 63)
}

// Unset takes a property's value away: it was not measured, or may be anything.
func (c *Club) Unset(p catalogue.ID) {
	if c.Has(p) {
		c.have[p>>6] &^= 1 << (p & 63)
		c.more = slices.DeleteFunc(c.more, func(r Reading) bool { return r.Property == p })
	}
}

// Clone returns a copy of the club alone, without its further settings, that shares nothing with it
// but its sheet.
func (c *Club) Clone() *Club {
	d := *c
	d.amounts, d.have = slices.Clone(c.amounts), slices.Clone(c.have)
	d.open = slices.Clone(c.open)
	d.more, d.texts, d.doubts = slices.Clone(c.more), slices.Clone(c.texts), slices.Clone(c.doubts)
	for i, r := range d.more {
		d.more[i].Values = slices.Clone(r.Values)
	}
	d.Next = nil
	return &d
}

// Shift adds by to a numeric property, each of its repeated readings included. A property that was not
// measured stays so.
func (c *Club) Shift(p catalogue.ID, by float64) {
	if !c.Has(p) {
		return
	}
	c.amounts[p] += by
	for _, r := range c.more {
		if r.Property == p {
			for i := range r.Values {
				r.Values[i] += by
			}
		}
	}
}

// Amount returns the value of a property: of repeated readings their mean. It is
// false where the property was not measured.
func (c *Club) Amount(p catalogue.ID) (float64, bool) {
	if !c.Has(p) {
		return 0, false
	}
	return c.amounts[p], true
}

// Stated reports whether something was read of a property, be it a slip.
func (c *Club) Stated(p catalogue.ID) bool { return c.Has(p) || c.Slip(p) != "" }

// AsRead returns what was read of a numeric property, be it a slip.
func (c *Club) AsRead(p catalogue.ID) (float64, bool) {
	if !c.Stated(p) {
		return 0, false
	}
	return c.amounts[p], true
}

// SetReading gives a property repeated readings or a stated half-width; the
// amount itself is set by SetAmount.
func (c *Club) SetReading(r Reading) { c.more = append(c.more, r) }

// Reading returns what is known of a property beyond its amount; the zero
// Reading where there is nothing more.
func (c *Club) Reading(p catalogue.ID) Reading {
	for _, r := range c.more {
		if r.Property == p {
			return r
		}
	}
	return Reading{Property: p}
}

// Repeats are the readings beyond one plain amount, of whatever property.
func (c *Club) Repeats() []Reading { return c.more }

// Readings returns the single readings of a property: none, one, or the repeats.
func (c *Club) Readings(p catalogue.ID) []float64 {
	if r := c.Reading(p); r.Values != nil {
		return r.Values
	}
	if a, ok := c.Amount(p); ok {
		return []float64{a}
	}
	return nil
}

// SetText gives a text property its value.
func (c *Club) SetText(p catalogue.ID, text string) {
	c.have[p>>6] |= 1 << (p & 63)
	for i := range c.texts {
		if c.texts[i].property == p {
			c.texts[i].text = text
			return
		}
	}
	c.texts = append(c.texts, textValue{p, text})
}

// Text returns the value of a text property; false if there is none.
func (c *Club) Text(p catalogue.ID) (string, bool) {
	if !c.Has(p) {
		return "", false
	}
	for _, t := range c.texts {
		if t.property == p {
			return t.text, true
		}
	}
	return "", false
}

// LengthUnit is the unit in which its lengths are shown.
func (c *Club) LengthUnit() *unit.Unit {
	if c.Metric {
		return millimetre
	}
	return unit.Base(unit.Length)
}

var millimetre = unit.Lookup("mm")

// Place returns the club's row.
func (c *Club) Place() Row {
	if c.Sheet == nil {
		return Row{Row: c.Row}
	}
	return Row{File: c.Sheet.File, Row: c.Row}
}

// Refusal is a row that could not be read as a club. What could be read of it
// is in Club, so that it can be told whether the row could change a verdict;
// a property of Club without a value may be anything.
type Refusal struct {
	Row     Row
	Column  string    // the heading of the faulty cell; "" where the row as a whole is faulty
	Read    string    // what was there, as read
	Message string    // what is wrong and what was expected, one line
	Hint    string    // the nearest right thing; may be empty
	Heading bool      // the hint is one for the heading, and mends all such cells of the column
	More    []Refusal // the other bad cells of the row, without a Club
	Set     string    // the set it belongs to
	AnySet  bool      // its set could not be read: it counts for every set of its file
	Again   bool      // given with an earlier set of its file already: list and count it there, not here
	Many    bool      // it stands for any number of such rows
	Club    *Club     // never nil; its Kind is NoKind where it could not be read
}

// Cells lists the bad cells of rows one after the other. A hint that mends a whole column is with the first of them.
func Cells(rows []Refusal) []Refusal {
	var out []Refusal
	told := map[[2]string]bool{}
	for _, row := range rows {
		for i, cell := range append([]Refusal{row}, row.More...) {
			if cell.More, cell.Again = nil, row.Again; i > 0 {
				cell.Club = row.Club
			}
			if column := [2]string{cell.Row.File, cell.Column}; cell.Heading && told[column] {
				cell.Hint = ""
			} else if cell.Heading {
				told[column] = true
			}
			out = append(out, cell)
		}
	}
	return out
}

// Set is one bag: the clubs of a set of a sheet, in the order of the rows. A Set
// without clubs carries refused rows only.
type Set struct {
	Name    string // "" where the sheet has no sets
	File    string
	Clubs   []*Club   // each club once, further settings behind Next
	Refused []Refusal // rows that belong, or could belong, to this set
	Rows    int       // rows of this set that became clubs; refused ones not counted
	Part    int       // which part of a set too large to be in hand at once this is, counted from 1; else 0
	Large   string    // and why, for a person
	Aside
}

// Aside is what a set brings of its sheet beside clubs and refused rows.
type Aside struct {
	NotRead    []Refusal // bad cells that nothing looks at; the row is read without them
	Unused     []Unused  // columns that nothing was read from, with the first set after they were seen
	Superseded int       // rows that do not count, as a later row of the same club does
	Skipped    int       // rows above the headings, with the first set
	Order      Beside    // what comes of the order beside it
}

// Add takes in what another set brings.
func (a *Aside) Add(b Aside) {
	a.NotRead, a.Unused = append(a.NotRead, b.NotRead...), append(a.Unused, b.Unused...)
	a.Superseded, a.Skipped = a.Superseded+b.Superseded, a.Skipped+b.Skipped
	a.Order.Add(b.Order)
}

// NewlyRefused are the refused rows that come with this set for the first time: the ones to list and to count with it.
func (s *Set) NewlyRefused() iter.Seq[Refusal] {
	return func(yield func(Refusal) bool) {
		for _, r := range s.Refused {
			if !r.Again && !yield(r) {
				return
			}
		}
	}
}
