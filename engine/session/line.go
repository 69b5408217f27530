package session

// This file understands a line.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// Answer is what came of a line.
type Answer struct {
	Next  *Session // the state behind it
	Text  string   // what is said of it, at least one line
	Entry *Entry   // what is to be kept of it before anything is said; nil where it changed nothing
	Done  bool     // the sheet is to be written
	Again string   // the line, to be corrected and typed again; "" where it need not be
}

// Line understands a line.
func (s *Session) Line(line string) Answer {
	line = strings.TrimSpace(strings.ReplaceAll(line, "\t", " "))
	switch {
	case s.ask != nil:
		return s.answered(line)
	case line == "":
		return s.look("Nothing typed. " + s.dueWords())
	case !cells.Printable(line):
		return s.wrong("", "The line holds a character that cannot be printed. Type it again.")
	}
	first, rest, _ := strings.Cut(line, " ")
	rest = strings.TrimSpace(rest)
	if do, ok := verbs[strings.ToLower(first)]; ok && (rest == "" || do.example != "") {
		if rest == "" && do.example != "" {
			return s.wrong(line, "%q needs more, as in %q.", first, do.example)
		}
		return do.run(s, line, rest)
	}
	return s.reading(line)
}

// look is the answer to a line that changes nothing. A text of several lines is shown as it is.
func (s *Session) look(text string) Answer {
	if !strings.Contains(text, "\n") {
		text = para(text)
	}
	return Answer{Next: s, Text: text}
}

// wrong is the answer to a line that cannot be taken; it comes back to be corrected.
func (s *Session) wrong(line, format string, about ...any) Answer {
	return Answer{Next: s, Text: para(fmt.Sprintf(format, about...)), Again: line}
}

// took is the answer to a line that changes the state by an entry. Said is what is said first.
func (s *Session) took(e Entry, said func(next *Session) string) Answer {
	if _, c := s.find(e.spot()); c != nil && len(e.Value) > 0 {
		e.Was = c.Spoken()
	}
	next, err := s.Apply(e)
	if err != nil {
		return s.wrong(e.Text, "%s", sentence(err))
	}
	return Answer{Next: next, Text: said(next), Entry: &e}
}

// entry is an entry of a word at a spot.
func (s *Session) entry(word, line string, at spot) Entry {
	return Entry{Time: s.Time(), Who: s.Who, On: s.Day.String(), Set: at.set, ID: at.id, Setting: at.setting,
		Text: line, Word: word}
}

// reading understands a line without a word of the session: a property with its value, a value of what is due, an id,
// a club or a set.
func (s *Session) reading(line string) Answer {
	_, c := s.find(s.at)
	body, by, err := s.cutMethod(line)
	if err != nil {
		return s.wrong(line, "%s", sentence(err))
	}
	p, read, named := s.propertyIn(body)
	due := s.Sheet.Schema.Property(s.due(s.at))
	if by != "" { // only a length is read by a method
		due = s.Sheet.Schema.Property(catalogue.LengthID)
	}
	is := s.chosen(body)
	var first Answer // of what is due
	switch {
	case c == nil:
	case named:
		return s.put(line, s.at, p, read, by)
	case due.ID != 0 && !due.Sort.Numeric() && is == nil: // a text that names a club is not one of this club
		if first = s.put(line, s.at, due, body, by); first.Again == "" || due.Sort == catalogue.Text {
			return first
		}
	}
	if c != nil {
		switch fit := s.fitting(due, body, is == nil); len(fit) {
		case 0:
		case 1:
			return s.put(line, s.at, fit[0], body, by)
		default:
			return s.wrong(line, "%s can be %s or %s. Say which, as in %q.", shown(body), fit[0].Name, fit[1].Name,
				fit[0].Name+" "+body)
		}
	}
	switch _, _, _, isClub := sheet.KindOf(body); {
	case looksLikeValue(body, isClub), c != nil && isClub && hasUnit(body):
		return s.wrong(line, "%s", s.unfit(due, body, isClub))
	case is == nil && s.bag(body, s.bags) != nil:
		return s.toSet(line, body)
	case is != nil || isClub:
		return s.toClub(line, body)
	case first.Text != "":
		return first
	}
	return s.wrong(line, "%s", s.nearest(body))
}

// cutMethod cuts "by METHOD" off the end of a line.
func (s *Session) cutMethod(line string) (body, by string, err error) {
	if i := strings.LastIndex(line, " by "); i >= 0 {
		by, err = sheet.MethodOf(strings.TrimSpace(line[i+4:]), s.Sheet)
		line = line[:i]
	}
	return strings.TrimSpace(line), by, err
}

// propertyIn finds the property that a line names before or behind its value.
func (s *Session) propertyIn(line string) (p catalogue.Property, read string, ok bool) {
	fields := strings.Fields(line)
	for n := min(3, len(fields)-1); n > 0; n-- {
		for k, name := range map[int][]string{n: fields[:n], 0: fields[len(fields)-n:]} {
			if p, ok := sheet.Named(strings.Join(name, " "), s.Sheet.Schema); ok && p.ID != catalogue.KindID {
				return p, strings.Join(fields[k:len(fields)-n+k], " "), true
			}
		}
	}
	return p, "", false
}

// fitting are the properties that a value may be meant for: what is due, if it fits; else those that are missing and
// whose unit or form it has. Of texts those have a form that a book lists, and only where no club is meant.
func (s *Session) fitting(due catalogue.Property, read string, texts bool) []catalogue.Property {
	if due.Sort.Numeric() {
		if _, err := s.amounts(due, read, s.usual(due)); err == nil {
			return []catalogue.Property{due}
		}
	}
	var out []catalogue.Property
	for _, id := range s.missing(s.find(s.at)) {
		p, fits := s.Sheet.Schema.Property(id), false
		if _, err := s.amounts(p, read, nil); p.Sort.Numeric() {
			fits = err == nil && !p.Sort.Dim().Pure()
		} else if texts && (p.Sort != catalogue.Text || p.Texts != nil || p.ID == catalogue.Hand) {
			fits = s.put(read, s.at, p, read, "").Again == ""
		}
		if fits {
			out = append(out, p)
		}
	}
	return out
}

// unfit says why a value cannot be taken, which may also be meant for a club.
func (s *Session) unfit(due catalogue.Property, read string, isClub bool) string {
	for _, word := range strings.Fields(read) {
		near, ok := diag.Nearest(word, s.Sheet.Schema.Names())
		if ok && strings.Trim(word, "0123456789") == word && unit.Lookup(word) == nil {
			return fmt.Sprintf("%s is not a property. Did you mean %s?", quoted(word), near)
		}
	}
	switch _, c := s.find(s.at); {
	case c == nil:
		return "There is no club yet. Name one, as in 7 iron."
	case due.Sort.Numeric():
		_, err := s.amounts(due, read, s.usual(due))
		if isClub {
			return fmt.Sprintf("%s Or type %q for the club.", sentence(err), wordClub+" "+read)
		}
		return sentence(err)
	default:
		return fmt.Sprintf("%s Name what %s is, as in %q, or choose a club, as in %q.", s.dueWords(), shown(read),
			"lie 61.5", wordClub+" "+read)
	}
}

// looksLikeValue reports whether a text reads as a number or a swing weight, so that it names no club by itself.
func looksLikeValue(text string, isClub bool) bool {
	if strings.ContainsRune("0123456789.-+", rune(text[0])) {
		return !isClub || strings.Trim(text, "0123456789.,/-+ ") == ""
	}
	first, _, _ := strings.Cut(strings.ToUpper(text), " ")
	return len(first) > 1 && strings.Contains("ABCDEFG", first[:1]) && strings.Trim(first[1:], "0123456789.") == ""
}

// hasUnit reports whether a text is a figure with its unit, and so names no club by itself: 12 deg is hardly a wedge.
func hasUnit(text string) bool {
	q, n, err := unit.Scan(text)
	return err == nil && n == len(text) && q.HasUnit
}

// chosen returns the spot of the club of the set in hand that a text names: by its id, its name or its kind; nil where
// it names none.
func (s *Session) chosen(text string) *spot {
	b := s.bag(s.at.set, s.bags)
	if b == nil {
		return nil
	}
	kind, number, mark, isClub := sheet.KindOf(text)
	var found [3]*spot
	for _, c := range slices.Backward(b.clubs) {
		n, _ := c.Amount(catalogue.Number)
		m, _ := c.Text(catalogue.Mark)
		at, how := b.spot(c), 2
		switch {
		case catalogue.Same(c.ID, text), catalogue.Same(c.ID+" at "+c.Setting, text):
			how = 0
		case catalogue.Same(c.Name, text), catalogue.Same(wording.Called(c), text):
			how = 1
		case !isClub || c.Kind != kind || number != 0 && n != float64(number) || mark != "" && !catalogue.Same(m, mark):
			continue
		}
		found[how] = &at
	}
	for _, at := range found {
		if at != nil {
			return at
		}
	}
	return nil
}

// nearest says that a line is not understood, and what it may be meant for.
func (s *Session) nearest(line string) string {
	first, _, _ := strings.Cut(line, " ")
	hint := cmp.Or(didYouMean(strings.ToLower(line), s.Words()), didYouMean(strings.ToLower(first), s.Words()),
		" "+s.dueWords())
	return fmt.Sprintf("%s is not understood.%s %q shows what can be typed.", quoted(line), hint, wordHelp)
}
