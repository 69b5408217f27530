package report_test

// The chart of a set's steps is compared with arithmetic of its own: where marks and bands
// are on the page must tell what exact sixteenths of an inch tell.

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"pgregory.net/rapid"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// failer is a test, of rapid or not.
type failer interface {
	Helper()
	Fatalf(string, ...any)
}

// drawn is the report for the bench on a sheet by a book, whose text goes on after "use methods".
func drawn(t failer, book, rows string, o report.Options) string {
	t.Helper()
	return ready(t, book).drawn(t, rows, o)
}

// rules is a book made ready.
type rules struct {
	roots []*book.Book
	*judge.Program
}

func ready(t failer, book string) rules {
	t.Helper()
	text := "rulebook \"Steps\"\nuse methods\n" + book
	loaded, mistakes := load.Load(rulesets.FS(), []load.Root{{FS: fstest.MapFS{"b.ferrule": {Data: []byte(text)}}, Path: "b.ferrule", Show: "b.ferrule"}})
	if mistakes.HasErrors() {
		t.Fatalf("%s\n%s", mistakes[0].Message, text)
	}
	return rules{loaded.Roots, judge.Compile(loaded.Roots, loaded.Schema)}
}

// drawn is the report for the bench on a sheet.
func (p rules) drawn(t failer, rows string, o report.Options) string {
	t.Helper()
	in, problem := sheet.Open("bag.csv", strings.NewReader(rows), sheet.Options{Schema: p.Schema})
	if problem != nil {
		t.Fatalf("%v", problem)
	}
	var out bytes.Buffer
	w, err := report.New(&out, o)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if err := w.Begin(&data.Head{Books: p.roots, On: "2026-05-02"}); err != nil {
		t.Fatalf("%v", err)
	}
	var totals data.Totals
	for {
		bag, ok := in.Next()
		if !ok {
			break
		}
		s := report.NewSheaf(nil)
		s.Begin(bag)
		totals.Tally.Add(p.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(bag, judge.Sink{
			Result:   func(r *judge.Result) { w.Result(s, r) },
			Conflict: func(c *judge.Conflict) { w.Conflict(s, c) },
		}))
		totals.RowsJudged += bag.Rows
		w.Close(s, nil, nil)
		if err := w.Add(s); err != nil {
			t.Fatalf("%v", err)
		}
	}
	if err := w.End(&totals); err != nil {
		t.Fatalf("%v", err)
	}
	return out.String()
}

// chartOf is the part of a report that shows steps; "" if there is none.
func chartOf(text string) string {
	at := strings.Index(text, " in the order of ")
	if at < 0 {
		return ""
	}
	text, _, _ = strings.Cut(text[strings.LastIndex(text[:at], "\n\n")+1:], "\n  o passes or comes first")
	return text
}

// onPage fails where a line leaves the page or says what no amount is. Chinese characters
// take two columns, marks upon letters none (Unicode Standard Annex 11).
func onPage(t failer, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		n := 0
		for _, r := range strings.TrimRight(line, "\n") {
			switch n++; {
			case unicode.Is(unicode.Han, r):
				n++
			case unicode.Is(unicode.Mn, r):
				n--
			}
		}
		if n > 80 {
			t.Fatalf("%d columns: %s", n, line)
		}
		if strings.TrimRight(line, " \n")+"\n" != line {
			t.Fatalf("a line ends in blanks: %q", line)
		}
		for _, bad := range []string{"NaN", "Inf", "∞"} {
			if strings.Contains(line, bad) {
				t.Fatalf("%s in %s", bad, line)
			}
		}
	}
}

const dropRule = `rule drops "Half an inch a number"
  for     neighbours among iron by number
  require drop of length by soled per number is 1/2 in +/- 1/8 in
`

// In the chart of a bag a club whose step passes is in its band, its brackets included, one whose step
// fails outside of it, and of two clubs the longer stands further right.
func TestMarksStandWhereTheVerdictSays(t *testing.T) {
	club := regexp.MustCompile(`^    \d       \d iron  (\d.*)$`)
	seen := map[byte]int{}
	book := ready(t, dropRule)
	rapid.Check(t, func(t *rapid.T) {
		rows := "id,club,length (in),by\n"
		var numbers, lengths []int // of sixteenths
		at := 39 * 16
		for n := 3; n <= 9; n++ {
			if rapid.IntRange(0, 3).Draw(t, "missing") == 0 {
				continue
			}
			at -= rapid.IntRange(-2, 14).Draw(t, "step")
			numbers, lengths = append(numbers, n), append(lengths, at)
			rows += fmt.Sprintf("i%d,%d iron,%d %d/16,soled\n", n, n, at/16, at%16)
		}
		if len(numbers) == 0 {
			return
		}
		text := book.drawn(t, rows, report.Options{Depth: report.Full})
		onPage(t, text)
		if len(numbers) < 2 {
			if chartOf(text) != "" {
				t.Fatalf("a chart without a pair:\n%s", text)
			}
			return
		}
		var marks []int
		for line := range strings.Lines(chartOf(text)) {
			m := club.FindStringSubmatch(strings.TrimRight(line, "\n"))
			if m == nil {
				continue
			}
			i := len(marks)
			if i >= len(numbers) {
				t.Fatalf("more clubs than the bag has:\n%s", text)
			}
			mark := strings.IndexAny(m[1], "ox<>")
			if mark < 0 {
				t.Fatalf("no mark: %s", line)
			}
			marks = append(marks, mark)
			if m[1][mark] == '<' || m[1][mark] == '>' {
				continue
			}
			sign := byte('o')
			if i > 0 {
				apart := numbers[i] - numbers[i-1]
				if drop := lengths[i-1] - lengths[i]; drop < 6*apart || drop > 10*apart { // 3/8 and 5/8 in
					sign = 'x'
				}
			}
			if m[1][mark] != sign {
				t.Fatalf("%c instead of %c: %s", m[1][mark], sign, line)
			}
			seen[sign]++
			left, right := strings.IndexAny(m[1], "[|"), strings.LastIndexAny(m[1], "]|")
			outside := left >= 0 && mark < left || right >= 0 && mark > right
			if i > 0 && sign == 'x' && !outside && mark > 0 || sign == 'o' && outside {
				t.Fatalf("%c stands wrong by its band: %s\n%s", sign, line, text)
			}
		}
		if len(marks) != len(numbers) {
			t.Fatalf("%d clubs of %d:\n%s", len(marks), len(numbers), text)
		}
		for i := range marks {
			for k := range marks {
				if lengths[i] > lengths[k]+1 && marks[i] < marks[k] { // marks just outside a band are moved by a column
					t.Fatalf("%d/16 in stands left of %d/16 in:\n%s", lengths[i], lengths[k], text)
				}
			}
		}
	})
	if seen['o'] == 0 || seen['x'] == 0 {
		t.Errorf("marks met: %v", seen)
	}
}

// Whatever a sheet holds, its chart keeps to the page.
func TestChartsKeepToThePage(t *testing.T) {
	book := ready(t, dropRule+`let head-moment = mass * (balance - 14 in)
let odd         = lie / (lie - loft) * 1 deg
rule metric "Twelve millimetres"
  for      neighbours among club by loft
  require  drop of length by soled at most 12.7 mm
  unless   first kind = iron: exempt
  decision three-way at 95 %
rule swings "A point"
  for      neighbours among iron, wedge by swingweight
  require  rise of swingweight per number between -1 pts and 1 pts
rule beats "Beats"
  for      neighbours among club by frequency
  require  (abs((rise of frequency))) below 6 cpm
rule moments "Moments"
  for      neighbours among iron by length by soled
  require  rise of head-moment is 2 oz in +/- 1 oz in
rule odd-ones "A title that is as long as a title can be before it has to go on upon a line of its own, and longer"
  for      neighbours among iron by lie
  require  rise of odd above 1 deg
rule several "Both"
  for      neighbours among iron by number
  require  (drop of loft) < 0 deg and (rise of mass) > 5 g
`)
	names := []string{"i", "a very long name of a club that nobody would paint on a shaft", "球杆六号铁很长的名字", "e\u0301e\u0301e\u0301", "<>"}
	charts := 0
	rapid.Check(t, func(t *rapid.T) {
		pick := func(what string, of ...string) string { return rapid.SampledFrom(of).Draw(t, what) }
		rows := "id,club,length,by,lie (deg),loft (deg),mass (g),balance (in),swingweight,frequency (cpm)\n"
		for i := range rapid.IntRange(1, 30).Draw(t, "clubs") {
			rows += fmt.Sprintf("%s%d,%s,%s,soled,%s,%s,%s,%s,%s,%s\n", pick("name", names...), i,
				pick("club", "5 iron", "6 iron", "7 iron", "iron", "PW", "3 wood", "4 hybrid"), pick("length", "38 in", "37 1/2 in", "965.2 mm", "0.001 mm", "59 in", "", "forty"),
				pick("lie", "61", "61.5 +/- 0.5", "26", "", "0"), pick("loft", "26", "26.000001", "61", "61.5", ""), pick("mass", "400", "0.000001", "900", ""),
				pick("balance", "29", "14", ""), pick("swing", "D2", "A0", "C9.5", "G9", ""), pick("frequency", "300", "305.25", "1", "0.00001", ""))
		}
		for _, depth := range []report.Depth{report.Usual, report.Line, report.Steps, report.Full} {
			text := book.drawn(t, rows, report.Options{Depth: depth})
			chart := chartOf(text)
			onPage(t, text)
			if chart != "" {
				charts++
			}
			if depth == report.Line && chart != "" {
				t.Fatalf("a chart among lines:\n%s", text)
			}
		}
	})
	if charts == 0 {
		t.Error("no chart was drawn")
	}
}

func TestWhichSetsAreDrawn(t *testing.T) {
	const good = "id,club,length,by\ni5,5 iron,38 in,soled\ni6,6 iron,37 1/2 in,soled\n"
	const bad = good + "i7,7 iron,36 in,soled\n"
	for _, c := range []struct {
		name, rows string
		depth      report.Depth
		drawn      bool
	}{
		{"all passes", good, report.Usual, false},
		{"all passes, steps asked for", good, report.Steps, false},
		{"all passes, everything asked for", good, report.Full, true},
		{"a step fails", bad, report.Usual, false},
		{"a step fails, steps asked for", bad, report.Steps, true},
		{"a step fails, a line asked for", bad, report.Line, false},
		{"nothing measured", "id,club,loft\ni5,5 iron,26 deg\ni6,6 iron,30 deg\n", report.Usual, false},
		{"one club", "id,club,length,by\ni5,5 iron,38 in,soled\n", report.Full, false},
	} {
		if got := chartOf(drawn(t, dropRule, c.rows, report.Options{Depth: c.depth})) != ""; got != c.drawn {
			t.Errorf("%s: drawn %v, want %v", c.name, got, c.drawn)
		}
	}
	// The passes of the rule are shown beside what fails.
	if chart := chartOf(drawn(t, dropRule, bad, report.Options{Depth: report.Steps})); !strings.Contains(chart, "passes") || !strings.Contains(chart, "FAILS, 7/8 in over") {
		t.Errorf("not all steps are shown:\n%s", chart)
	}
	// A page has the chart too, of advice and of steps that are not measured as well.
	const open = good + "i7,7 iron,,\ni8,8 iron,36 1/2 in,soled\n"
	advice := strings.Replace(dropRule, "rule ", "advice ", 1)
	for i, page := range []string{drawn(t, dropRule, bad, report.Options{Format: "html"}),
		drawn(t, dropRule, open, report.Options{Format: "html"}), drawn(t, advice, bad, report.Options{Format: "html"})} {
		if !strings.Contains(page, "and the drop to the next club") {
			t.Errorf("page %d has no chart", i)
		}
	}
}

// Of a hundred clubs those beside what fails are shown; the others are counted. The steps to the
// 40th and the 70th are 2 1/2 degrees, the others half a degree.
func TestAChartOfAHundredClubs(t *testing.T) {
	rows, at := "id,club,loft (deg)\n", 0.0
	for n := 1; n <= 100; n++ {
		at += 0.5
		if n == 40 || n == 70 {
			at += 2
		}
		rows += fmt.Sprintf("c%d,iron,%v\n", n, at)
	}
	const rule = "rule gaps \"R\"\n  for neighbours among iron by loft\n  require rise of loft at most 1 deg\n"
	chart := chartOf(drawn(t, rule, rows, report.Options{Depth: report.Steps}))
	for _, want := range []string{"... 38 clubs left out", "  iron (c39)  ", "  iron (c40)  ", "... 28 clubs left out", "  iron (c69)  ", "  iron (c70)  ", "... 30 clubs more left out"} {
		if !strings.Contains(chart, want) {
			t.Errorf("the chart lacks %q:\n%s", want, chart)
		}
	}
	if full := chartOf(drawn(t, rule, rows, report.Options{Depth: report.Full})); strings.Count(full, "\n") > 60 {
		t.Errorf("the chart is too long:\n%s", full)
	}
	chart = chartOf(drawn(t, strings.Replace(rule, "at most 1 deg", "above 9 deg", 1), rows, report.Options{Depth: report.Steps}))
	if n := strings.Count(chart, "FAILS"); n != 19 || !strings.Contains(chart, "... 80 clubs more left out") {
		t.Errorf("%d steps are shown:\n%s", n, chart)
	}
	onPage(t, chart)
}

// A slip of the finger, 10 1/2 in for 36 1/2 in, must not press the others together: beside it half
// inches are at least four columns apart.
func TestAValueFarOffStandsBesideTheScale(t *testing.T) {
	chart := chartOf(drawn(t, dropRule, "id,club,length,by\ni5,5 iron,38 in,soled\ni6,6 iron,37 1/2 in,soled\ni7,7 iron,37 in,soled\ni8,8 iron,10 1/2 in,soled\ni9,9 iron,36 in,soled\n", report.Options{Depth: report.Steps}))
	at := map[string]int{}
	for line := range strings.Lines(chart) {
		if f := strings.Fields(line); len(f) > 4 && f[2] == "iron" && f[0] == f[1] {
			at["i"+f[1]] = strings.LastIndexAny(line, "ox<>")
		}
	}
	if at["i5"]-at["i6"] < 4 || at["i6"]-at["i7"] < 4 || at["i7"]-at["i9"] < 8 {
		t.Errorf("the marks stand at %v:\n%s", at, chart)
	}
	if !strings.Contains(chart, "10 1/2 in  <") || !strings.Contains(chart, "The steps on both sides of 8 iron fail: look there first.") {
		t.Errorf("i8 is not shown as far off:\n%s", chart)
	}
}

// Colour says nothing that the signs do not say.
func TestColourChangesNothingOfAChart(t *testing.T) {
	const rows = "id,club,length,by\ni5,5 iron,38 in,soled\ni6,6 iron,37 1/2 in,soled\ni7,7 iron,36 in,soled\ni8,8 iron,,\n"
	plain, coloured := drawn(t, dropRule, rows, report.Options{Depth: report.Steps}), drawn(t, dropRule, rows, report.Options{Depth: report.Steps, Colour: true})
	if chart := chartOf(coloured); !strings.Contains(chart, "\x1b[1;31mFAILS, 7/8 in over\x1b[0m") {
		t.Errorf("the chart has no colour: %q", chart)
	}
	if bare := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(coloured, ""); bare != plain {
		t.Errorf("without its colours\n%s\nwant\n%s", bare, plain)
	}
}

// Two exceptions that disagree leave a pair without a verdict; it keeps its place.
func TestAPairWithoutAVerdictKeepsItsPlace(t *testing.T) {
	chart := chartOf(drawn(t, dropRule+"  unless  first number < 6: exempt\n  unless  second number = 6: at most 2 in\n",
		"id,club,length,by\ni4,4 iron,38 1/2 in,soled\ni5,5 iron,38 in,soled\ni6,6 iron,37 1/2 in,soled\ni7,7 iron,37 in,soled\n", report.Options{Depth: report.Steps}))
	var order []string
	for line := range strings.Lines(chart) {
		for _, word := range []string{" 4 iron ", " 5 iron ", " 6 iron ", " 7 iron ", ": passes", "exempt", "no verdict"} {
			if strings.Contains(line, word) {
				order = append(order, strings.Trim(word, " :"))
			}
		}
	}
	if got := strings.Join(order, " "); got != "4 iron exempt 5 iron no verdict 6 iron passes 7 iron" {
		t.Errorf("in order %q:\n%s", got, chart)
	}
}
