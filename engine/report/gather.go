package report

// This file gathers what the reports for a reader, text and html, are made of: what does not
// pass, the faults and the refused rows, a line for each club that passes, and the counts of clubs.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
)

// gathering is what a report for a reader keeps of the sets. Of what passes it keeps a line,
// unless more was asked for.
type gathering struct {
	o        Options
	head     *Head
	found    []finding // what does not pass, advice too
	passed   []finding // with their facts, where that was asked for
	faults   []*engine.Conflict
	unread   []club.Refusal
	doubtful []club.Doubt
	rest     []bagLines             // what passes, where it was not asked for in full
	clubs    [decide.Exempt + 1]int // by their verdict; the first are those that no rule is about
	torn     int                    // clubs without a verdict, as the books disagree with themselves
}

// finding is a result with its bag, and its place in the order of the report.
type finding struct {
	*engine.Result
	bag *club.Set
	row int
}

// bagLines is what is said of a bag, a line a club or a want.
type bagLines struct {
	name, sheet string
	lines       []entry
}

func (g *gathering) Gathers() bool     { return true }
func (g *gathering) WantsPasses() bool { return true }

func (g *gathering) Begin(h *Head) error {
	g.head = h
	return nil
}

// Render says nothing of a set by itself.
func (g *gathering) Render(dst []byte, _ *Set) []byte { return dst }

// full reports whether what passes is shown with its facts too.
func (g *gathering) full() bool { return g.o.Depth == Steps || g.o.Depth == Full }

func (g *gathering) add(s *Set) {
	g.faults = append(g.faults, s.Conflicts...)
	g.unread = append(g.unread, s.Refused...)
	g.doubtful = append(g.doubtful, s.Doubtful...)
	var found, passed []finding
	ofClub := map[string][]*engine.Result{}
	var pairs, whole int
	for _, r := range s.Results {
		one := finding{r, s.Bag, place(r.Subject, s.Bag).Row}
		switch {
		case r.Verdict < decide.Pass:
			found = append(found, one)
		case g.full():
			passed = append(passed, one)
		}
		switch {
		case r.Subject.Kind == ast.OfClub && len(r.Subject.Clubs) == 1:
			id := r.Subject.Clubs[0].ID
			ofClub[id] = append(ofClub[id], r)
		case r.Rule.Decl.Advice || r.Verdict < decide.Pass:
		case r.Subject.Kind == ast.OfNeighbours:
			pairs++
		default:
			whole++
		}
	}
	g.found = append(g.found, inOrder(found)...)
	g.passed = append(g.passed, inOrder(passed)...)

	var lines []entry
	torn := map[string]bool{}
	for _, c := range s.Conflicts {
		if c.Subject.Kind == ast.OfClub {
			torn[c.Subject.Clubs[0].ID] = true
		}
	}
	for _, c := range s.Bag.Clubs {
		v := worst(ofClub[c.ID])
		if torn[c.ID] && v != decide.Fail {
			g.torn++
			continue
		}
		g.clubs[v]++
		if v == decide.Pass || v == 0 {
			lines = append(lines, entry{label: Visible(c.ID), amount: kindName(c), note: passWords(ofClub[c.ID])})
		}
	}
	if pairs > 0 {
		lines = append(lines, entry{label: "neighbours", note: counted(pairs, "pair passes", "pairs pass")})
	}
	if whole > 0 {
		lines = append(lines, entry{label: "whole set", note: passes(whole)})
	}
	if len(lines) > 0 && g.passed == nil {
		g.rest = append(g.rest, bagLines{bagName(s.Bag.Name, s.Bag.File), sheetName(s.Bag.Name, s.Bag.File), lines})
	}
}

// inOrder sorts the findings of a bag by their subjects: clubs as they stand on the
// sheet, each before the pair that it begins; the order of the rules is kept.
func inOrder(found []finding) []finding {
	slices.SortStableFunc(found, func(a, b finding) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(int(a.Subject.Kind), int(b.Subject.Kind)))
	})
	return found
}

// kindName is the club as the sheet says it, where its id does not say as much.
func kindName(c *club.Club) string {
	if c.Name == "" || strings.HasPrefix(c.ID, c.Name) {
		return Visible(c.Kind.String())
	}
	return Visible(c.Name)
}

func passes(n int) string { return counted(n, "rule passes", "rules pass") }

// passWords says how many rules a club passes.
func passWords(results []*engine.Result) string {
	var pass, exempt int
	for _, r := range results {
		switch {
		case r.Rule.Decl.Advice:
		case r.Verdict == decide.Exempt:
			exempt++
		default:
			pass++
		}
	}
	switch {
	case pass == 0 && exempt == 0:
		return "no rule is about it"
	case pass == 0:
		return counted(exempt, "rule exempts it", "rules exempt it")
	case exempt > 0:
		return passes(pass) + ", exempt from " + fmt.Sprint(exempt)
	}
	return passes(pass)
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
func (g *gathering) clean() bool {
	return len(g.found) == 0 && len(g.unread) == 0 && len(g.faults) == 0
}

// of are the findings of a verdict, of rules or of advice.
func (g *gathering) of(v decide.Verdict, advice bool) []finding {
	var found []finding
	for _, f := range g.found {
		if f.Verdict == v && f.Rule.Decl.Advice == advice {
			found = append(found, f)
		}
	}
	return found
}

// wanted tells of findings that are not measured what is missing, bag by bag.
func wanted(found []finding) []bagLines {
	var out []bagLines
	for len(found) > 0 {
		bag := found[0].bag
		n := slices.IndexFunc(found, func(f finding) bool { return f.bag != bag })
		if n < 0 {
			n = len(found)
		}
		one := bagLines{name: bagName(bag.Name, bag.File), sheet: sheetName(bag.Name, bag.File)}
		for _, w := range wants(found[:n]) {
			one.lines = append(one.lines, w.entries(bag)...)
		}
		out = append(out, one)
		found = found[n:]
	}
	return out
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

// counts are the totals of a check, and its day.
func (g *gathering) counts(n *Totals) []entry {
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
