package session

// This file holds what is kept of a session, what it does to the state, and how it becomes changes of the sheet.

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// Entry is a line of a session that changed its state, as it is kept: a reading, or a word.
type Entry struct {
	Time     string   `json:"time"` // RFC 3339
	Who      string   `json:"who"`
	On       string   `json:"on,omitempty"` // the day for a column on
	Set      string   `json:"set"`
	ID       string   `json:"id"`
	Setting  string   `json:"setting,omitempty"`
	Was      string   `json:"club,omitempty"` // what a reading is of: "7 iron"
	Property string   `json:"property,omitempty"`
	Text     string   `json:"text"` // the line as it was typed
	By       string   `json:"by,omitempty"`
	Value    []Amount `json:"value,omitempty"` // what the property has then, one a reading
	Word     string   `json:"word,omitempty"`
}

// Amount is one reading. Of a text, a day or a yes and no it has Text alone.
type Amount struct {
	Amount *float64 `json:"amount,omitempty"`
	Unit   string   `json:"unit,omitempty"`
	Text   string   `json:"text,omitempty"` // as it is written into the sheet
}

func (e *Entry) spot() spot { return spot{e.Set, e.ID, e.Setting} }

// text is a reading as a cell has it.
func (a Amount) text() string {
	switch u := unit.Lookup(a.Unit); {
	case a.Text != "" || a.Amount == nil:
		return a.Text
	case a.Unit == "pts":
		return unit.ExactSwing(*a.Amount)
	case u == nil:
		return fmt.Sprint(*a.Amount)
	default:
		return unit.Exact(u.ToBase(*a.Amount), u)
	}
}

// Apply returns the session behind a line that is kept. The error, a sentence, says why it cannot be taken.
func (s *Session) Apply(e Entry) (*Session, error) {
	t := *s
	b, c := s.find(e.spot())
	p, known := s.Sheet.Schema.Lookup(e.Property)
	adds := e.Word == wordClub && len(e.Value) > 0
	switch {
	case e.Word == wordUndo && s.before != nil:
		t = *s.before
		t.after, t.by = s, s.by
		return &t, nil
	case e.Word == wordRedo && s.after != nil:
		t = *s.after
		t.by = s.by
		return &t, nil
	case e.Word == wordUndo, e.Word == wordRedo:
		return nil, fmt.Errorf("there is nothing to %s", e.Word)
	case e.Word == wordBy:
		t.by, t.ask = e.By, nil
		return &t, nil
	case c == nil && !adds && (e.ID != "" || e.Word != wordSet):
		return nil, s.absent(e.spot())
	case c != nil && !adds && e.Was != "" && !catalogue.Same(e.Was, c.Spoken()):
		return nil, fmt.Errorf("%s is the %s now, not the %s", e.spot(), shown(c.Spoken()), shown(e.Was))
	case e.Word == wordNext, e.Word == wordBack, e.Word == wordSet, e.Word == wordClub && !adds:
		if t.at, t.read, t.ask = e.spot(), nil, nil; c != nil {
			t.at = b.spot(c)
		}
		return &t, nil
	case !known && !adds && e.Word != wordNote:
		return nil, fmt.Errorf("the rule books know no property %s", quoted(e.Property))
	case e.Word == wordSkip:
		t.read, t.ask, t.skipped = nil, nil, append(slices.Clip(s.skipped), place{e.spot().key(), p.ID})
		t.advance()
		return &t, nil
	case len(e.Value) == 0 || slices.ContainsFunc(e.Value, func(a Amount) bool { return a.text() == "" }) ||
		e.Word != "" && e.Word != wordAgain && e.Word != wordNote && !adds:
		return nil, errors.New("this is neither a reading nor a word of a session")
	}
	t.entries, t.before, t.after, t.ask = append(slices.Clip(s.entries), e), s, nil, nil
	if err := t.load(&e.Set); err != nil {
		return nil, err
	}
	now, d := t.find(e.spot())
	switch {
	case d == nil:
		return nil, refused(now, c, "")
	case known && !adds && !d.Stated(p.ID):
		return nil, refused(now, d, d.Sheet.Headings[p.ID])
	case adds:
		t.at, t.read = now.spot(d), nil
	case e.Word != wordNote:
		t.read = &e
		is := func(k place) bool { return k == place{e.spot().key(), p.ID} }
		t.skipped = slices.DeleteFunc(slices.Clone(s.skipped), is)
		t.advance()
	}
	return &t, nil
}

// writing is a sheet that is being changed by entries.
type writing struct {
	*bench
	out  cells.Edits
	rows []spot // of the new rows, by key
}

// edits are the changes of the sheet. A club that waits is on it unless it is to be written and nothing was read of it.
func (s *Session) edits(written bool) *cells.Edits {
	w := &writing{bench: s.bench, out: cells.Edits{Frame: s.layout.Frame, Cells: map[int]map[int]string{},
		Soft: []int{s.layout.Find("who"), s.layout.Find("on")}}}
	for _, o := range s.waiting {
		if !written || s.met(o) {
			w.add(o)
		}
	}
	for _, e := range s.entries {
		if e.Word == wordClub {
			w.add(ordered{spot: e.spot(), club: e.Value[0].Text})
			continue
		}
		row := w.row(e.spot().key())
		p, _ := s.Sheet.Schema.Lookup(e.Property)
		texts := make([]string, len(e.Value))
		at, heading := w.column(e.Property, e.Value[0].Unit, p.Sort)
		for i, v := range e.Value {
			if texts[i] = v.text(); heading != nil && v.Unit == heading.Name { // the heading says it
				texts[i] = heading.Bare(texts[i])
			}
		}
		row[at] = strings.Join(texts, " | ")
		if p.ID == catalogue.LengthID && e.By != "" {
			at, _ := w.column("by", "", 0)
			row[at] = e.By
		}
		for name, text := range map[string]string{"who": e.Who, "on": e.On} {
			if at := w.layout.Find(name); at >= 0 && text != "" {
				row[at] = text
			}
		}
	}
	return &w.out
}

// row are the changes of the row of a club; nil where it is not there.
func (w *writing) row(key spot) map[int]string {
	if i := slices.Index(w.rows, key); i >= 0 {
		return w.out.Rows[i].Cells
	}
	n, ok := w.lines[key]
	if ok && w.out.Cells[n] == nil {
		w.out.Cells[n] = map[int]string{}
	}
	return w.out.Cells[n]
}

// add adds a club behind the last of its set, if it is not there.
func (w *writing) add(o ordered) {
	key := o.key()
	if w.row(key) != nil {
		return
	}
	last, old := w.last[key.set]
	if !old {
		last = w.end
	}
	row := cells.AddedRow{After: last, Cells: map[int]string{}}
	for i, text := range []string{o.set, o.id, o.club, o.setting} {
		if text != "" {
			at, _ := w.column([]string{"set", "id", "club", "setting"}[i], "", 0)
			row.Cells[at] = text
		}
	}
	to := len(w.rows)
	for i, k := range w.rows {
		if _, others := w.last[k.set]; k.set == key.set {
			to = i + 1
		} else if old && !others && to == len(w.rows) { // new sets come behind the old ones
			to = i
		}
	}
	w.rows, w.out.Rows = slices.Insert(w.rows, to, key), slices.Insert(w.out.Rows, to, row)
}

// column is the column of a name and the unit of its heading. Where the sheet has none it is a new one behind the last,
// named with its unit.
func (w *writing) column(name, of string, sort catalogue.Sort) (int, *unit.Unit) {
	if i := w.layout.Find(name); i >= 0 {
		return i, w.layout.Formats[i].Unit
	}
	i := slices.IndexFunc(w.out.New, func(n string) bool { return n == name || strings.HasPrefix(n, name+" (") })
	if i < 0 {
		i = len(w.out.New)
		if of != "" && sort != catalogue.SwingWeight {
			name += " (" + of + ")"
		}
		w.out.New = append(w.out.New, name)
	}
	_, own, ok := strings.Cut(strings.TrimSuffix(w.out.New[i], ")"), " (")
	if !ok {
		return len(w.layout.Heads) + i, nil
	}
	return len(w.layout.Heads) + i, unit.Lookup(own)
}
