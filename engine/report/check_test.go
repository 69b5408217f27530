package report_test

import (
	"strings"
	"testing"

	"ferrule/engine/report"
)

// What is said of a bag by its sheet alone: nothing is said to pass that was not judged whole, a measurement is asked for
// once, what the sheet has no column for is one line, and pairs are counted once each.
func TestABagIsReadAtOnce(t *testing.T) {
	const lies = "rule lies\n  for every iron\n  require lie at most 62 deg\n"
	const lofts = "rule lofts\n  for every iron\n  require loft at most 30 deg\n"
	const steps = "rule more-lofts\n  for neighbours among iron by number\n  require rise of loft at least 3 deg\n"
	for _, c := range []struct {
		what, book, rows string
		want             []string
		not              string
	}{
		{"a column that the sheet lacks", lies + lofts, "id,club,lie (deg)\ni5,5 iron,61\ni6,6 iron,63\n",
			[]string{"in part    5 iron: what could be judged passes", "FAILS      6 iron (i6): lie 63 deg; at most 62 deg; 1 deg over",
				"the sheet has no column loft: 1 rule could not be judged"}, "MISSING"},
		{"a column that its only rule asks for", lofts, "id,club\ni5,5 iron\n",
			[]string{"MISSING    5 iron: columns are missing, see below"}, "in part"},
		{"an empty cell", lies + lofts, "id,club,lie (deg),loft (deg)\ni5,5 iron,61,26\ni6,6 iron,62,\n",
			[]string{"MISSING    loft of 6 iron (i6), for lofts\n", "passes     5 iron\n"}, "in part"},
		{"one measurement for two rules", lofts + steps, "id,club,loft (deg)\ni5,5 iron,26\ni6,6 iron,\n",
			[]string{"MISSING    loft of 6 iron (i6), for lofts, more-lofts\n", "passes     5 iron (by itself)\n",
				"the pair is not measured"}, "passes     5 iron\n"},
		{"a pair that two rules are about", steps + dropRule + steps[:5] + "again" + steps[15:],
			"id,club,length,by,loft (deg)\ni5,5 iron,38 in,soled,26\ni6,6 iron,37 1/4 in,soled,27\n",
			[]string{"the pair fails", "[drops]", "[more-lofts]", "[again]"}, "of 3 pairs"},
		{"all passes", lies, "id,club,lie (deg)\ni5,5 iron,61\ni6,6 iron,62\np,putter,70\n",
			[]string{"passes     5 iron, 6 iron\n", "no rule    putter\n"}, "FAILS"},
		{"two of one name", lies, "id,club,lie (deg)\na,5 iron,61\nb,5 iron,62\n", []string{"passes     5 iron (a), 5 iron (b)\n"}, "FAILS"},
	} {
		text := ready(t, c.book).drawn(t, c.rows, report.Options{})
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q is not in\n%s", c.what, want, text)
			}
		}
		if strings.Contains(text, c.not) {
			t.Errorf("%s: %q is in\n%s", c.what, c.not, text)
		}
	}
}

// A mend has four figures of what is no whole number, brought up (5/3 - 1.5 is 0.1666...), and counts whole things whole.
func TestAMendOfARatioHasFourFigures(t *testing.T) {
	const book = "property rungs count\nrule third\n  for every driver\n  require (rungs / 3) at most 1.5\n  mend \"Less by {to-pass}.\"\n" +
		"rule few\n  for each set\n  require count of club below 2\n  mend \"Leave {to-pass} at home.\"\n"
	text := ready(t, book).drawn(t, "id,club,rungs\nd,driver,5\np,putter,3\n", report.Options{})
	for _, want := range []string{"Less by 0.1667.", "Leave 1 at home."} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

// A sheet in millimetres is answered in them by a book in inches; 46 in are 1168.4 mm (an inch is 25.4 mm by definition).
// The mend is the book's own: 1.6 mm are 0.063 in, a little more than a sixteenth, in every format.
func TestAMetricSheetIsAnsweredInMillimetres(t *testing.T) {
	const book = "rule longest\n  for every driver\n  require length by soled at most 46 in\n" +
		"  mend \"Take {to-pass} off {club}, now {value}.\"\n"
	text := ready(t, book).drawn(t, "id,club,length,by\nd,driver,1170 mm,soled\n", report.Options{Depth: report.Steps})
	for _, want := range []string{"driver (d): 1170 mm by soled; at most 1168.4 mm; 1.6 mm too long", "length by soled  1170 mm",
		"Take 1/8 in off driver (d), now 46.063 in."} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
	// 45 3/8 in are 1152.525 mm: a limit promises no more than that, and nothing that fails is printed as within it.
	for _, c := range [][3]string{
		{"at most", "1156", "1156 mm by soled; at most 1152.5 mm; 3.5 mm too long"},
		{"at most", "1152.55", "1152.6 mm by soled; at most 1152.5 mm; 0.03 mm too long"},
		{"at most", "1152.53", "1152.53 mm by soled; at most 1152.5 mm; 0.005 mm"},
		{"at least", "1150", "1150 mm by soled; at least 1152.6 mm; 2.5 mm too short"},
		{"at least", "1152.52", "1152.5 mm by soled; at least 1152.6 mm; 0.005 mm"},
		{"is", "1150", "1150 mm by soled; exactly 1152.525 mm; 2.5 mm too short"},
	} {
		converted := "rule length\n  for every driver\n  require length by soled " + c[0] + " 45 3/8 in\n"
		if text := ready(t, converted).drawn(t, "id,club,length,by\nd,driver,"+c[1]+" mm,soled\n", report.Options{}); !strings.Contains(text, c[2]) {
			t.Errorf("%q is not in\n%s", c[2], text)
		}
	}
	if text = ready(t, book).drawn(t, "id,club,length,by\nd,driver,46 1/4 in,soled\n", report.Options{}); !strings.Contains(text, "46 1/4 in by soled; at most 46 in; 1/4 in too long") ||
		!strings.Contains(text, "Take 1/4 in off driver (d), now 46 1/4 in.") {
		t.Errorf("a sheet in inches:\n%s", text)
	}
}
