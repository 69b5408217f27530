package session

// This file lays what was read over a sheet that was changed meanwhile.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/report/wording"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
)

// Left is a reading that cannot be laid over a sheet, and why.
type Left struct {
	Entry
	Why string
}

// Over lays what was read over the sheet as it is now. Replaced says what the sheet had by now where another figure
// takes its place; unless known, all that it had counts as new.
func (s *Session) Over(text []byte, known bool) (over *Session, left []Left, replaced []string, err error) {
	o := *s.Options
	o.File = text
	start, err := Start(&o)
	if err != nil {
		return nil, nil, nil, err
	}
	old, err := Start(s.Options)
	if err != nil {
		return nil, nil, nil, err
	}
	var taken []Entry
	over = start
	for _, e := range s.entries {
		next, err := over.Apply(e)
		if err != nil {
			left = append(left, Left{e, shown(err.Error())})
			continue
		}
		over, taken = next, append(taken, e)
	}
	for i, e := range taken {
		later := func(l Entry) bool { return l.Property == e.Property && l.spot().key() == e.spot().key() }
		if e.Word == wordClub || slices.ContainsFunc(taken[i+1:], later) {
			continue
		}
		had, put := start.has(&e, start.stood(e.spot(), e.Property)), over.has(&e, strings.Join(e.texts(), " | "))
		if had == "" || had == put || known && had == old.has(&e, old.stood(e.spot(), e.Property)) {
			continue
		}
		_, c := over.find(e.spot())
		replaced = append(replaced, fmt.Sprintf("%s of %s: the sheet had %s by now; %s was written", e.Property,
			wording.Called(c), had, put))
	}
	return over, left, replaced, nil
}

// has is what the club of an entry has of its property, as a person reads it; cell where that cannot be read.
func (s *Session) has(e *Entry, cell string) string {
	p, _ := s.Sheet.Schema.Lookup(e.Property)
	_, c := s.find(e.spot())
	if c == nil || p.ID == 0 {
		return shown(cell)
	}
	out := cmp.Or(s.asRead(c, p), shown(cell))
	if p.ID == catalogue.LengthID && out != "" && c.Method != "" {
		out += " by " + c.Method
	}
	return out
}

// texts are the readings of an entry as a cell has them.
func (e *Entry) texts() []string {
	return lists.Each(e.Value, Amount.text)
}
