package report

// This file is the view of a check for a reader: section by section what does not pass, the faults, the doubtful and
// the refused rows, a line for each club that passes, and the totals. It draws each set as it comes; the verdict of the
// whole is written first, so what was drawn waits for it.

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/wording"
	"ferrule/lang/ast"
)

// check keeps what was drawn of the sets, and counts. Of what passes it says a line, unless more was asked for.
type check struct {
	o Options
	paper
	head *data.Head
	doc  document
	counts
}

// counts are what is counted in sets, and the names that stand in them.
type counts struct {
	of      [sections]int          // findings and the like by their section
	clubs   [decide.Exempt + 1]int // by their verdict; the first are those that no rule is about
	torn    int                    // clubs without a verdict, as the books disagree with themselves
	mends   bool                   // a finding says how to mend it
	sheets  []string
	methods []string // of lengths
}

// add adds other counts.
func (n *counts) add(o *counts) {
	for i := range o.of {
		n.of[i] += o.of[i]
	}
	for i := range o.clubs {
		n.clubs[i] += o.clubs[i]
	}
	n.torn += o.torn
	n.mends = n.mends || o.mends
	n.sheets, n.methods = also(n.sheets, o.sheets...), also(n.methods, o.methods...)
}

// also adds those of more to names that are not among them.
func also(names []string, more ...string) []string {
	for _, name := range more {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// bagFacts are what is known of the set in hand.
type bagFacts struct {
	clubs        map[string]*standing
	pairs, whole int
	wants        [2]wants // of rules and of advice
	charts       charting
}

// standing is how a club stands.
type standing struct {
	verdict      decide.Verdict // the worst of its rules; 0 where none is about it
	pass, exempt int            // rules that pass or exempt it, where none is worse
	torn         bool           // the books disagree about it
}

// of returns how a club stands.
func (f *bagFacts) of(id string) *standing {
	if f.clubs == nil {
		f.clubs = map[string]*standing{}
	}
	if f.clubs[id] == nil {
		f.clubs[id] = &standing{}
	}
	return f.clubs[id]
}

// result takes notice of a result.
func (f *bagFacts) result(r *judge.Result) {
	switch {
	case r.Rule.Decl.Advice:
	case r.Subject.Kind == ast.OfClub && len(r.Subject.Clubs) == 1:
		c := f.of(r.Subject.Clubs[0].ID)
		if r.Verdict == decide.Exempt {
			c.exempt++
		} else {
			c.pass++
		}
		c.verdict = decide.Worse(c.verdict, min(r.Verdict, decide.Pass))
	case r.Verdict < decide.Pass:
	case r.Subject.Kind == ast.OfNeighbours:
		f.pairs++
	default:
		f.whole++
	}
}

func (c *check) WantsPasses() bool { return true }

func (c *check) Begin(h *data.Head) error {
	c.head, c.doc = h, newDocument(c.o)
	return nil
}

// full reports whether what passes is shown with its facts too.
func (o Options) full() bool { return o.Depth == Steps || o.Depth == Full }

func (c *check) Result(s *Sheaf, r *judge.Result) {
	f, to, at := &s.facts, sectionOf(r), wording.Place(r.Subject, s.bag).Row
	f.result(r)
	if c.o.Depth != Line {
		f.charts.result(r)
	}
	switch {
	case r.Verdict == decide.Unmeasured && c.o.Depth == Usual:
		f.wants[wantOf(r)].add(r, at)
		s.counts.of[to]++
	case r.Verdict < decide.Pass || c.o.full():
		s.counts.mends = s.counts.mends || r.Mend != "" && r.Verdict < decide.Pass
		left, right := subjectLine(r.Subject)
		if c.o.Depth == Line {
			line := setBefore(r.Subject) + r.Rule.Decl.Name.Text + ": " + string(wording.AppendMessage(nil, r)) +
				" (" + right + ")"
			s.Tail = c.draw(s.Tail, doc.Para{Text: line, Level: 1, Hang: 2})
			s.endAt(to, at, int(r.Subject.Kind), 0)
			return
		}
		from := len(s.Tail)
		s.Tail = c.draw(s.Tail, doc.Subject{Name: left, Place: right})
		head := len(s.Tail) - from
		s.Tail = c.draw(s.Tail, finding(r, c.o.Depth == Full), doc.Gap{})
		s.endAt(to, at, int(r.Subject.Kind), head)
	}
}

func (c *check) Conflict(s *Sheaf, f *judge.Conflict) {
	if f.Subject.Kind == ast.OfClub {
		s.facts.of(f.Subject.Clubs[0].ID).torn = true
	}
	if c.o.Depth != Line {
		s.facts.charts.conflict(f)
	}
	left, right := subjectLine(f.Subject)
	c.say(s, secConflicts, doc.Subject{Name: left, Place: right}, &doc.Finding{Stamp: "NO VERDICT", Tone: doc.Open,
		Title: f.Rule.Decl.Name.Text + " has no verdict here", Facts: faultFacts(f),
		Rule: doc.Source{Place: wording.BookLine(f.Rule.Decl.Span, f.Rule.Book)}}, doc.Gap{})
}

// say draws a piece of a section; nothing where the drawing leaves it out.
func (c *check) say(s *Sheaf, to section, blocks ...doc.Block) { s.take(c.draw(s.Tail, blocks...), to) }

func (c *check) Close(s *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	drawn(c, s, secDoubtful, doubtful, doubtBlocks)
	drawn(c, s, secRefused, refused, refusalBlocks)
	drawn(c, s, secNotRead, s.bag.NotRead, refusalBlocks)
	drawn(c, s, secUnused, s.bag.Unused, unusedBlocks)
	name, sheet := bagName(s.bag.Name, s.bag.File), sheetName(s.bag.Name, s.bag.File)
	for i, to := range []section{secUnmeasured, secAdviceUnmeasured} {
		if lines := s.facts.wants[i].facts(s.bag); lines != nil {
			c.say(s, to, doc.Subject{Name: name, Place: sheet}, doc.Facts{Level: 1, List: lines}, doc.Gap{})
			s.counts.of[to]-- // its findings are counted
		}
	}
	c.say(s, secCharts, s.facts.charts.blocks(s.bag, c.o.Depth)...)
	if lines := s.rest(); len(lines) > 0 {
		c.say(s, secRest, doc.Subject{Name: name, Place: sheet, Level: 1}, doc.Facts{Level: 2, List: lines})
	}
	c.say(s, secLengths, lengthsTaken(s.bag, &s.counts))
	if s.bag.File != "" {
		s.counts.sheets = also(s.counts.sheets, wording.File(s.bag.File))
	}
	s.close()
}

// drawn draws one thing after the other.
func drawn[T any](c *check, s *Sheaf, to section, all []T, blocks func(T) []doc.Block) {
	each(s, to, all, func(dst []byte, one T) []byte { return c.draw(dst, blocks(one)...) })
}

// rest counts the clubs of the set in hand, and gives the lines of what passes.
func (s *Sheaf) rest() (lines []doc.Fact) {
	for _, c := range s.bag.Clubs {
		st := s.facts.of(c.ID)
		if st.torn && st.verdict != decide.Fail {
			s.counts.torn++
			continue
		}
		s.counts.clubs[st.verdict]++
		if st.verdict == decide.Pass || st.verdict == 0 {
			lines = append(lines, doc.Fact{Label: wording.Visible(c.ID), Amount: kindName(c), Note: st.words()})
		}
	}
	if n := s.facts.pairs; n > 0 {
		lines = append(lines, doc.Fact{Label: "neighbours", Note: wording.Counted(n, "pair passes", "pairs pass")})
	}
	if n := s.facts.whole; n > 0 {
		lines = append(lines, doc.Fact{Label: "whole set", Note: passes(n)})
	}
	return lines
}

func (c *check) Add(from *Sheaf) error {
	c.add(&from.counts)
	return from.each(func(to section, text []byte) error {
		c.doc.add(to, text)
		return c.doc.Err()
	})
}

// section writes what was drawn of a section below its title. It is false where there is nothing.
func (c *check) section(of section, tone doc.Tone, title string) bool {
	if c.doc.empty(of) {
		return false
	}
	if of != secRest && of != secCharts && of != secLengths {
		title = numbered(title, c.of[of])
	}
	c.put(doc.Section{Tone: tone, Title: title})
	c.doc.write(of, func(text []byte) error {
		_, err := c.w.Write(text)
		return err
	})
	if of == secDoubtful || of >= secRefused && of <= secUnused || of == secRest || c.o.Depth == Line && of != secConflicts {
		c.put(doc.Gap{})
	}
	return true
}

func numbered(title string, n int) string { return title + ": " + strconv.Itoa(n) }

func (c *check) End(n *data.Totals) error {
	defer c.doc.Close()
	c.put(doc.Head{Title: c.name(), Right: "on " + c.head.On}, doc.Aside(c.readFrom), outcome(n), doc.Gap{}, notRuling)
	c.section(secDoubtful, doc.Open, "Doubtful readings")
	c.section(secFails, doc.Fail, "Fails")
	c.section(secTooClose, doc.Open, "Too close to call")
	c.section(secUnmeasured, doc.Open, "Not measured, and what would decide it")
	c.section(secConflicts, doc.Fail, "Faults of the book that show here")
	c.section(secRefused, doc.Fail, "Rows that could not be read")
	c.section(secNotRead, doc.Open, "Cells that were not read")
	c.section(secUnused, doc.Open, "Columns that were not used")
	c.section(secAdviceFails, doc.Open, "Advice, which changes no verdict")
	c.section(secAdviceTooClose, doc.Open, "Advice that is too close to call")
	c.section(secAdviceUnmeasured, doc.Open, "Advice that is not measured")
	if c.section(secCharts, doc.Plain, "Steps, club by club") {
		c.put(doc.StepsLegend{}, doc.Gap{})
	}
	words := "Passes"
	if !c.clean() {
		words = "The rest"
	}
	if !c.section(secPasses, doc.Pass, "Passes") {
		c.section(secRest, doc.Pass, words)
	}
	if len(c.head.NotInForce) > 0 {
		c.put(doc.Section{Title: "Not in force on " + c.head.On}, doc.Facts{Level: 1, List: c.restingRules()},
			doc.Gap{})
	}
	c.put(doc.Section{Title: "Totals"}, doc.Facts{Level: 1, List: append(c.totals(n), c.books()...)})
	if c.section(secLengths, doc.Plain, "How each length was taken") {
		c.put(doc.Facts{Level: 1, List: c.methodFacts()})
	}
	c.put(meanings)
	if c.mends {
		c.put(doc.Aside(cautions))
	}
	return cmp.Or(c.doc.Err(), c.end())
}

// readFrom says which edition and which sheets were read.
func (c *check) readFrom() []doc.Block {
	var list []doc.Fact
	if len(c.head.Books) > 0 && c.head.Books[0].Edition != "" {
		list = append(list, doc.Fact{Label: "Edition of the rules", Note: c.head.Books[0].Edition})
	}
	if len(c.sheets) > 0 {
		list = append(list, doc.Fact{Label: "Read from", Note: strings.Join(c.sheets, ", ")})
	}
	if list == nil {
		return nil
	}
	return []doc.Block{doc.Facts{List: list}}
}

// kindName is the club as the sheet says it, where its id does not say as much.
func kindName(c *club.Club) string {
	if c.Name == "" || strings.HasPrefix(c.ID, c.Name) {
		return wording.Visible(c.Kind.String())
	}
	return wording.Visible(c.Name)
}

func passes(n int) string { return wording.Counted(n, "rule passes", "rules pass") }

// words say how many rules a club passes.
func (c *standing) words() string {
	switch {
	case c.pass == 0 && c.exempt == 0:
		return "no rule is about it"
	case c.pass == 0:
		return wording.Counted(c.exempt, "rule exempts it", "rules exempt it")
	case c.exempt > 0:
		return passes(c.pass) + ", exempt from " + fmt.Sprint(c.exempt)
	}
	return passes(c.pass)
}

// bagName names a bag: its set, else its sheet.
func bagName(set, file string) string {
	if set == "" {
		return wording.File(file)
	}
	return wording.Visible(set)
}

// sheetName is the sheet, where the bag's name is not the sheet already.
func sheetName(set, file string) string {
	if set == "" {
		return ""
	}
	return wording.File(file)
}

// clean reports whether nothing is to be said of any club.
func (n *counts) clean() bool {
	for to, many := range n.of {
		switch section(to) {
		case secPasses, secExempt, secDoubtful, secNotRead, secUnused, secCharts, secRest, secLengths:
		default:
			if many > 0 {
				return false
			}
		}
	}
	return true
}
