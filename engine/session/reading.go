package session

// This file takes a reading: it finds its amounts, its unit and its method, and asks about what is doubtful.

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// usual is the unit of a reading without one: that of --unit for a length, else that of the heading, else the usual one
// of the property. A swing weight has none.
func (s *Session) usual(p catalogue.Property) *unit.Unit {
	i := s.layout.Find(p.Name)
	switch {
	case p.Sort.Dim() == unit.Length && s.Unit != nil:
		return s.Unit
	case i >= 0 && s.layout.Formats[i].Unit != nil:
		return s.layout.Formats[i].Unit
	case p.Sort == catalogue.SwingWeight:
		return nil
	}
	return unit.Base(p.Sort.Dim())
}

// amounts reads the readings of a numeric property: several are divided by | or ;, or by blanks alone. One without a
// unit has the one that is given; nil for none.
func (s *Session) amounts(p catalogue.Property, text string, usual *unit.Unit) (out []Amount, err error) {
	for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == '|' || c == ';' }) {
		_, whole := s.amount(p, strings.TrimSpace(part), usual)
		for fields := strings.Fields(part); len(fields) > 0; {
			n := len(fields)
			a, wrong := s.amount(p, strings.Join(fields, " "), usual)
			for ; wrong != nil && n > 1; a, wrong = s.amount(p, strings.Join(fields[:n], " "), usual) {
				n--
			}
			if wrong != nil {
				said := strings.Replace(whole.Message, ", but the column is for ", "; expected ", 1)
				return nil, fmt.Errorf("%s: %s; type it like %s", p.Name, strings.TrimSuffix(said, "."), example(p))
			}
			out, fields = append(out, a), fields[n:]
		}
	}
	if out == nil {
		return nil, errors.New("there is no reading in it")
	}
	return out, nil
}

// amount reads a single reading.
func (s *Session) amount(p catalogue.Property, text string, usual *unit.Unit) (Amount, *unit.Error) {
	f := unit.CellFormat{Dim: p.Sort.Dim(), DecimalComma: s.layout.Comma != 0 && s.layout.Comma != ','}
	c, err := unit.ParseCell(text, f)
	if f.Unit = usual; err != nil && usual != nil {
		if c, err = unit.ParseCell(text, f); err == nil {
			text += " " + usual.Name
		}
	}
	if err != nil {
		return Amount{}, err
	}
	base := c.Unit.FromBase(c.Base)
	return Amount{&base, c.Unit.Name, text}, nil
}

// put takes a reading of a property of a club, which replaces what was read before.
func (s *Session) put(line string, at spot, p catalogue.Property, read, by string) Answer {
	e := s.entry("", line, at)
	e.Property, e.Value = p.Name, []Amount{{Text: read}}
	if p.Sort.Numeric() {
		var err error
		if e.Value, err = s.amounts(p, read, s.usual(p)); err != nil {
			return s.wrong(line, "%s", sentence(err))
		}
	}
	return s.putBy(e, p, by)
}

// putBy takes a reading by a method, which it finds where none is named.
func (s *Session) putBy(e Entry, p catalogue.Property, by string) Answer {
	if p.ID != catalogue.LengthID {
		if by != "" {
			return s.wrong(e.Text, "Only a length is read by a method, not %s.", p.Name)
		}
		return s.try(e, p)
	}
	b, c := s.find(e.spot())
	if e.By = cmp.Or(by, s.by, s.Sheet.By, s.stated(e.spot(), c), s.asked(b, c)); e.By == "" {
		t := *s
		t.ask = &Answer{Entry: &e}
		return Answer{Next: &t, Text: para("By which method? The books know " + listed(s.Sheet.MethodNames) + ".")}
	}
	return s.try(e, p)
}

// stated is the method in a club's row; "" where it names none.
func (s *Session) stated(at spot, c *club.Club) string {
	m, _ := sheet.MethodOf(s.stood(at, "by"), s.Sheet)
	return cmp.Or(c.Method, m)
}

// asked is the method by which the rules that miss a length of a club ask for it, the first that covers it.
func (s *Session) asked(b *bag, c *club.Club) string {
	keys := book.NewKeys(false)
	for _, r := range b.results {
		misses := func(l value.Lack) bool { return l.Club == c.Called() && l.Property == "length" }
		if r.Verdict != decide.Unmeasured || !slices.ContainsFunc(r.Lacks, misses) {
			continue
		}
		for _, m := range keys.Rule(r.Rule).Methods {
			if s.Sheet.Covers(m, c) == "" {
				return m
			}
		}
	}
	return ""
}

// try takes a reading as the sheet would have it. What is doubtful is asked about first.
func (s *Session) try(e Entry, p catalogue.Property) Answer {
	a := s.took(e, func(t *Session) string { return t.echo(e, p, s) })
	if a.Entry == nil {
		return a
	}
	b, c := a.Next.find(e.spot())
	for _, odd := range s.Judge.Doubts(b.set) {
		if odd.Of == p.ID && odd.Row.Row == c.Row {
			t := *s
			t.ask = &a
			said := fmt.Sprintf("The %s of the %s: %s. It is not taken yet.", p.Name, wording.Called(c), odd.Message)
			return Answer{Next: &t, Text: para(said)}
		}
	}
	return a
}

// refused says why the row of a club, or the cell in a column of it, cannot be read.
func refused(b *bag, c *club.Club, column string) error {
	if b != nil && c != nil {
		for _, r := range slices.Concat(b.set.Refused, b.set.NotRead) {
			if r.Row.Row == c.Row && (column == "" || r.Column == column) {
				return &sheet.Problem{Message: r.Message, Hint: r.Hint}
			}
		}
	}
	return errors.New("the sheet could not be read with it")
}

// absent says why there is no club at a spot: its row cannot be read, or the sheet has none.
func (s *Session) absent(at spot) error {
	if b := s.bag(at.set, s.bags); b != nil {
		for _, r := range b.set.Refused {
			if (spot{b.name, r.Club.ID, r.Club.Setting}).key() == at.key() {
				return fmt.Errorf("row %d of the sheet, %s, cannot be read: %s", r.Row.Row, at, r.Message)
			}
		}
	}
	return fmt.Errorf("the sheet has no %s", at)
}

// answered takes the answer to a question. Anything but an answer drops the reading and is a line of its own.
func (s *Session) answered(line string) Answer {
	q, t := s.ask, *s
	t.ask = nil
	name := strings.TrimSpace(strings.TrimPrefix(line, "by "))
	m, err := sheet.MethodOf(name, s.Sheet)
	switch answer := strings.ToLower(line); {
	case q.Next == nil && err == nil && name != "":
		p, _ := s.Sheet.Schema.Lookup(q.Entry.Property)
		return t.putBy(*q.Entry, p, m)
	case q.Next != nil && answer == "y":
		return *q
	case answer == "n":
		return Answer{Next: &t, Text: "Dropped.", Again: q.Entry.Text}
	}
	a := t.Line(line)
	a.Text = para(shown(q.Entry.Text)+" was dropped.") + a.Text
	return a
}

// examples are readings of properties as they may be typed, by their sorts.
var examples = map[catalogue.Sort]string{catalogue.Length: "44 3/4", catalogue.Angle: "61.5",
	catalogue.SwingWeight: "D2", catalogue.YesNo: "yes", catalogue.Date: "2026-05-02", catalogue.Text: "regular"}

func example(p catalogue.Property) string { return cmp.Or(examples[p.Sort], "320") }
