package sheet

// This file gives the clubs of a set their ids and lays the settings of one club together.

import (
	"fmt"
	"slices"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// placed is a row of the set that is being read, under its id. Rows that were refused
// keep their place, so that what a person mends in one row changes no other.
type placed struct {
	id, setting string
	row         int32
	text        int32      // how many bytes of the id are the club's text, where it is made of that
	lead        *club.Club // of the first row of an id: the first of its rows that became a club
	tail        *club.Club // and the last
	repeats     int        // the last number behind the text that was tried for an id, less one
	plain       int        // of the first row of an id: which one names no setting, counted from 1; 0 for none
}

// spot is an id with a setting, as keys.
type spot struct{ id, setting string }

// place puts the club of a row into its set; ok says that the row was read whole. It returns
// false where the row is refused.
func (p *Parser) place(h *head, s *club.Set, c *club.Club, ok bool) bool {
	text, repeats := "", 0
	c.Named = c.ID != ""
	if !c.Named {
		if i := h.find(idColumn); c.Name == "" || i >= 0 && p.cells[i] != "" { // which club it is could not be read
			return false
		}
		text = c.Name
		c.ID, repeats = p.idFromText(h, text, c.Row)
	}
	first := p.first(c.ID)
	if first >= 0 && text != "" && (c.Setting == "" || p.placed[first].setting == "" || p.find(first, c.Setting) >= 0) {
		c.ID = p.numbered(first)
		first = -1
	}
	if first < 0 {
		first = len(p.placed)
		p.firsts[catalogue.Key(c.ID)] = first + 1
		p.put(first, c, text, repeats)
	} else {
		read := c.ID
		c.ID = p.placed[first].id // as it is written there
		if same := p.find(first, c.Setting); same < 0 {
			p.put(first, c, text, repeats)
		} else if placed, done := p.again(h, s, c, read, &p.placed[first], &p.placed[same], ok); done {
			return placed
		}
	}
	if !ok {
		return false
	}
	f := &p.placed[first]
	switch {
	case f.lead == nil:
		f.lead, f.tail = c, c
		s.Clubs = append(s.Clubs, c)
	case f.lead.Kind != c.Kind:
		message := "the id %s is a %s in row %d and a %s here; expected one club at its settings"
		message = fmt.Sprintf(message, diag.Quote(c.ID), f.lead.Kind, f.lead.Row, c.Kind)
		p.fault(h.first(idColumn, clubColumn, kindColumn), c.ID, message, "")
		return false
	default:
		f.tail.Next = c
		f.tail = c
	}
	return true
}

// again is what becomes of a row whose id, at its setting, is in the row of old already; first is the first row of the
// id. Where it is not done, the row takes the place of the old one.
func (p *Parser) again(
	h *head, s *club.Set, c *club.Club, read string, first, old *placed, ok bool,
) (placed, done bool) {
	id := h.first(idColumn, clubColumn, kindColumn)
	before := first.lead
	for before != nil && before.Row != int(old.row) {
		before = before.Next
	}
	differs := ""
	switch {
	case p.opts.SameID == Latest:
		if before == nil || before.SameClub(c) {
			p.supersede(s, first, old, before)
			old.row = int32(c.Row)
			return false, false
		}
		differs = "club"
	case p.opts.SameID == Repeats && before == nil:
		old.row = int32(c.Row)
		return false, false
	case p.opts.SameID == Repeats && ok:
		if differs = before.Repeat(c, p.opts.Schema); differs == "" {
			return true, true
		}
	case p.opts.SameID == Repeats:
		return false, true
	}
	what := "the id " + diag.Quote(c.ID)
	if c.Setting != "" {
		what += " at the setting " + diag.Quote(c.Setting)
	}
	what += fmt.Sprintf(" is already in row %d of the same set", old.row)
	if p.opts.Standard != nil {
		p.fault(id, read, what+"; give one of them another id or setting", "")
	} else if differs != "" {
		p.fault(id, read, what+", with another "+differs+"; expected rows of one club", "")
	} else {
		p.fault(id, read, what+"; give one of them another id or setting, or say --same-id repeats "+
			"if both are readings of one club, or --same-id latest if the last row counts", "")
	}
	return false, true
}

// supersede takes the row of old, which may have been refused, out of the set.
func (p *Parser) supersede(s *club.Set, first, old *placed, before *club.Club) {
	s.Superseded++
	if before == nil {
		isOld := func(f club.Refusal) bool { return !f.AnySet && f.Row.Row == int(old.row) }
		s.Refused = slices.DeleteFunc(s.Refused, isOld)
		return
	}
	s.Rows--
	at := slices.Index(s.Clubs, first.lead)
	if before == first.lead {
		if first.lead = before.Next; first.lead == nil {
			s.Clubs = slices.Delete(s.Clubs, at, at+1)
		} else {
			s.Clubs[at] = first.lead
		}
	}
	first.tail = first.lead
	for c := first.lead; c != nil; c = c.Next {
		if c.Next == before {
			c.Next = before.Next
		}
		first.tail = c
	}
	before.Next = nil
}

// put notes the row of a club, whose id is in row first.
func (p *Parser) put(first int, c *club.Club, text string, repeats int) {
	p.placed = append(p.placed,
		placed{id: c.ID, setting: c.Setting, row: int32(c.Row), text: int32(len(text)), repeats: repeats})
	if at := len(p.placed); c.Setting == "" {
		p.placed[first].plain = at
	} else {
		p.settings[spot{catalogue.Key(c.ID), catalogue.Key(c.Setting)}] = at
	}
}

// first returns the first row placed under an id, at whatever setting; -1 if there is none.
func (p *Parser) first(id string) int { return p.firsts[catalogue.Key(id)] - 1 }

// find returns the row placed under the id of row first at that very setting, or without one; -1 if there is none.
func (p *Parser) find(first int, setting string) int {
	f := &p.placed[first]
	if setting == "" {
		return f.plain - 1
	}
	return p.settings[spot{catalogue.Key(f.id), catalogue.Key(setting)}] - 1
}

// forget empties what was placed, for the next set.
func (p *Parser) forget() {
	p.placed, p.collected = p.placed[:0], false
	p.firsts, p.settings = emptied(p.firsts), emptied(p.settings)
	p.statedIDs, p.firstFree = emptied(p.statedIDs), emptied(p.firstFree)
}

// emptied is a map with nothing in it: m itself, unless it is so large that clearing it takes longer.
func emptied[K comparable, V any](m map[K]V) map[K]V {
	if m == nil || len(m) > 100 {
		return map[K]V{}
	}
	clear(m)
	return m
}

// idFromText returns the id for rows that have none, made of their club's text. It is the text itself. Where a row of
// the set states that for its id, wherever it stands, it is the text with the first number that no other id has. That
// number, less one, is repeats. In a run of a set it is the text with the row.
func (p *Parser) idFromText(h *head, text string, row int) (id string, repeats int) {
	if p.run {
		return fmt.Sprintf("%s (row %d)", text, row), 0
	}
	if h.find(idColumn) < 0 {
		return text, 0
	}
	if !p.collected {
		p.collectIDs(h)
	}
	key := catalogue.Key(text)
	if _, taken := p.statedIDs[key]; !taken {
		return text, 0
	}
	if n, ok := p.firstFree[key]; ok {
		return numberedID(text, n), n
	}
	for n := 1; ; n++ {
		if id := numberedID(text, n); p.unused(id) {
			p.firstFree[key] = n
			return id, n
		}
	}
}

// collectIDs notes which ids the rows of a set state.
func (p *Parser) collectIDs(h *head) {
	p.collected = true
	faults, unread, at := p.faults, p.unread, h.find(idColumn)
	p.faults, p.unread = nil, nil
	for _, row := range p.rows {
		if p.unpack(h, row); p.cells[at] != "" {
			p.statedIDs[catalogue.Key(p.cells[at])] = struct{}{}
		}
	}
	p.faults, p.unread = faults, unread
}

// unused reports whether no row has that id, stated or made up.
func (p *Parser) unused(id string) bool {
	_, taken := p.statedIDs[catalogue.Key(id)]
	return !taken && p.first(id) < 0
}

// numberedID is "7i (2)" for the first repeat of "7i".
func numberedID(text string, repeats int) string { return fmt.Sprintf("%s (%d)", text, repeats+1) }

// numbered returns an id for a row whose club's text made that of placed row i already: "7i (2)".
func (p *Parser) numbered(i int) string {
	q := &p.placed[i]
	for {
		q.repeats++
		if id := numberedID(q.id[:q.text], q.repeats); p.unused(id) {
			return id
		}
	}
}
