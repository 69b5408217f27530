package report

// This file gathers what the reports for a reader, text and html, are made of: what does not
// pass, the faults and the refused rows, a line for each club that passes, and the counts of clubs.

import (
	"fmt"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
)

// gathering is what a report for a reader keeps of the sets: what is said of them, drawn section by section, and counts.
// Of what passes it says a line, unless more was asked for.
type gathering struct {
	o    Options
	head *Head
	draw renderer
	doc  document
	counts
}

// renderer is how a report for a reader draws what it is made of; each appends to dst.
type renderer interface {
	// finding draws a result, and says where what names its subject ends.
	finding(dst []byte, r *engine.Result) (out []byte, head int)
	fault(dst []byte, c *engine.Conflict) []byte
	doubt(dst []byte, d club.Doubt) []byte
	refusal(dst []byte, f club.Refusal) []byte
	// missing and passing draw the lines of a bag.
	missing(dst []byte, bag *club.Set, lines []entry) []byte
	passing(dst []byte, bag *club.Set, lines []entry) []byte
	chart(dst []byte, text string) []byte
	// lengths draws how the lengths of a bag were taken, and adds their methods to the counts.
	lengths(dst []byte, bag *club.Set, n *counts) []byte
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
func (f *bagFacts) result(r *engine.Result) {
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

func (g *gathering) WantsPasses() bool { return true }

func (g *gathering) Begin(h *Head) error {
	g.head, g.doc = h, newDocument(g.o)
	return nil
}

// full reports whether what passes is shown with its facts too.
func (g *gathering) full() bool { return g.o.Depth == Steps || g.o.Depth == Full }

func (g *gathering) Result(s *Sheaf, r *engine.Result) {
	f, to, at := &s.facts, sectionOf(r), place(r.Subject, s.bag).Row
	f.result(r)
	if g.o.Depth != Line {
		f.charts.result(r)
	}
	switch {
	case r.Verdict == decide.Unmeasured && g.o.Depth == Usual:
		f.wants[wantOf(r)].add(r, at)
		s.counts.of[to]++
	case r.Verdict < decide.Pass || g.full():
		s.counts.mends = s.counts.mends || r.Mend != "" && r.Verdict < decide.Pass
		from := len(s.Tail)
		text, head := g.draw.finding(s.Tail, r)
		s.Tail = text
		s.endAt(to, at, int(r.Subject.Kind), head-from)
	}
}

func (g *gathering) Conflict(s *Sheaf, c *engine.Conflict) {
	if c.Subject.Kind == ast.OfClub {
		s.facts.of(c.Subject.Clubs[0].ID).torn = true
	}
	if g.o.Depth != Line {
		s.facts.charts.conflict(c)
	}
	s.Tail = g.draw.fault(s.Tail, c)
	s.end(secConflicts)
}

func (g *gathering) Close(s *Sheaf, doubtful []club.Doubt, refused []club.Refusal) {
	for _, d := range doubtful {
		s.Tail = g.draw.doubt(s.Tail, d)
		s.end(secDoubtful)
	}
	for _, f := range refused {
		s.Tail = g.draw.refusal(s.Tail, f)
		s.end(secRefused)
	}
	for i, to := range []section{secUnmeasured, secAdviceUnmeasured} {
		if lines := s.facts.wants[i].entries(s.bag); lines != nil {
			s.Tail = g.draw.missing(s.Tail, s.bag, lines)
			s.end(to)
			s.counts.of[to]-- // its findings are counted
		}
	}
	if text := s.facts.charts.draw(s.bag, g.o); text != "" {
		s.Tail = g.draw.chart(s.Tail, text)
		s.end(secCharts)
	}
	if lines := s.rest(); len(lines) > 0 {
		s.Tail = g.draw.passing(s.Tail, s.bag, lines)
		s.end(secRest)
	}
	before := len(s.Tail)
	if s.Tail = g.draw.lengths(s.Tail, s.bag, &s.counts); len(s.Tail) > before {
		s.end(secLengths)
	}
	if s.bag.File != "" {
		s.counts.sheets = also(s.counts.sheets, fileWords(s.bag.File))
	}
	s.close()
}

// rest counts the clubs of the set in hand, and gives the lines of what passes.
func (s *Sheaf) rest() (lines []entry) {
	for _, c := range s.bag.Clubs {
		st := s.facts.of(c.ID)
		if st.torn && st.verdict != decide.Fail {
			s.counts.torn++
			continue
		}
		s.counts.clubs[st.verdict]++
		if st.verdict == decide.Pass || st.verdict == 0 {
			lines = append(lines, entry{label: Visible(c.ID), amount: kindName(c), note: st.words()})
		}
	}
	if n := s.facts.pairs; n > 0 {
		lines = append(lines, entry{label: "neighbours", note: counted(n, "pair passes", "pairs pass")})
	}
	if n := s.facts.whole; n > 0 {
		lines = append(lines, entry{label: "whole set", note: passes(n)})
	}
	return lines
}

func (g *gathering) Add(from *Sheaf) error {
	g.add(&from.counts)
	return from.each(func(to section, text []byte) error {
		g.doc.add(to, text)
		return g.doc.Err()
	})
}

// kindName is the club as the sheet says it, where its id does not say as much.
func kindName(c *club.Club) string {
	if c.Name == "" || strings.HasPrefix(c.ID, c.Name) {
		return Visible(c.Kind.String())
	}
	return Visible(c.Name)
}

func passes(n int) string { return counted(n, "rule passes", "rules pass") }

// words say how many rules a club passes.
func (c *standing) words() string {
	switch {
	case c.pass == 0 && c.exempt == 0:
		return "no rule is about it"
	case c.pass == 0:
		return counted(c.exempt, "rule exempts it", "rules exempt it")
	case c.exempt > 0:
		return passes(c.pass) + ", exempt from " + fmt.Sprint(c.exempt)
	}
	return passes(c.pass)
}

// bagName names a bag: its set, else its sheet.
func bagName(set, file string) string {
	if set == "" {
		return fileWords(file)
	}
	return Visible(set)
}

// sheetName is the sheet, where the bag's name is not the sheet already.
func sheetName(set, file string) string {
	if set == "" {
		return ""
	}
	return fileWords(file)
}

// clean reports whether nothing is to be said of any club.
func (n *counts) clean() bool {
	for to, many := range n.of {
		switch section(to) {
		case secPasses, secExempt, secDoubtful, secCharts, secRest, secLengths:
		default:
			if many > 0 {
				return false
			}
		}
	}
	return true
}

// name is the title of the first book.
func (g *gathering) name() string {
	if len(g.head.Books) == 0 {
		return "Rule books"
	}
	b := g.head.Books[0]
	if b.Title == "" {
		return Visible(b.Name)
	}
	return Visible(b.Title)
}

// restingRules are the rules that are not in force, with their days.
func (g *gathering) restingRules() []entry {
	var entries []entry
	for _, r := range g.head.NotInForce {
		span := ""
		if r.Decl.From != nil {
			span = "from " + r.Decl.From.Date.Value
		}
		if r.Decl.Until != nil {
			span = strings.TrimLeft(span+" until "+r.Decl.Until.Date.Value, " ")
		}
		entries = append(entries, entry{label: r.Decl.Name.Text, note: span + ", " + bookLine(r.Decl.Span, r.Book)})
	}
	return entries
}

// totals are those of a check, and its day.
func (g *gathering) totals(n *Totals) []entry {
	entries := []entry{{label: "rows", note: fmt.Sprintf("%d read = %d judged + %d refused", n.RowsJudged+n.RowsRefused, n.RowsJudged, n.RowsRefused)}}
	entries = append(entries, entry{label: "clubs", note: g.clubTotals()})
	v := n.Tally.Verdicts
	entries = append(entries, entry{label: "rules", note: fmt.Sprintf("%d pass, %d fail, %d too close, %d not measured, %d exempt",
		v[decide.Pass], v[decide.Fail], v[decide.TooClose], v[decide.Unmeasured], v[decide.Exempt])})
	if n.Tally.Conflicts > 0 {
		entries = append(entries, entry{label: "faults", note: counted(n.Tally.Conflicts, "place", "places") + " where the books disagree with themselves"})
	}
	if n.Tally.Advised > 0 {
		entries = append(entries, entry{label: "advice", note: counted(n.Tally.Advised, "piece", "pieces")})
	}
	entries = append(entries, entry{label: "day", note: g.head.On})
	return entries
}

// books are the books whose rules were judged.
func (g *gathering) books() []entry {
	var entries []entry
	for i, b := range g.head.Books {
		label := ""
		if i == 0 {
			label = "books"
		}
		note := Visible(b.Name)
		if b.Title != "" {
			note = Visible(b.Title) + " (" + note + ")"
		}
		if b.Edition != "" {
			note += ", edition " + b.Edition
		}
		entries = append(entries, entry{label: label, note: note})
	}
	return entries
}

// clubTotals is how many clubs pass and how many do not, by their own rules.
func (g *gathering) clubTotals() string {
	var parts []string
	for _, one := range []struct {
		v          decide.Verdict
		some, many string
	}{
		{decide.Pass, "passes", "pass"}, {decide.Fail, "fails", "fail"}, {decide.TooClose, "is too close", "are too close"},
		{decide.Unmeasured, "is not measured", "are not measured"}, {0, "meets no rule", "meet no rule"},
	} {
		if n := g.clubs[one.v]; n > 0 {
			parts = append(parts, counted(n, one.some, one.many))
		}
	}
	if g.torn > 0 {
		parts = append(parts, counted(g.torn, "has", "have")+" no verdict")
	}
	if parts == nil {
		return "none"
	}
	return strings.Join(parts, ", ")
}
