package session

// This file says what came of a line: what was understood, and what changed by it.

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

func shown(s string) string            { return wording.Visible(s) }
func quoted(s string) string           { return diag.Quote(s) }
func listed(words []string) string     { return unit.Listed(words, "and") }
func capital(s string) string          { return strings.ToUpper(s[:1]) + s[1:] }
func para(text string) string          { return drawn(doc.Para{Text: text}) }
func below(text string) string         { return drawn(doc.Para{Text: text, Level: 1, Hang: 2}) }
func drawn(blocks ...doc.Block) string { return string(doc.Text(false)(nil, blocks...)) }

// sentence is an error as a sentence.
func sentence(err error) string {
	out, hint := err.Error(), ""
	var p *sheet.Problem
	if errors.As(err, &p) {
		if out = p.Message; p.Hint != "" && !strings.Contains(p.Message, p.Hint) {
			hint = " Did you mean " + p.Hint + "?"
		}
	}
	return capital(shown(out)) + "." + hint
}

// didYouMean is " Did you mean X?", or nothing where nothing is near.
func didYouMean(word string, from []string) string {
	if near, ok := diag.Nearest(word, from); ok {
		return " Did you mean " + shown(near) + "?"
	}
	return ""
}

// String is a spot as a person says it: "club i7 in the set Birch".
func (s spot) String() string {
	out := "club " + shown(s.id)
	if s.setting != "" {
		out += " at " + shown(s.setting)
	}
	if s.set != "" {
		out += " in the set " + shown(s.set)
	}
	return out
}

// dueWords say what is due.
func (s *Session) dueWords() string {
	p := s.Sheet.Schema.Property(s.due(s.at))
	if p.ID == 0 {
		return "Nothing is due here."
	}
	return capital(p.Name) + " is due, as in " + example(p) + "."
}

// echo says what was understood, with its unit and its method, what was read before, and what changed by it.
func (s *Session) echo(e Entry, p catalogue.Property, before *Session) string {
	b, c := s.find(e.spot())
	old, was := before.find(e.spot())
	texts := e.texts()
	if !p.Sort.Numeric() {
		texts = []string{s.asRead(c, p)}
	}
	out := capital(wording.Called(c)) + ": " + p.Name + " " + shown(listed(texts))
	if e.By != "" {
		out += " by " + e.By
	}
	if len(texts) > 1 {
		out += ", " + s.asRead(c, p)
	}
	if text := s.asRead(was, p); text != "" {
		out += ", was " + text
		if p.ID == catalogue.LengthID && was.Method != c.Method {
			out += " by " + was.Method
		}
	}
	out += "."
	if c.Slip(p.ID) != "" {
		out += " It counts as not measured."
	}
	return para(out) + changes(old, b, c)
}

// asOrdered is what was ordered of a property, behind its name; "" where that is not known.
func (s *Session) asOrdered(c *club.Club, p catalogue.Property) string {
	if c == nil || c.Order == nil || c.Order.Loose || !c.Order.Has(p.ID) {
		return ""
	}
	out := " (ordered " + s.asRead(c.Order, p)
	if p.ID == catalogue.LengthID {
		out += " by " + c.Order.Method
	}
	return out + ")"
}

// asRead is what a club has of a property, as a person reads it, a length in the unit of the session if that has one;
// "" where it has nothing.
func (s *Session) asRead(c *club.Club, p catalogue.Property) string {
	text, _ := c.Text(p.ID)
	a, ok := c.Amount(p.ID)
	r := c.Reading(p.ID)
	switch {
	case text != "" || !ok:
		return shown(text)
	case p.Sort == catalogue.YesNo:
		return map[bool]string{true: "yes", false: "no"}[a != 0]
	case p.Sort == catalogue.Date:
		return book.Day(a).String()
	}
	read := unit.Amount{Base: a, Unit: cmp.Or(r.Unit, unit.Base(p.Sort.Dim())), Swing: p.Sort == catalogue.SwingWeight}
	if p.Sort.Dim() == unit.Length {
		read.Unit = cmp.Or(s.Unit, r.Unit, c.LengthUnit())
	}
	text = read.String()
	if n := len(r.Values); n > 1 {
		text = fmt.Sprintf("mean of %d: %s", n, text)
	}
	return text
}

// key tells the subjects of a bag apart.
func key(r *judge.Result) string {
	out := r.Rule.Decl.Name.Text + "\x00" + r.Rule.Book.Name
	for _, c := range r.Subject.Clubs {
		out += "\x00" + c.ID
	}
	return out
}

// changes says what became otherwise in a bag: each verdict that changed and, of the club in hand, what fails by
// another amount.
func changes(old, now *bag, c *club.Club) string {
	before := map[string]*judge.Result{}
	if old != nil {
		for _, r := range old.results {
			before[key(r)] = r
		}
	}
	if now == nil {
		return ""
	}
	var out string
	var pass []string
	for _, r := range now.results {
		was := before[key(r)]
		own := c != nil && about(r, c)
		name := r.Rule.Decl.Name.Text + of(r, c)
		good, silent := r.Verdict >= decide.Pass, r.Verdict >= decide.Unmeasured
		switch {
		case was == nil && silent:
		case was != nil && was.Verdict == r.Verdict && (!own || silent || verdict(was) == verdict(r)):
		case good:
			pass = append(pass, name)
		case was == nil || was.Verdict == r.Verdict:
			out += below(name + ": now " + verdict(r))
		default:
			out += below(name + ": " + former[was.Verdict] + ", now " + verdict(r))
		}
	}
	if len(pass) == 1 {
		out += below("now passes: " + pass[0])
	} else if pass != nil {
		out += below("now pass: " + strings.Join(pass, ", "))
	}
	for _, c := range now.clashes {
		same := func(o *judge.Conflict) bool { return wording.Conflict(o) == wording.Conflict(c) }
		if old == nil || !slices.ContainsFunc(old.clashes, same) {
			out += below("the books disagree: " + wording.Conflict(c))
		}
	}
	return out
}

// former are the verdicts that were.
var former = [...]string{decide.Fail: "failed", decide.TooClose: "was too close to call",
	decide.Unmeasured: "was not measured", decide.Pass: "passed", decide.Exempt: "was exempt"}

// of says what a result is about, where that is not the club in hand alone: " (6 iron and 7 iron)".
func of(r *judge.Result, c *club.Club) string {
	switch clubs := r.Subject.Clubs; {
	case len(clubs) == 0:
		return " (the set)"
	case len(clubs) > 1 || c == nil || clubs[0].ID != c.ID:
		return " (" + wording.Clubs(clubs) + ")"
	}
	return ""
}

// verdict says what came of a rule: "FAILS, 5/16 in too long. Take 5/16 in off the butt."
func verdict(r *judge.Result) string {
	out, more := "", ""
	switch r.Verdict {
	case decide.Fail:
		out, more = "FAILS", r.SpokenMend
		if r.Rule.Decl.Advice {
			out = "advice"
		}
		if words := wording.Distance(r); words != "" {
			out += ", " + words
		}
	case decide.TooClose:
		out, more = "TOO CLOSE TO CALL", wording.Settled(r)
	case decide.Unmeasured:
		out = "NOT MEASURED: " + shown(wording.JoinReasons(r.Lacks))
	}
	if more != "" {
		out += ". " + shown(more)
	}
	return out
}

// verdicts are the verdicts on a club in a table.
var verdicts = [...]string{decide.Fail: "FAILS", decide.TooClose: "too close", decide.Unmeasured: "not measured",
	decide.Pass: "passes", decide.Exempt: "exempt", decide.Exempt + 1: "no rule"}

// about reports whether a result is about a club, by itself or beside another.
func about(r *judge.Result, c *club.Club) bool {
	return slices.ContainsFunc(r.Subject.Clubs, func(d *club.Club) bool { return d.ID == c.ID })
}

// table is the bag in hand as a table.
func (s *Session) table() string {
	b := s.bag(s.at.set, s.bags)
	if b == nil {
		return s.whereWords()
	}
	var of []catalogue.ID
	for id := catalogue.Hand; int(id) < s.Sheet.Schema.Len(); id++ {
		has := func(c *club.Club) bool { return c.Has(id) || slices.Contains(s.missing(b, c), id) }
		if slices.ContainsFunc(b.clubs, has) {
			of = append(of, id)
		}
	}
	slices.SortStableFunc(of, byTurn)
	t := &doc.Table{Heads: []string{"club"}}
	for _, id := range of {
		t.Heads = append(t.Heads, s.Sheet.Schema.Property(id).Name)
	}
	t.Heads = append(t.Heads, "verdict")
	for _, c := range b.clubs {
		row := doc.Row{Cells: []string{wording.Called(c)}}
		for _, id := range of {
			text := s.asRead(c, s.Sheet.Schema.Property(id))
			if text == "" && slices.Contains(s.missing(b, c), id) {
				text = "?"
			} else if id == catalogue.LengthID && text != "" {
				text += " " + c.Method
			}
			row.Cells = append(row.Cells, text)
		}
		worst := decide.Exempt + 1
		for _, r := range b.results {
			if !r.Rule.Decl.Advice && about(r, c) {
				worst = min(worst, r.Verdict)
			}
		}
		row.Cells = append(row.Cells, verdicts[worst])
		t.Rows = append(t.Rows, row)
	}
	return drawn(t)
}

// Greeting says what is on the sheet.
func (s *Session) Greeting() string {
	said := "no club yet"
	if n := len(s.rows()); n > 0 {
		said = wording.Counted(n, "club", "clubs")
	}
	if n := len(s.waiting); n > 0 {
		said += fmt.Sprintf(", %d of them ordered and not on the sheet yet", n)
	}
	out := para(fmt.Sprintf("%s: %s. On %s. %q shows what can be typed.", shown(s.Name), said, s.Day, wordHelp))
	for _, b := range s.bags {
		for r := range b.set.NewlyRefused() {
			out += below(fmt.Sprintf("Row %d stays as it is: %s.", r.Row.Row, shown(r.Message)))
		}
	}
	for _, r := range s.unread {
		out += below(fmt.Sprintf("Row %d of the order cannot be read: %s.", r.Row.Row, shown(r.Message)))
	}
	return out
}
