package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
)

// text writes the report for the bench: what fails first, then what is too close or
// not measured, the faults and the refused rows, a line for each club that passes,
// the rules that rest, and the totals.
type text struct {
	gathering
	w      io.Writer
	charts bytes.Buffer // of the sets whose steps are shown
	out    bytes.Buffer
}

func newText(w io.Writer, o Options) *text { return &text{w: w, gathering: gathering{o: o}} }

func (t *text) Add(_ []byte, sets []*Set) error {
	for _, s := range sets {
		t.add(s)
		t.charts.WriteString(stepCharts(s, t.o))
	}
	return nil
}

func (t *text) End(totals *Totals) error {
	t.heading()
	t.out.WriteString(doubtfulText(append(t.doubtful, totals.Doubtful.List...), t.o))
	fails := t.section("Fails", decide.Fail, false)
	if !fails {
		t.out.WriteString("Nothing fails.\n\n")
	}
	t.section("Too close to call", decide.TooClose, false)
	t.unmeasured("Not measured, and what would decide it", false)
	t.conflicts()
	t.out.WriteString(unread(t.unread, t.o))
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
	t.out.WriteString(ends(t.name(), "on "+t.head.On) + "\n")
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
	found := t.of(v, advice)
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
		t.out.WriteString(wrap(ruleTitle(f.Rule), 2, 4))
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
		entries := append(faultEntries(c), entry{label: "rule", note: bookLine(c.Rule.Decl.Span, c.Rule.Book)})
		t.out.WriteString(wrap(c.Rule.Decl.Name.Text+" has no verdict here", 2, 4) + block(4, entries) + "\n")
	}
}

// unread is the section of the refused rows; nothing where there are none.
func unread(rows []club.Refusal, o Options) string {
	if len(rows) == 0 {
		return ""
	}
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
			entries = append(entries, entry{label: "read", note: readWords(f.Read)})
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

// readWords is what stood in a cell as a person looks at it, its first hundred characters.
func readWords(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return Visible(s)
}

// unmeasured writes what is not measured: what is wanted in each bag, unless more, or
// a line for each result, was asked for.
func (t *text) unmeasured(words string, advice bool) {
	if t.o.Depth != Usual {
		t.section(words, decide.Unmeasured, advice)
		return
	}
	found := t.of(decide.Unmeasured, advice)
	if len(found) == 0 {
		return
	}
	t.title(decide.Unmeasured, fmt.Sprintf("%s: %d", strings.ToUpper(words), len(found)))
	for _, b := range wanted(found) {
		t.out.WriteString(ends(b.name, b.sheet) + block(2, b.lines) + "\n")
	}
}

// passing writes what passes: a line a club, or with its facts where asked.
func (t *text) passing() {
	if len(t.passed) > 0 {
		t.title(decide.Pass, fmt.Sprintf("PASSES: %d", len(t.passed)))
		t.findings(t.passed)
		return
	}
	if len(t.rest) == 0 {
		return
	}
	words := "PASSES"
	if !t.clean() {
		words = "THE REST"
	}
	t.title(decide.Pass, words)
	for _, b := range t.rest {
		t.out.WriteString(ends("  "+b.name, b.sheet) + block(4, b.lines))
	}
	t.out.WriteByte('\n')
}

func (t *text) resting() {
	if len(t.head.NotInForce) == 0 {
		return
	}
	t.out.WriteString("NOT IN FORCE ON " + t.head.On + "\n\n")
	t.out.WriteString(block(2, t.restingRules()) + "\n")
}

func (t *text) totals(n *Totals) {
	t.out.WriteString("TOTALS\n\n" + block(2, append(t.counts(n), t.books()...)))
}
