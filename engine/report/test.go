package report

// This file writes what the cases of rule books came to, for a person: what is not as
// expected first, then what no case shows yet. testjson.go writes it for other programs.

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/trial"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// Tested is what the cases of one book came to.
type Tested struct {
	Book     *book.Book
	Outcomes []trial.Outcome
	Coverage []trial.Coverage
	Added    []trial.Made // cases that were written into the book
	Left     []trial.Left // what no case could be worked out for
	Open     int          // cases that a person has still to confirm
}

// TestFormats lists the names of the formats of a test report.
func TestFormats() []string { return []string{"text", "json", "junit"} }

// Tests writes what the cases of books came to, in one of the formats.
func Tests(w io.Writer, format string, books []Tested, o Options) error {
	switch format {
	case "json":
		return testsJSON(w, books)
	case "junit":
		return testsJUnit(w, books)
	}
	return testsText(w, books, o)
}

// caseRun is a case with its outcomes.
type caseRun struct {
	decl     *ast.Case
	outcomes []trial.Outcome
}

// right reports whether all is as the case expects.
func (c *caseRun) right() bool {
	return !slices.ContainsFunc(c.outcomes, func(o trial.Outcome) bool { return !o.Right() })
}

// cases groups outcomes by their cases, which stand together.
func (t *Tested) cases() []caseRun {
	var out []caseRun
	for _, o := range t.Outcomes {
		if n := len(out); n == 0 || out[n-1].decl != o.Case {
			out = append(out, caseRun{decl: o.Case})
		}
		last := &out[len(out)-1]
		last.outcomes = append(last.outcomes, o)
	}
	return out
}

// caseTitle is the title of a case; without one its line serves.
func caseTitle(c *ast.Case) string {
	if c.Title != nil && c.Title.Value != "" {
		return Visible(c.Title.Value)
	}
	return fmt.Sprintf("line %d", c.Span.Line())
}

// onWords is the subject of an expectation as the book writes it: "a, b", "set one".
func onWords(e *ast.Expect) string {
	if e.OnSet {
		if e.Set != nil {
			return "set " + Visible(e.Set.Value)
		}
		return "set"
	}
	var ids []string
	for _, on := range e.On {
		id := Visible(on.ID.Value)
		if on.Of != nil {
			id += " of " + Visible(on.Of.Value)
		}
		ids = append(ids, id)
	}
	return strings.Join(ids, ", ")
}

// expectedWords is what an expectation asks for: "pass value 46 in +/- 0.1 in excepted".
func expectedWords(e *ast.Expect) string {
	s := e.Verdict.Text
	if e.Value != nil {
		s += " value " + oneLine(e.Value.Place())
		if e.PlusMinus != nil {
			s += " +/- " + oneLine(e.PlusMinus.Place())
		}
	}
	if e.Excepted {
		s += " excepted"
	}
	if e.Mend != nil {
		s += ` mend "` + Visible(e.Mend.Value) + `"`
	}
	return s
}

// gotWords is what came of an expectation, in the same order; of what was not asked for the
// verdict alone is said.
func gotWords(o *trial.Outcome) string {
	if o.Got == nil {
		return "none"
	}
	s := o.Got.Verdict.String()
	if o.Expect.Value != nil && o.Got.Value.Known() {
		s += " value " + o.Got.Value.String()
	}
	if o.Expect.Excepted && o.Got.Exception != nil {
		s += " excepted"
	}
	if o.Expect.Mend != nil && o.Got.Mend != "" {
		s += ` mend "` + Visible(o.Got.Mend) + `"`
	}
	return s
}

func testsText(w io.Writer, books []Tested, o Options) error {
	b := bufio.NewWriter(w)
	for i := range books {
		t := &books[i]
		name := Visible(t.Book.Title)
		if name == "" {
			name = Visible(t.Book.Name)
		}
		b.WriteString(ends(name, Visible(t.Book.Name)) + "\n")
		t.wrong(b, o)
		t.added(b, o)
		t.missing(b, o)
		t.totals(b)
		if i < len(books)-1 {
			b.WriteByte('\n')
		}
	}
	return b.Flush()
}

// wrong writes the expectations that were not met and, where asked, those that were.
func (t *Tested) wrong(w *bufio.Writer, o Options) {
	var wrong, right []*trial.Outcome
	for i := range t.Outcomes {
		if one := &t.Outcomes[i]; one.Right() {
			right = append(right, one)
		} else {
			wrong = append(wrong, one)
		}
	}
	switch {
	case len(t.Outcomes) == 0:
		w.WriteString("There are no cases.\n\n")
	case len(wrong) == 0:
		w.WriteString("All is as expected.\n\n")
	default:
		w.WriteString(o.title(decide.Fail, fmt.Sprintf("NOT AS EXPECTED: %d", len(wrong))))
		t.outcomes(w, o, wrong)
	}
	if len(right) > 0 && (o.Depth == Steps || o.Depth == Full) {
		w.WriteString(o.title(decide.Pass, fmt.Sprintf("AS EXPECTED: %d", len(right))))
		t.outcomes(w, o, right)
	}
}

func (t *Tested) outcomes(w *bufio.Writer, o Options, outcomes []*trial.Outcome) {
	for _, one := range outcomes {
		e := one.Expect
		left := e.Rule.Text + " on " + onWords(e)
		right := fmt.Sprintf("%s:%d", Visible(t.Book.Name), e.Span.Line())
		if o.Depth == Line {
			w.WriteString(wrap(right+": "+left+": "+Visible(one.Words()), 2, 6))
			continue
		}
		w.WriteString(ends(left, right) + wrap("case "+caseTitle(one.Case), 2, 4))
		w.WriteString(besides(one))
		if one.Why != "" {
			w.WriteString(block(4, []entry{{label: "because", note: Visible(one.Why)}}))
		}
		if one.Got != nil {
			got := *one.Got
			got.Steps = byLines(got.Steps)
			w.WriteString(explained(&got, 4, o.Depth == Full))
		}
		if c := one.Conflict; c != nil {
			var entries []entry
			for _, span := range conflictPlaces(c) {
				if !span.IsZero() {
					entries = append(entries, entry{label: fmt.Sprintf("line %d", span.Line()), note: oneLine(span)})
				}
			}
			w.WriteString(block(4, entries))
		}
		w.WriteByte('\n')
	}
	if o.Depth == Line {
		w.WriteByte('\n')
	}
}

// byLines are the facts behind a result on clubs of a case: where a club stands is a line
// of the book, not a row of a sheet.
func byLines(steps []engine.Step) []engine.Step {
	out := slices.Clone(steps)
	for i := range out {
		one := &out[i]
		if one.Place.Row > 0 && one.Club != "" {
			one.Club = fmt.Sprintf("%s, line %d", one.Club, one.Place.Row)
			one.Place = club.Row{}
		}
		one.Sub = byLines(one.Sub)
	}
	return out
}

// besides sets what was expected beside what was got; nothing where all is as expected.
func besides(o *trial.Outcome) string {
	if o.Right() {
		return ""
	}
	rows := [][]string{{"", "expected", "got"}}
	for _, d := range o.Wrong {
		rows = append(rows, []string{d.What, Visible(d.Expected), Visible(d.Got)})
	}
	s := table(4, rows)
	for line := range strings.Lines(s) {
		if width(line) > columns+1 { // one below the other instead
			var entries []entry
			for _, d := range o.Wrong {
				entries = append(entries, entry{label: d.What + " expected", note: Visible(d.Expected)}, entry{label: d.What + " got", note: Visible(d.Got)})
			}
			return block(4, entries)
		}
	}
	return s
}

// missing writes what no case shows, unless it was said with the reason already.
func (t *Tested) missing(w *bufio.Writer, o Options) {
	if len(t.Left) > 0 {
		return
	}
	var entries []entry
	for _, c := range t.Coverage {
		if len(c.Missing) > 0 {
			entries = append(entries, entry{label: c.Rule.Decl.Name.Text, note: strings.Join(gapWords(c.Missing), "; ")})
		}
	}
	if len(entries) == 0 {
		return
	}
	w.WriteString(o.title(decide.TooClose, fmt.Sprintf("NO CASE SHOWS: %d", t.gaps())) + block(2, entries) + "\n")
}

// added writes the cases that were written, and what none could be worked out for.
func (t *Tested) added(w *bufio.Writer, o Options) {
	if len(t.Added) > 0 {
		w.WriteString(o.title(decide.Pass, fmt.Sprintf("CASES WRITTEN: %d", len(t.Added))))
		var entries []entry
		for _, m := range t.Added {
			entries = append(entries, entry{label: m.Rule.Decl.Name.Text, note: strings.Join(gapWords(m.Shows), "; ")})
		}
		w.WriteString(block(2, entries) + "\n")
	}
	if len(t.Left) > 0 {
		w.WriteString(o.title(decide.TooClose, fmt.Sprintf("NO CASE SHOWS, AND NONE WAS FOUND: %d", len(t.Left))))
		var entries []entry
		for _, l := range t.Left {
			entries = append(entries, entry{label: l.Rule.Decl.Name.Text, note: l.Gap.String() + ": " + Visible(l.Reason)})
		}
		w.WriteString(block(2, entries) + "\n")
	}
}

func gapWords(gaps []trial.Gap) []string {
	words := make([]string, len(gaps))
	for i, g := range gaps {
		words[i] = g.String()
	}
	return words
}

// gaps is how many things no case shows.
func (t *Tested) gaps() int {
	n := 0
	for _, c := range t.Coverage {
		n += len(c.Missing)
	}
	return n
}

func (t *Tested) totals(w *bufio.Writer) {
	cases := t.cases()
	failed, wrong := 0, 0
	for i := range cases {
		if !cases[i].right() {
			failed++
		}
	}
	for i := range t.Outcomes {
		if !t.Outcomes[i].Right() {
			wrong++
		}
	}
	whole := 0
	for _, c := range t.Coverage {
		if len(c.Missing) == 0 {
			whole++
		}
	}
	entries := []entry{
		{label: "cases", note: fmt.Sprintf("%d: %d as expected, %d not", len(cases), len(cases)-failed, failed)},
		{label: "expectations", note: fmt.Sprintf("%d: %d as expected, %d not", len(t.Outcomes), len(t.Outcomes)-wrong, wrong)},
	}
	if t.Open > 0 {
		entries = append(entries, entry{label: "unconfirmed", note: counted(t.Open, "case was", "cases were") + " worked out by ferrule: look at each, then take its comment away"})
	}
	if len(t.Coverage) > 0 {
		note := fmt.Sprintf("%d shown whole, %d not", whole, len(t.Coverage)-whole)
		if slices.ContainsFunc(t.Book.Uses, func(u book.Use) bool { return len(u.Rules) > 0 }) {
			note += "; rules of other books are shown by the cases there"
		}
		entries = append(entries, entry{label: "rules", note: note})
	}
	w.WriteString("TOTALS\n\n" + block(2, entries))
}
