package session

// This file holds the words of a session.

import (
	"cmp"
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"strings"

	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
)

// The words that are kept.
const (
	wordUndo  = "undo"
	wordRedo  = "redo"
	wordAgain = "again"
	wordNext  = "next"
	wordBack  = "back"
	wordSkip  = "skip"
	wordNote  = "note"
	wordBy    = "by"
	wordSet   = "set"
	wordClub  = "club" // with a value it adds one
	wordHelp  = "help" // is not kept
)

// verb is what a word does.
type verb struct {
	example string // of it with what must be behind it; "" where nothing may
	run     func(s *Session, line, rest string) Answer
}

// verbs are the words of a session, and words their names. They are filled in by init, since they look for words.
var (
	verbs map[string]verb
	words []string
)

func init() {
	verbs = map[string]verb{
		wordUndo: {run: func(s *Session, line, _ string) Answer { return s.turn(wordUndo, line, "Taken back: ") }},
		wordRedo: {run: func(s *Session, line, _ string) Answer { return s.turn(wordRedo, line, "There again: ") }},
		wordNext: {run: func(s *Session, line, _ string) Answer { return s.step(line, wordNext, 1) }},
		wordBack: {run: func(s *Session, line, _ string) Answer { return s.step(line, wordBack, -1) }},
		wordSkip: {run: func(s *Session, line, _ string) Answer { return s.skip(line) }},
		wordHelp: {run: func(s *Session, _, _ string) Answer { return s.look(helpText) }},
		"show":   {run: func(s *Session, _, _ string) Answer { return s.look(s.table()) }},
		"check":  {run: func(s *Session, _, _ string) Answer { return s.look(s.Report(s.Text(), "", "", "")) }},
		"done":   {run: func(s *Session, _, _ string) Answer { return Answer{Next: s, Done: true} }},

		wordAgain: {"again 44 7/8", (*Session).again},
		"why":     {"why longest-club", (*Session).why},
		wordNote:  {"note grip is loose", (*Session).note},
		wordBy:    {"by soled", (*Session).method},
		wordSet:   {"set Birch", (*Session).toSet},
		wordClub:  {"club 7 iron", (*Session).toClub},
	}
	words = slices.Sorted(maps.Keys(verbs))
	for _, word := range []string{"quit", "exit", "q", "?"} { // of other programs
		verbs[word] = verb{run: func(s *Session, _, _ string) Answer { return s.look(leaving) }}
	}
}

const leaving = `"done" writes the sheet and ends. Ctrl-D ends and keeps the readings. "help" shows what can be typed.`

// helpText says what can be typed.
//
//go:embed help.txt
var helpText string

// turn takes the last reading back, or puts it there again.
func (s *Session) turn(word, line, said string) Answer {
	return s.took(s.entry(word, line, s.at), func(t *Session) string {
		of := s
		if word == wordRedo {
			of = t
		}
		e := of.entries[len(of.entries)-1]
		b, c := t.find(e.spot())
		return para(said+shown(e.Text)+".") + changes(s.bag(e.Set, s.bags), b, c)
	})
}

// goTo goes to a club, or to a set without one.
func (s *Session) goTo(word, line string, at spot) Answer {
	return s.took(s.entry(word, line, at), (*Session).whereWords)
}

// whereWords say where the session is, and what is due there.
func (s *Session) whereWords() string {
	if _, c := s.find(s.at); c != nil {
		return para(capital(wording.Called(c)) + ". " + s.dueWords())
	}
	return para(fmt.Sprintf("The set %s has no club yet. Name one, as in 7 iron.", shown(s.at.set)))
}

func (s *Session) step(line, word string, by int) Answer {
	all := s.rows()
	at := slices.IndexFunc(all, func(r row) bool { return r.spot().key() == s.at.key() })
	if at < 0 {
		return s.look(s.whereWords())
	}
	return s.goTo(word, line, all[(at+by+len(all))%len(all)].spot())
}

func (s *Session) skip(line string) Answer {
	p := s.Sheet.Schema.Property(s.due(s.at))
	if p.ID == 0 {
		return s.look("Nothing is due here, so there is nothing to skip.")
	}
	e := s.entry(wordSkip, line, s.at)
	e.Property = p.Name
	return s.took(e, func(t *Session) string {
		return para("The "+p.Name+" is left until all else is read.") + t.whereWords()
	})
}

// again adds a reading to the one before.
func (s *Session) again(line, rest string) Answer {
	e := s.entry(wordAgain, line, s.at)
	if s.read != nil {
		e.Set, e.ID, e.Setting, e.Property = s.read.Set, s.read.ID, s.read.Setting, s.read.Property
	}
	_, c := s.find(e.spot())
	body, by, err := s.cutMethod(rest)
	p, read, named := s.propertyIn(body)
	if !named {
		p, _ = s.Sheet.Schema.Lookup(e.Property)
		read = body
	}
	switch {
	case err != nil:
		return s.wrong(line, "%s", sentence(err))
	case c == nil || p.Name == "":
		return s.wrong(line, "Name what was read again, as in %q.", "again length 44 7/8")
	case !p.Sort.Numeric():
		return s.wrong(line, "Only figures are read several times. Type %q to put it in the place of what was read.",
			p.Name+" "+read)
	case !c.Stated(p.ID):
		return s.wrong(line, "The %s of the %s was not read yet. Type it without %q.", p.Name, wording.Called(c),
			wordAgain)
	case by != "" && by != c.Method && p.ID == catalogue.LengthID:
		return s.wrong(line, "The %s was read by %s before. A repeat is by the same method.", wording.Called(c),
			c.Method)
	}
	e.Property, e.Value = p.Name, s.soFar(e.spot(), p.Name)
	if e.Value == nil {
		e.Value, _ = s.amounts(p, s.stood(e.spot(), p.Name), s.usual(p))
	}
	more, err := s.amounts(p, read, s.usual(p))
	if err != nil {
		return s.wrong(line, "%s", sentence(err))
	}
	e.Value = append(e.Value, more...)
	if p.ID != catalogue.LengthID {
		return s.putBy(e, p, by)
	}
	e.By = c.Method
	return s.try(e, p)
}

// soFar is what this session wrote under a property of a club; nil for nothing.
func (s *Session) soFar(at spot, property string) []Amount {
	key := at.key()
	for _, e := range slices.Backward(s.entries) {
		if e.Property == property && e.spot().key() == key {
			return slices.Clone(e.Value)
		}
	}
	return nil
}

// stood is what the sheet had in a column of a club's row; "" for nothing.
func (s *Session) stood(at spot, column string) string {
	if i, row := s.layout.Find(column), s.lines[at.key()]; i >= 0 && row > 0 {
		return cells.CellOf(s.Name, s.File, &s.layout.Frame, row, i)
	}
	return ""
}

func (s *Session) note(line, rest string) Answer {
	e := s.entry(wordNote, line, s.at)
	e.Property, e.Value = wordNote, s.soFar(s.at, wordNote)
	if e.Value == nil {
		e.Value = []Amount{{Text: s.stood(s.at, wordNote)}}
	}
	e.Value[0].Text = strings.TrimPrefix(e.Value[0].Text+"; "+rest, "; ")
	return s.took(e, func(t *Session) string {
		said := "Noted"
		if _, c := t.find(e.spot()); c != nil {
			said += " for " + wording.Called(c)
		}
		return para(said + ": " + shown(e.Value[0].Text) + ".")
	})
}

func (s *Session) method(line, rest string) Answer {
	m, err := sheet.MethodOf(rest, s.Sheet)
	if err != nil {
		return s.wrong(line, "%s", sentence(err))
	}
	e := s.entry(wordBy, line, s.at)
	e.By = m
	return s.took(e, func(*Session) string { return "Further lengths are read by " + m + "." })
}

// toSet goes to a set: to the first of its clubs that something is due of, else to its first.
func (s *Session) toSet(line, name string) Answer {
	b := s.bag(name, s.bags)
	if b == nil {
		if s.layout.Find("set") < 0 && len(s.bags) > 0 && s.bags[0].name == "" {
			return s.wrong(line, "The sheet has no column set, so it is one set. Add a column set to it for more.")
		}
		return s.goTo(wordSet, line, spot{set: name})
	}
	at := spot{set: b.name}
	for _, c := range slices.Backward(b.clubs) {
		if s.due(b.spot(c)) != 0 || s.due(at) == 0 {
			at = b.spot(c)
		}
	}
	return s.goTo(wordSet, line, at)
}

func (s *Session) toClub(line, name string) Answer {
	if is := s.chosen(name); is != nil {
		return s.goTo(wordClub, line, *is)
	}
	return s.addClub(line, name)
}

// addClub adds a club to the set in hand.
func (s *Session) addClub(line, name string) Answer {
	set := cmp.Or(shown(s.at.set), "the sheet")
	if _, _, _, ok := sheet.KindOf(name); !ok {
		return s.wrong(line, "%s is not a club of %s, and no club that could be added.%s", shown(name), set,
			didYouMean(name, s.ids()))
	}
	e := s.entry(wordClub, line, spot{set: s.at.set, id: name})
	e.Value = []Amount{{Text: name}}
	return s.took(e, func(t *Session) string {
		b, c := t.find(t.at)
		said := fmt.Sprintf("Added to %s: %s. %q takes it back. %s", set, wording.Called(c), wordUndo, t.dueWords())
		return para(said) + changes(s.bag(s.at.set, s.bags), b, nil)
	})
}

// why explains what came of a rule for the club in hand, or for its set.
func (s *Session) why(line, name string) Answer {
	var names []string
	for _, r := range s.Program.Rules() {
		if names = append(names, r.Decl.Name.Text); r.Decl.Name.Text != name {
			continue
		}
		club := s.at.id
		if r.Subject == ast.OfSet {
			club = ""
		}
		return s.look(s.Report(s.text, name, s.at.set, club))
	}
	return s.wrong(line, "The books have no rule %s.%s", quoted(name), didYouMean(name, names))
}
