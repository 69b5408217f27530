package report

import (
	"bufio"
	"cmp"
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
	w   io.Writer
	out *bufio.Writer
}

func newText(w io.Writer, o Options) *text {
	t := &text{w: w, gathering: gathering{o: o}}
	t.draw = t
	return t
}

func (t *text) End(totals *Totals) error {
	defer t.doc.Close()
	t.out = bufio.NewWriter(t.w)
	t.out.WriteString(ends(t.name(), "on "+t.head.On) + "\n")
	t.section(secDoubtful, decide.TooClose, "DOUBTFUL READINGS", "\n")
	tail := ""
	if t.o.Depth == Line {
		tail = "\n"
	}
	if !t.section(secFails, decide.Fail, "FAILS", tail) {
		t.out.WriteString("Nothing fails.\n\n")
	}
	t.section(secTooClose, decide.TooClose, "TOO CLOSE TO CALL", tail)
	t.section(secUnmeasured, decide.Unmeasured, "NOT MEASURED, AND WHAT WOULD DECIDE IT", tail)
	t.section(secConflicts, decide.Fail, "FAULTS OF THE BOOK THAT SHOW HERE", "")
	t.section(secRefused, decide.Fail, "ROWS THAT COULD NOT BE READ", "\n")
	t.section(secAdviceFails, decide.TooClose, "ADVICE, WHICH CHANGES NO VERDICT", tail)
	t.section(secAdviceTooClose, decide.TooClose, "ADVICE THAT IS TOO CLOSE TO CALL", tail)
	t.section(secAdviceUnmeasured, decide.Unmeasured, "ADVICE THAT IS NOT MEASURED", tail)
	if !t.doc.empty(secCharts) {
		t.out.WriteString("STEPS, CLUB BY CLUB\n\n")
		t.write(secCharts)
		t.out.WriteString(stepLegend + "\n")
	}
	words := "PASSES"
	if !t.clean() {
		words = "THE REST"
	}
	if !t.section(secPasses, decide.Pass, "PASSES", "") {
		t.section(secRest, decide.Pass, words, "\n")
	}
	if len(t.head.NotInForce) > 0 {
		t.out.WriteString("NOT IN FORCE ON " + t.head.On + "\n\n" + block(2, t.restingRules()) + "\n")
	}
	t.out.WriteString("TOTALS\n\n" + block(2, append(t.totals(totals), t.books()...)))
	return cmp.Or(t.doc.Err(), t.out.Flush())
}

// section writes a section below its title and its number, with tail behind it. It is false where there is none.
func (t *text) section(of section, colour decide.Verdict, title, tail string) bool {
	if t.doc.empty(of) {
		return false
	}
	if of != secRest {
		title += fmt.Sprintf(": %d", t.of[of])
	}
	t.out.WriteString(t.o.title(colour, title))
	t.write(of)
	t.out.WriteString(tail)
	return true
}

// write writes the text of a section. What goes wrong with t.out stays with it until the end.
func (t *text) write(of section) {
	t.doc.write(of, func(text []byte) error {
		_, err := t.out.Write(text)
		return err
	})
}

// colours of verdicts: red, yellow, yellow, green.
var colours = map[decide.Verdict]string{decide.Fail: "31", decide.TooClose: "33", decide.Unmeasured: "33", decide.Pass: "32"}

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

func (t *text) finding(dst []byte, r *engine.Result) ([]byte, int) {
	left, right := subjectLine(r.Subject)
	head := len(dst)
	if t.o.Depth == Line {
		line := appendMessage([]byte(setBefore(r.Subject)+r.Rule.Decl.Name.Text+": "), r)
		return append(dst, wrap(string(line)+" ("+right+")", 2, 6)...), head
	}
	dst = append(dst, ends(left, right)...)
	head = len(dst)
	dst = append(append(dst, wrap(ruleTitle(r.Rule), 2, 4)...), explained(r, 4, t.o.Depth == Full)...)
	return append(dst, '\n'), head
}

// setBefore is the name of a set before something that is said of it on one line; nothing where it has none.
func setBefore(s engine.Subject) string {
	if s.Set == "" {
		return ""
	}
	return Visible(s.Set) + ", "
}

// subjectLine names a subject, and its row.
func subjectLine(s engine.Subject) (left, right string) {
	left = setBefore(s) + title(s)
	switch n := len(s.Clubs); n {
	case 0:
		right = fileWords(s.File)
	case 1:
		right = rowWords(s.Clubs[0].Place())
	default:
		p := s.Clubs[0].Place()
		right = fmt.Sprintf("%s rows %d", fileWords(p.File), p.Row)
		for i, c := range s.Clubs[1:] {
			sep := ", "
			if i == n-2 {
				sep = " and "
			}
			right += fmt.Sprintf("%s%d", sep, c.Place().Row)
		}
	}
	return left, right
}

func (t *text) fault(dst []byte, c *engine.Conflict) []byte {
	entries := append(faultEntries(c), entry{label: "rule", note: bookLine(c.Rule.Decl.Span, c.Rule.Book)})
	dst = append(append(dst, ends(subjectLine(c.Subject))...), wrap(c.Rule.Decl.Name.Text+" has no verdict here", 2, 4)...)
	return append(append(dst, block(4, entries)...), '\n')
}

func (t *text) doubt(dst []byte, d club.Doubt) []byte { return append(dst, doubtLines(d)...) }

func (t *text) refusal(dst []byte, f club.Refusal) []byte { return append(dst, refusalLines(f)...) }

func (t *text) missing(dst []byte, bag *club.Set, lines []entry) []byte {
	dst = append(dst, ends(bagName(bag.Name, bag.File), sheetName(bag.Name, bag.File))...)
	return append(append(dst, block(2, lines)...), '\n')
}

func (t *text) passing(dst []byte, bag *club.Set, lines []entry) []byte {
	dst = append(dst, ends("  "+bagName(bag.Name, bag.File), sheetName(bag.Name, bag.File))...)
	return append(dst, block(4, lines)...)
}

func (t *text) chart(dst []byte, text string) []byte { return append(dst, text...) }

func (t *text) lengths(dst []byte, _ *club.Set, _ *counts) []byte { return dst }

// unread is the section of the refused rows; nothing where there are none.
func unread(rows []club.Refusal, o Options) string {
	if len(rows) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(o.title(decide.Fail, fmt.Sprintf("ROWS THAT COULD NOT BE READ: %d", len(rows))))
	for _, f := range rows {
		b.WriteString(refusalLines(f))
	}
	b.WriteByte('\n')
	return b.String()
}

// refusalLines are what is said of a refused row.
func refusalLines(f club.Refusal) string {
	left := rowWords(f.Row)
	if f.Column != "" {
		left += ", column " + Visible(f.Column)
	}
	if f.Set != "" {
		left = Visible(f.Set) + ", " + left
	}
	var entries []entry
	if f.Read != "" {
		entries = append(entries, entry{label: "read", note: readWords(f.Read)})
	}
	entries = append(entries, entry{label: "wrong", note: Visible(f.Message)})
	if f.Hint != "" {
		entries = append(entries, entry{label: "mend", note: Visible(f.Hint)})
	}
	return left + "\n" + block(4, entries)
}

// readWords is what stood in a cell as a person looks at it, its first hundred characters.
func readWords(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return Visible(s)
}
