// Package session is a session at the bench: somebody measures club after club and types a line for each reading. It is
// a function of a state and a line to a state and a text, and knows nothing of files, clocks and terminals.
//
// session.go holds the state and what is due. line.go understands a line, and reading.go a reading. words.go holds the
// words of the session, entry.go what is kept of it and how that becomes changes of the sheet, and say.go what is said.
package session

import (
	"bytes"
	"maps"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Options says what a session is about.
type Options struct {
	Program *judge.Program // the rules
	Day     book.Day       // on which they are in force
	Judge   *judge.Judge   // of them; it gives passes too
	Sheet   sheet.Options  // how the sheet is read; By is the method of readings that name none
	Name    string         // of the sheet
	File    []byte         // its bytes
	Unit    *unit.Unit     // of lengths without a unit; nil: that of the heading, else the usual one
	Who     string         // who measures; "" where nobody said
	Time    func() string  // when a line is typed, RFC 3339

	// Report writes the report of a sheet: of a rule, a set or a club alone where one is named.
	Report func(sheet []byte, rule, set, club string) string
}

// spot is where a club is: a row of the sheet, by its set, its id and its setting.
type spot struct{ set, id, setting string }

func (s spot) key() spot {
	return spot{catalogue.Key(s.set), catalogue.Key(s.id), catalogue.Key(s.setting)}
}

// place is a property of a club.
type place struct {
	of       spot // by key
	property catalogue.ID
}

// bench is what does not change during a session.
type bench struct {
	*Options
	layout sheet.Layout
	lines  map[spot]int   // the rows of the sheet as it was opened, by key
	last   map[string]int // the last row of each set, by its key
	end    int            // the last row

	opened  bool           // the sheet was read once
	waiting []ordered      // clubs of the order that are not on it
	unread  []club.Refusal // rows of the order
}

// bag is a set as it is now.
type bag struct {
	name    string
	set     *club.Set
	clubs   []*club.Club // each setting of a club by itself
	results []*judge.Result
	clashes []*judge.Conflict
	lacks   []lack
}

// lack is what the rules still miss of a club.
type lack struct {
	club     string // as it is called
	property catalogue.ID
	odd      bool // it was read, and can hardly be right
}

// Session is the state of a session. It never changes: each line gives a new one.
type Session struct {
	*bench
	entries []Entry // the lines that change what is written
	text    []byte  // of the sheet with these
	bags    []*bag
	at      spot
	by      string // the method of further readings; "" where none was named
	skipped []place
	read    *Entry   // the reading before this line, for "again"; nil where another club was chosen since
	ask     *Answer  // what a "y" makes of a doubtful reading; without Next where it lacks its method
	before  *Session // before the last line that changed what is written
	after   *Session // what "undo" took back
}

// Start begins a session.
func Start(o *Options) (*Session, error) {
	s := &Session{bench: &bench{Options: o, lines: map[spot]int{}, last: map[string]int{}}}
	if err := s.load(nil); err != nil {
		return nil, err
	}
	for _, b := range s.bags {
		key := catalogue.Key(b.name)
		for _, c := range b.clubs {
			s.lines[b.spot(c).key()] = c.Row
			s.last[key] = max(s.last[key], c.Row)
		}
		for _, r := range b.set.Refused {
			s.last[key] = max(s.last[key], r.Row.Row)
		}
		s.end = max(s.end, s.last[key])
	}
	s.end = max(s.end, s.layout.Head)
	if s.waiting != nil {
		if err := s.load(nil); err != nil {
			return nil, err
		}
	}
	if all := s.rows(); len(all) > 0 {
		s.at = all[0].spot()
	}
	s.advance()
	return s, nil
}

// load reads the sheet as it would be written now. Only the set that changed is read and judged anew; nil: all are.
func (s *Session) load(changed *string) error {
	edits, opened := &cells.Edits{}, s.opened
	if s.opened = true; opened {
		edits = s.edits(false)
	}
	var err error
	if s.text, err = cells.Write(s.Name, s.File, edits); err != nil {
		return err
	}
	s.Sheet.Begun, s.Sheet.Order = true, s.Sheet.Order.Anew()
	reader, problem := sheet.Open(s.Name, bytes.NewReader(s.text), s.Sheet)
	if problem == nil && reader.Streamed() {
		problem = &sheet.Problem{File: s.Name, Message: "the sheet is too large for the bench; divide it into several"}
	}
	if problem != nil {
		return problem
	}
	if !opened {
		s.layout = reader.Layout(s.text)
	}
	old := s.bags
	s.bags = nil
	for raw, ok := reader.NextRaw(); ok; raw, ok = reader.NextRaw() {
		b := s.bag(raw.Name(), old)
		if b == nil || changed == nil || catalogue.Same(*changed, raw.Name()) {
			b = &bag{name: raw.Name(), set: new(club.Set)}
			reader.NewParser().Parse(raw, b.set)
			s.judge(b)
		}
		s.bags = append(s.bags, b)
	}
	if !opened {
		s.order()
	}
	s.bags = slices.DeleteFunc(s.bags, func(b *bag) bool { return b.clubs == nil && b.set.Refused == nil })
	if p := reader.Problem(); p != nil {
		return p
	}
	return nil
}

func (s *Session) judge(b *bag) {
	for _, c := range b.set.Clubs {
		for ; c != nil; c = c.Next {
			of := *c.Sheet
			of.Table, c.Sheet = false, &of // a column that is not there can still be begun
			b.clubs = append(b.clubs, c)
		}
	}
	s.Judge.Set(b.set, judge.Sink{
		Result:   func(r *judge.Result) { b.results = append(b.results, r) },
		Conflict: func(c *judge.Conflict) { b.clashes = append(b.clashes, c) },
	})
	for _, r := range b.results {
		for _, l := range r.Lacks {
			p, known := s.Sheet.Schema.Lookup(l.Property)
			m := lack{l.Club, p.ID, l.Kind == value.Odd}
			known = known && r.Verdict == decide.Unmeasured && (m.odd || l.Kind == value.NoReading)
			if known {
				b.lacks = lists.Also(b.lacks, m)
			}
		}
	}
}

func (b *bag) spot(c *club.Club) spot { return spot{b.name, c.ID, c.Setting} }

// bag returns the set of that name among bags; nil if there is none.
func (s *Session) bag(name string, bags []*bag) *bag {
	if i := slices.IndexFunc(bags, func(b *bag) bool { return catalogue.Same(b.name, name) }); i >= 0 {
		return bags[i]
	}
	return nil
}

// find returns the set and the club at a spot; nil where it is not there.
func (s *Session) find(at spot) (*bag, *club.Club) {
	b := s.bag(at.set, s.bags)
	if b != nil {
		for _, c := range b.clubs {
			if b.spot(c).key() == at.key() {
				return b, c
			}
		}
	}
	return b, nil
}

// missing are the properties of a club that the rules in force still miss, in the order of the bench. What was read and
// can hardly be right is missing, too, unless it was read in this session.
func (s *Session) missing(b *bag, c *club.Club) []catalogue.ID {
	var out []catalogue.ID
	if c == nil {
		return nil
	}
	for _, l := range b.lacks {
		lacks := l.club == c.Called() && (l.odd || !c.Has(l.property))
		if lacks && s.soFar(b.spot(c), s.Sheet.Schema.Property(l.property).Name) == nil {
			out = append(out, l.property)
		}
	}
	slices.SortStableFunc(out, byTurn)
	return slices.Compact(out)
}

func byTurn(p, q catalogue.ID) int { return catalogue.Turn(p) - catalogue.Turn(q) }

// due returns what is due at a spot; 0 where nothing is.
func (s *Session) due(at spot) catalogue.ID { return s.dueOf(s.find(at)) }

func (s *Session) dueOf(b *bag, c *club.Club) catalogue.ID {
	for _, p := range s.missing(b, c) {
		if !slices.Contains(s.skipped, place{b.spot(c).key(), p}) {
			return p
		}
	}
	return 0
}

// row is a row of the sheet.
type row struct {
	bag  *bag
	club *club.Club
}

// rows are those of all clubs, in the order of the sheet.
func (s *Session) rows() (out []row) {
	for _, b := range s.bags {
		out = append(out, lists.Each(b.clubs, func(c *club.Club) row { return row{b, c} })...)
	}
	return out
}

func (r row) spot() spot { return r.bag.spot(r.club) }

// advance goes on to what is due next, if nothing is due at the club in hand: at the clubs behind it, then from the
// first club on, then to what was skipped.
func (s *Session) advance() {
	if s.due(s.at) != 0 {
		return
	}
	all := s.rows()
	behind := 1 + slices.IndexFunc(all, func(r row) bool { return r.spot() == s.at })
	for range 2 {
		for _, r := range slices.Concat(all[behind:], all[:behind]) {
			if s.dueOf(r.bag, r.club) != 0 {
				s.at = r.spot()
				return
			}
		}
		s.skipped = nil
	}
}

// Prompt names the club in hand and what is due.
func (s *Session) Prompt() string {
	switch {
	case s.ask != nil && s.ask.Next == nil:
		return "By which method? > "
	case s.ask != nil:
		return "Take it? y or n > "
	}
	where, due := s.at.set+", ", "nothing due"
	if s.at.set == "" {
		where = ""
	}
	_, c := s.find(s.at)
	if c == nil {
		due = "no club yet"
	} else {
		where += wording.Called(c) + ", "
	}
	if p := s.Sheet.Schema.Property(s.due(s.at)); p.ID != 0 {
		due = p.Name + s.asOrdered(c, p)
	}
	return shown(where) + due + "> "
}

// Words are what a line may be or begin with, for completion.
func (s *Session) Words() []string {
	return slices.Concat(words, s.Sheet.Schema.Names(), s.ids(),
		lists.Each(s.Program.Rules(), func(r *book.Rule) string { return "why " + r.Decl.Name.Text }),
		lists.Each(s.bags, func(b *bag) string { return strings.TrimSpace("set " + b.name) }),
		lists.Each(s.Sheet.MethodNames, func(m string) string { return "by " + m }))
}

// Text returns the sheet with the changes. Ordered clubs of which nothing was read are not on it.
func (s *Session) Text() []byte {
	if text, err := cells.Write(s.Name, s.File, s.edits(true)); err == nil && s.waiting != nil {
		return text
	}
	return s.text
}

// Changed reports whether there is something to write.
func (s *Session) Changed() bool { return len(s.entries) > 0 }

// Begin returns a new sheet of that name, with headings for what a club needs and what the rules look at. The error
// says why a sheet of such a name cannot be begun.
func (o *Options) Begin(name string) ([]byte, error) {
	used := map[catalogue.ID]bool{}
	for _, r := range o.Program.Rules() {
		r.Visit(func(p book.Part) bool {
			if of := p.Ref(); of != nil && of.Kind == book.RefProperty && !of.Property.Ordered {
				used[of.Property.ID] = used[of.Property.ID] || r.InForce(o.Day)
			}
			return true
		}, nil)
	}
	heads := []string{"set", "id", "club", "length", "by"}
	for _, id := range slices.SortedFunc(maps.Keys(used), byTurn) {
		if used[id] && id > catalogue.Mark && id != catalogue.LengthID {
			heads = append(heads, o.Sheet.Schema.Property(id).Name)
		}
	}
	return cells.Begin(name, heads)
}
