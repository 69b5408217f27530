package report

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/lang/ast"
)

// text writes the report for the bench: what fails first, then what is too close or
// not measured, the faults and the refused rows, a line for each club that passes,
// the rules that rest, and the totals. It gathers: of what passes it keeps a line,
// unless more was asked for.
type text struct {
	w      io.Writer
	o      Options
	head   *Head
	found  []finding // what does not pass, advice too
	passed []finding // with their facts, where that was asked for
	faults []*engine.Conflict
	unread []club.Refusal
	charts bytes.Buffer           // of the sets whose steps are shown
	lines  bytes.Buffer           // of the clubs that pass
	clubs  [decide.Exempt + 1]int // by their verdict; the first are those that no rule is about
	torn   int                    // clubs without a verdict, as the books disagree with themselves
	out    bytes.Buffer
}

// finding is a result with its bag, and its place in the order of the report.
type finding struct {
	*engine.Result
	bag *club.Set
	row int
}

func newText(w io.Writer, o Options) *text { return &text{w: w, o: o} }

func (t *text) Gathers() bool     { return true }
func (t *text) WantsPasses() bool { return true }

func (t *text) Begin(h *Head) error {
	t.head = h
	return nil
}

func (t *text) Render(dst []byte, _ *Set) []byte { return dst }

func (t *text) Add(_ []byte, sets []*Set) error {
	for _, s := range sets {
		t.add(s)
	}
	return nil
}

func (t *text) add(s *Set) {
	t.faults = append(t.faults, s.Conflicts...)
	t.unread = append(t.unread, s.Refused...)
	var found, passed []finding
	ofClub := map[string][]*engine.Result{}
	var pairs, whole int
	for _, r := range s.Results {
		one := finding{r, s.Bag, place(r.Subject, s.Bag).Row}
		switch {
		case r.Verdict < decide.Pass:
			found = append(found, one)
		case t.o.Depth == Steps || t.o.Depth == Full:
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
	t.found = append(t.found, inOrder(found)...)
	t.passed = append(t.passed, inOrder(passed)...)
	t.charts.WriteString(stepCharts(s, t.o))

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
			t.torn++
			continue
		}
		t.clubs[v]++
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
	if len(lines) > 0 && t.passed == nil {
		t.lines.WriteString(ends("  "+bagName(s.Bag.Name, s.Bag.File), sheetName(s.Bag.Name, s.Bag.File)))
		t.lines.WriteString(block(4, lines))
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

func (t *text) End(totals *Totals) error {
	t.heading()
	fails := t.section("Fails", decide.Fail, false)
	if !fails {
		t.out.WriteString("Nothing fails.\n\n")
	}
	t.section("Too close to call", decide.TooClose, false)
	t.unmeasured("Not measured, and what would decide it", false)
	t.conflicts()
	t.refused()
	t.section("Advice, which changes no verdict", decide.Fail, true)
	t.section("Advice that is too close to call", decide.TooClose, true)
	t.unmeasured("Advice that is not measured", true)
	if t.charts.Len() > 0 {
		t.out.WriteString("STEPS, CLUB BY CLUB\n\n" + t.charts.String() + stepLegend + "\n")
	}
	t.passing()
	t.resting()
	t.totals(totals)
	_, err := t.w.Write(t.out.Bytes())
	return err
}

func (t *text) heading() {
	name := "Rule books"
	if len(t.head.Books) > 0 {
		b := t.head.Books[0]
		if name = Visible(b.Title); name == "" {
			name = Visible(b.Name)
		}
	}
	t.out.WriteString(ends(name, "on "+t.head.On) + "\n")
}

// colours of verdicts: red, yellow, yellow, green.
var colours = map[decide.Verdict]string{decide.Fail: "31", decide.TooClose: "33", decide.Unmeasured: "33", decide.Pass: "32"}

// title writes the heading of a section.
func (t *text) title(v decide.Verdict, words string) { t.out.WriteString(t.o.title(v, words)) }

// title is the heading of a section.
func (o Options) title(v decide.Verdict, words string) string { return o.paint(v, words) + "\n\n" }

// paint gives words the colour of a verdict, where there is colour.
func (o Options) paint(v decide.Verdict, words string) string {
	if o.Colour {
		return "\x1b[1;" + colours[v] + "m" + words + "\x1b[0m"
	}
	return words
}

// coloured is a word in the colour of a verdict.
func coloured(v decide.Verdict, word string) string {
	return "\x1b[" + colours[v] + "m" + word + "\x1b[0m"
}

// section writes the findings of a verdict, grouped by subject. It is false where
// there are none.
func (t *text) section(words string, v decide.Verdict, advice bool) bool {
	var found []finding
	for _, f := range t.found {
		if f.Verdict == v && f.Rule.Decl.Advice == advice {
			found = append(found, f)
		}
	}
	if len(found) == 0 {
		return false
	}
	colour := v
	if advice {
		colour = decide.TooClose
	}
	t.title(colour, fmt.Sprintf("%s: %d", strings.ToUpper(words), len(found)))
	t.findings(found)
	return true
}

func (t *text) findings(found []finding) {
	last := ""
	for i, f := range found {
		left, right := subjectLine(f)
		if t.o.Depth == Line {
			t.out.WriteString(wrap(string(appendMessage([]byte(left0(f)+f.Rule.Decl.Name.Text+": "), f.Result))+" ("+right+")", 2, 6))
			if i == len(found)-1 {
				t.out.WriteByte('\n')
			}
			continue
		}
		if left+right != last {
			t.out.WriteString(ends(left, right))
			last = left + right
		}
		name := f.Rule.Decl.Name.Text
		if f.Rule.Decl.Title != nil {
			name += ": " + Visible(f.Rule.Decl.Title.Value)
		}
		t.out.WriteString(wrap(name, 2, 4))
		t.out.WriteString(explained(f.Result, 4, t.o.Depth == Full))
		t.out.WriteByte('\n')
	}
}

// left0 is the bag's name before a finding told on one line.
func left0(f finding) string {
	if f.Subject.Set == "" {
		return ""
	}
	return Visible(f.Subject.Set) + ", "
}

// subjectLine names the subject of a finding, and its row.
func subjectLine(f finding) (left, right string) {
	left = title(f.Subject)
	if f.Subject.Set != "" {
		left = Visible(f.Subject.Set) + ", " + left
	}
	switch n := len(f.Subject.Clubs); n {
	case 0:
		right = fileWords(f.Subject.File)
	case 1:
		right = rowWords(f.Subject.Clubs[0].Place())
	default:
		p := f.Subject.Clubs[0].Place()
		right = fmt.Sprintf("%s rows %d", fileWords(p.File), p.Row)
		for i, c := range f.Subject.Clubs[1:] {
			sep := ", "
			if i == n-2 {
				sep = " and "
			}
			right += fmt.Sprintf("%s%d", sep, c.Place().Row)
		}
	}
	return left, right
}

func (t *text) conflicts() {
	if len(t.faults) == 0 {
		return
	}
	t.title(decide.Fail, fmt.Sprintf("FAULTS OF THE BOOK THAT SHOW HERE: %d", len(t.faults)))
	for _, c := range t.faults {
		f := finding{Result: &engine.Result{Rule: c.Rule, Subject: c.Subject}}
		t.out.WriteString(ends(subjectLine(f)))
		at := conflictPlaces(c)
		entries := []entry{{label: "wrong", note: Visible(c.Message)}}
		for _, span := range at {
			if !span.IsZero() {
				entries = append(entries, entry{label: fmt.Sprintf("line %d", span.Line()), note: oneLine(span)})
			}
		}
		entries = append(entries, entry{label: "rule", note: bookLine(c.Rule.Decl.Span, c.Rule.Book)})
		t.out.WriteString(wrap(c.Rule.Decl.Name.Text+" has no verdict here", 2, 4) + block(4, entries) + "\n")
	}
}

func (t *text) refused() {
	if len(t.unread) > 0 {
		t.out.WriteString(unread(t.unread, t.o))
	}
}

// unread is the section of the refused rows.
func unread(rows []club.Refusal, o Options) string {
	var b strings.Builder
	b.WriteString(o.title(decide.Fail, fmt.Sprintf("ROWS THAT COULD NOT BE READ: %d", len(rows))))
	for _, f := range rows {
		left := rowWords(f.Row)
		if f.Column != "" {
			left += ", column " + Visible(f.Column)
		}
		if f.Set != "" {
			left = Visible(f.Set) + ", " + left
		}
		b.WriteString(left + "\n")
		var entries []entry
		if f.Read != "" {
			entries = append(entries, entry{label: "read", note: Visible(f.Read)})
		}
		entries = append(entries, entry{label: "wrong", note: Visible(f.Message)})
		if f.Hint != "" {
			entries = append(entries, entry{label: "mend", note: Visible(f.Hint)})
		}
		b.WriteString(block(4, entries))
	}
	b.WriteByte('\n')
	return b.String()
}

// unmeasured writes what is not measured: what is wanted in each bag, unless more, or
// a line for each result, was asked for.
func (t *text) unmeasured(words string, advice bool) {
	if t.o.Depth != Usual {
		t.section(words, decide.Unmeasured, advice)
		return
	}
	var found []finding
	for _, f := range t.found {
		if f.Verdict == decide.Unmeasured && f.Rule.Decl.Advice == advice {
			found = append(found, f)
		}
	}
	if len(found) == 0 {
		return
	}
	t.title(decide.Unmeasured, fmt.Sprintf("%s: %d", strings.ToUpper(words), len(found)))
	for len(found) > 0 {
		bag := found[0].bag
		n := slices.IndexFunc(found, func(f finding) bool { return f.bag != bag })
		if n < 0 {
			n = len(found)
		}
		var entries []entry
		for _, w := range wants(found[:n]) {
			entries = append(entries, w.entries(bag)...)
		}
		t.out.WriteString(ends(bagName(bag.Name, bag.File), sheetName(bag.Name, bag.File)) + block(2, entries) + "\n")
		found = found[n:]
	}
}

// passing writes what passes: a line a club, or with its facts where asked.
func (t *text) passing() {
	if len(t.passed) > 0 {
		t.title(decide.Pass, fmt.Sprintf("PASSES: %d", len(t.passed)))
		t.findings(t.passed)
		return
	}
	if t.lines.Len() == 0 {
		return
	}
	words := "PASSES"
	if len(t.found) > 0 || len(t.unread) > 0 || len(t.faults) > 0 {
		words = "THE REST"
	}
	t.title(decide.Pass, words)
	t.out.Write(t.lines.Bytes())
	t.out.WriteByte('\n')
}

func (t *text) resting() {
	if len(t.head.NotInForce) == 0 {
		return
	}
	t.out.WriteString("NOT IN FORCE ON " + t.head.On + "\n\n")
	var entries []entry
	for _, r := range t.head.NotInForce {
		span := ""
		if r.Decl.From != nil {
			span = "from " + r.Decl.From.Date.Value
		}
		if r.Decl.Until != nil {
			span = strings.TrimLeft(span+" until "+r.Decl.Until.Date.Value, " ")
		}
		entries = append(entries, entry{label: r.Decl.Name.Text, note: span + ", " + bookLine(r.Decl.Span, r.Book)})
	}
	t.out.WriteString(block(2, entries) + "\n")
}

func (t *text) totals(n *Totals) {
	t.out.WriteString("TOTALS\n\n")
	entries := []entry{{label: "rows", note: fmt.Sprintf("%d read = %d judged + %d refused", n.RowsJudged+n.RowsRefused, n.RowsJudged, n.RowsRefused)}}
	entries = append(entries, entry{label: "clubs", note: t.clubTotals()})
	v := n.Tally.Verdicts
	entries = append(entries, entry{label: "rules", note: fmt.Sprintf("%d pass, %d fail, %d too close, %d not measured, %d exempt",
		v[decide.Pass], v[decide.Fail], v[decide.TooClose], v[decide.Unmeasured], v[decide.Exempt])})
	if n.Tally.Conflicts > 0 {
		entries = append(entries, entry{label: "faults", note: counted(n.Tally.Conflicts, "place", "places") + " where the books disagree with themselves"})
	}
	if n.Tally.Advised > 0 {
		entries = append(entries, entry{label: "advice", note: counted(n.Tally.Advised, "piece", "pieces")})
	}
	entries = append(entries, entry{label: "day", note: t.head.On})
	for i, b := range t.head.Books {
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
	t.out.WriteString(block(2, entries))
}

// clubTotals is how many clubs pass and how many do not, by their own rules.
func (t *text) clubTotals() string {
	var parts []string
	for _, one := range []struct {
		v          decide.Verdict
		some, many string
	}{
		{decide.Pass, "passes", "pass"}, {decide.Fail, "fails", "fail"}, {decide.TooClose, "is too close", "are too close"},
		{decide.Unmeasured, "is not measured", "are not measured"}, {0, "meets no rule", "meet no rule"},
	} {
		if n := t.clubs[one.v]; n > 0 {
			parts = append(parts, counted(n, one.some, one.many))
		}
	}
	if t.torn > 0 {
		parts = append(parts, counted(t.torn, "has", "have")+" no verdict")
	}
	if parts == nil {
		return "none"
	}
	return strings.Join(parts, ", ")
}
