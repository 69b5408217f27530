package report_test

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

const bookText = `rulebook "Quayside Spring Meeting"
  edition 2026-04-18

rule longest-club "No club but the putter is longer than 46 in"
  for     every club except putter
  require length by plane-60 at most 46 in allowing 0.2 in   # the published allowance
  unless  hand = left: at most 47 in
  cite    "Committee notice 3"
  mend    "Take {over} off the butt and fit a new grip."

rule iron-steps "Irons step down by half an inch"
  for     neighbours among iron by number
  require drop of length by soled per number is 1/2 in +/- 1/8 in

rule lie-of-woods "Woods lie at 61 degrees at most"
  for      every driver, fairway
  require  lie at most 61 deg
  decision three-way at 95 %

rule fourteen "A bag has at most fourteen clubs"
  for     each set
  require count of club at most 14

advice swing "Woods swing at D2"
  for     every driver
  require swingweight is D2 +/- 1 pts

rule winter-grip
  for     every club
  until   2026-02-28
  require has grip-length
`

var (
	inch   = unit.Lookup("in")
	degree = unit.Lookup("deg")
	points = unit.Lookup("pts")
)

func inches(n float64) unit.Amount  { return unit.Amount{Base: inch.ToBase(n), Unit: inch} }
func degrees(n float64) unit.Amount { return unit.Amount{Base: degree.ToBase(n), Unit: degree} }

// bench is a report made by hand: a bag of four clubs with a result of every kind.
type bench struct {
	head   *data.Head
	set    *found
	totals *data.Totals
}

func newBench(t testing.TB) bench {
	t.Helper()
	tree, list := parser.Parse(source.NewFile("quayside.ferrule", bookText))
	if list.HasErrors() {
		t.Fatal(list)
	}
	checked := &book.Book{File: tree.File, Name: "quayside.ferrule", Tree: tree, Title: "Quayside Spring Meeting", Edition: "2026-04-18"}
	rules, info := map[string]*book.Rule{}, &book.Info{}
	for _, d := range tree.Decls {
		r := d.(*ast.Rule)
		rules[r.Name.Text] = &book.Rule{Book: checked, Decl: r, Value: book.Part{Expr: r.Require.Value, Info: info}, Bound: book.NewBound(r.Require.Bound, info), Stated: r.Decision != nil, Period: book.Period{From: book.NoDay, Until: book.NoDay}}
		if r.Until != nil {
			rules[r.Name.Text].Until, _ = book.ParseDay(r.Until.Date.Value)
		}
	}
	sheet := &club.Sheet{File: "bags.csv"}
	made := func(row int, id, name string, kind catalogue.Kind) *club.Club {
		c := &club.Club{}
		c.Reset(int(catalogue.KnownProperties))
		c.ID, c.Named, c.Name, c.Kind, c.Row, c.Sheet = id, true, name, kind, row, sheet
		if kind == catalogue.Iron {
			c.SetAmount(catalogue.Number, float64(name[0]-'0'))
		}
		return c
	}
	d1, i5, i6, p1 := made(2, "d1", "driver", catalogue.Driver), made(3, "i5", "5 iron", catalogue.Iron),
		made(4, "i6\x1b[31m", "6 iron", catalogue.Iron), made(5, "putter", "putter", catalogue.Putter)
	bag := &club.Set{Name: "Ada's bag", File: "bags.csv", Clubs: []*club.Club{d1, i5, i6, p1}, Rows: 4}
	subject := func(kind ast.SubjectKind, clubs ...*club.Club) judge.Subject {
		return judge.Subject{Kind: kind, Set: bag.Name, File: bag.File, Clubs: clubs}
	}
	read := func(c *club.Club, name, method string, a unit.Amount, column string) eval.Step {
		return eval.Step{What: eval.StepReading, Name: name, Method: method, Amount: a, Club: c.ID, Place: c.Place(), Column: column}
	}
	longest, steps, lie := rules["longest-club"], rules["iron-steps"], rules["lie-of-woods"]
	none := math.NaN()
	results := []*judge.Result{
		{Rule: longest, Subject: subject(ast.OfClub, d1), Verdict: decide.Fail, Value: inches(46.5), Upper: inches(46.2),
			Margin: inches(-0.3), Over: inches(0.3), Probability: none, Decision: decide.Rule{Kind: decide.Simple},
			Bound: longest.Bound, Mend: "Take 5/16 in off the butt and fit a new grip.",
			SpokenMend: "Take 5/16 in off the butt and fit a new grip.",
			Steps:      []eval.Step{read(d1, "length", "plane-60", inches(46.5), "length (in)")}},
		{Rule: longest, Subject: subject(ast.OfClub, i5), Verdict: decide.Pass, Value: inches(38), Upper: inches(46.2),
			Margin: inches(8.2), Probability: none, Decision: decide.Rule{Kind: decide.Simple}, Bound: longest.Bound,
			Steps: []eval.Step{read(i5, "length", "plane-60", inches(38), "length (in)")}},
		{Rule: longest, Subject: subject(ast.OfClub, i6), Verdict: decide.Exempt, Probability: none, Exception: longest.Decl.Unless[0]},
		{Rule: steps, Subject: subject(ast.OfNeighbours, i5, i6), Verdict: decide.Unmeasured, Probability: none,
			Bound: steps.Bound, Lacks: []value.Lack{{Kind: value.NoReading, Property: "length", Club: i6.Called()}},
			Steps: []eval.Step{read(i5, "length", "soled", inches(38), "length (in)"),
				{What: eval.StepMissing, Name: "length", Club: i6.ID, Place: i6.Place(), Lack: &value.Lack{Kind: value.NoReading, Property: "length", Club: i6.Called()}}}},
		{Rule: lie, Subject: subject(ast.OfClub, d1), Verdict: decide.TooClose, Value: degrees(60.9), Upper: degrees(61),
			Margin: degrees(0.1), Over: degrees(0.37), Uncertainty: degrees(0.29), Probability: 0.635,
			Decision: decide.Rule{Kind: decide.ThreeWay, Level: 0.95}, Bound: lie.Bound,
			Steps: []eval.Step{{What: eval.StepReading, Name: "lie", Amount: degrees(60.9), Half: degrees(0.5), Club: "d1", Place: d1.Place(), Column: "lie"}}},
		{Rule: rules["fourteen"], Subject: subject(ast.OfSet), Verdict: decide.Pass, Probability: none},
		{Rule: rules["swing"], Subject: subject(ast.OfClub, d1), Verdict: decide.Fail, Probability: none, Bound: rules["swing"].Bound,
			Value: unit.Amount{Base: 34, Unit: points, Swing: true}, Lower: unit.Amount{Base: 31, Unit: points, Swing: true},
			Upper: unit.Amount{Base: 33, Unit: points, Swing: true}, Over: unit.Amount{Base: 1, Unit: points}, Decision: decide.Rule{Kind: decide.Simple}},
	}
	b := bench{
		head: &data.Head{Books: []*book.Book{checked}, On: "2026-05-02", NotInForce: []*book.Rule{rules["winter-grip"]}},
		set: &found{Bag: bag, Results: results,
			Conflicts: []*judge.Conflict{{Rule: longest, Subject: subject(ast.OfClub, p1),
				Between: [2]*ast.Unless{longest.Decl.Unless[0], longest.Decl.Unless[0]}}},
			Refused: []club.Refusal{{Row: club.Row{File: "bags.csv", Row: 6}, Column: "length", Read: "fourty\u009b", Message: "this is no length", Hint: "write 40 in"}}},
		totals: &data.Totals{RowsJudged: 4, RowsRefused: 1},
	}
	for _, r := range results {
		b.totals.Tally.Count(r.Rule, r.Verdict)
	}
	b.totals.Tally.Conflicts = 1
	return b
}

// found is a bag with all that was found out about it.
type found struct {
	Bag       *club.Set
	Results   []*judge.Result
	Conflicts []*judge.Conflict
	Doubtful  []club.Doubt
	Refused   []club.Refusal
}

// tell tells a writer of the bag, as a check does.
func (f *found) tell(w report.Writer, s *report.Sheaf) {
	s.Begin(f.Bag)
	for _, r := range f.Results {
		if w.WantsPasses() || r.Verdict < decide.Pass {
			w.Result(s, r)
		}
	}
	for _, c := range f.Conflicts {
		w.Conflict(s, c)
	}
	w.Close(s, f.Doubtful, f.Refused)
}

// write writes the report in a format as a check does.
func (b bench) write(t testing.TB, format string, o report.Options) string {
	t.Helper()
	var out bytes.Buffer
	o.Format = format
	w, err := report.New(&out, o)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Begin(b.head); err != nil {
		t.Fatal(err)
	}
	s := report.NewSheaf(nil)
	b.set.tell(w, s)
	if err := w.Add(s); err != nil {
		t.Fatal(err)
	}
	if err := w.End(b.totals); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// A report of text is made for a page of 80 columns and an open terminal.
func TestNothingOnThePageCommandsATerminalOrLeavesIt(t *testing.T) {
	b := newBench(t)
	for _, format := range report.CheckFormats() {
		for _, depth := range []report.Depth{report.Usual, report.Line, report.Steps, report.Full} {
			text := b.write(t, format, report.Options{Depth: depth})
			for _, r := range text {
				if r < ' ' && r != '\n' || r >= 0x7f && r < 0xa0 {
					t.Fatalf("%s: the report holds %U", format, r)
				}
			}
			if !strings.Contains(text, "31m") {
				t.Fatalf("%s: the report lacks what follows the hidden character", format)
			}
			for line := range strings.Lines(text) {
				if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); format == "text" && n > 80 {
					t.Errorf("%d columns at depth %v: %s", n, depth, line)
				}
				if line != "\n" && strings.TrimRight(line, " \n")+"\n" != line {
					t.Errorf("%s: a line ends in blanks: %q", format, line)
				}
			}
		}
	}
}

func TestShortIsALineForWhatDoesNotPass(t *testing.T) {
	want := `bags.csv:2: fail longest-club: driver (d1): 46 1/2 in by plane-60; at most 46.2 in; 0.3 in too long
bags.csv:2: too-close lie-of-woods: driver (d1): lie 60.9 deg, could be off by 0.58 deg; at most 61 deg
bags.csv:3: unmeasured iron-steps: 5 iron (i5) and 6 iron (i6<U+001B>[31m): 6 iron (i6<U+001B>[31m) has no length
bags.csv:5: conflict longest-club: two exceptions of longest-club apply to putter and disagree: quayside.ferrule lines 7 and 7
bags.csv:6: refused length: this is no length; write 40 in
bags.csv:2: advice swing: driver (d1): swingweight D4; between D1 and D3; 1 pt over
rows read 5, judged 4, refused 1; pass 2, fail 1, too-close 1, unmeasured 1, exempt 1, advised 1, conflicts 1; on 2026-05-02
`
	if got := newBench(t).write(t, "short", report.Options{}); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

func TestTextSaysWhatFailsFirst(t *testing.T) {
	text := newBench(t).write(t, "text", report.Options{})
	at := -1
	for _, words := range []string{
		"Quayside Spring Meeting", "2026-05-02",
		"DOES NOT PASS: of 4 clubs 1 fails, 1 has no verdict; the pair is not measured; 1", "could not be read", "1 place where",
		"Ada's bag", "bags.csv", "FAILS      driver (d1): 46 1/2 in by plane-60; at most 46.2 in; 0.3 in too", "No club but the putter", "[longest-club]",
		"Take 5/16 in off the butt", "TOO CLOSE  driver (d1): lie 60.9 deg, could be off by 0.58 deg; at most 61 deg",
		"MISSING    length of 6 iron (i6<U+001B>[31m), for iron-steps", "CONFLICT", "advice     driver (d1): swingweight D4; between D1 and D3",
		"passes", "5 iron (by itself), 6 iron (by itself, exempt); the set",
		"Rows that could not be read", "row 6", "\"fourty<U+009B>\": this is no length", "Write: write 40 in",
		"not in force", "winter-grip, until 2026-02-28", "5 read = 4 judged + 1 refused",
		"2 pass, 1 fail, 1 too close to call, 1 not measured, 1 exempt", "2026-04-18",
	} {
		i := strings.Index(text[at+1:], words)
		if i < 0 {
			t.Fatalf("%q is not there, or not in its place, in\n%s", words, text)
		}
		at += 1 + i
	}
}

// The members of ferrule.report/1 and their values, one by one.
func TestJSONIsTheContractForOtherPrograms(t *testing.T) {
	text := newBench(t).write(t, "json", report.Options{})
	var got map[string]any
	if err := json.Unmarshal([]byte(text), &got); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]any{
		"schema": "ferrule.report/1", "on": "2026-05-02",
		"books.0.title": "Quayside Spring Meeting", "books.0.edition": "2026-04-18", "books.0.file": "quayside.ferrule",
		"summary.rows_read": 5.0, "summary.rows_judged": 4.0, "summary.rows_refused": 1.0, "summary.pass": 2.0, "summary.fail": 1.0,
		"summary.too-close": 1.0, "summary.unmeasured": 1.0, "summary.exempt": 1.0, "summary.advised": 1.0,
		"refused.0.file": "bags.csv", "refused.0.row": 6.0, "refused.0.column": "length", "refused.0.read": "fourty\u009b", "refused.0.message": "this is no length",
		"not_in_force.0.rule": "winter-grip", "not_in_force.0.from": nil, "not_in_force.0.until": "2026-02-28",
		"results.0.rule": "longest-club", "results.0.weight": "rule", "results.0.book": "quayside.ferrule", "results.0.line": 4.0,
		"results.0.subject.of": "club", "results.0.subject.set": "Ada's bag", "results.0.subject.clubs.0": "d1",
		"results.0.subject.rows.0.file": "bags.csv", "results.0.subject.rows.0.row": 2.0, "results.0.verdict": "fail",
		"results.0.value.amount": 46.5, "results.0.value.unit": "in", "results.0.value.text": "46 1/2 in",
		"results.0.standard_uncertainty": nil, "results.0.limit.upper.amount": 46.2, "results.0.limit.upper.unit": "in",
		"results.0.margin.amount": -0.3, "results.0.conformance_probability": nil, "results.0.decision": "simple", "results.0.exception": nil,
		"results.0.steps.0.what": "reading", "results.0.steps.0.method": "plane-60", "results.0.steps.0.amount": 46.5, "results.0.steps.0.unit": "in",
		"results.0.mend":           "Take 5/16 in off the butt and fit a new grip.",
		"results.2.exception.line": 7.0, "results.2.exception.text": "unless hand = left: at most 47 in", "results.2.value": nil, "results.2.limit": nil,
		"results.3.subject.of": "neighbours", "results.3.subject.clubs.1": "i6\x1b[31m", "results.3.needs.0": "length",
		"results.4.conformance_probability": 0.635, "results.4.decision": "three-way at 95 %", "results.4.standard_uncertainty.amount": 0.29,
		"results.4.steps.0.standard_uncertainty": 0.5 / math.Sqrt(3), // JCGM 100:2008, 4.3.7: a half-width of a rectangular distribution
		"results.5.subject.of":                   "set", "results.6.weight": "advice", "results.6.value.unit": "pts", "results.6.value.text": "D4", "results.6.value.amount": 34.0,
	} {
		var at any = got
		for _, step := range strings.Split(path, ".") {
			switch in := at.(type) {
			case map[string]any:
				member, ok := in[step]
				if !ok {
					t.Fatalf("%s: there is no %s", path, step)
				}
				at = member
			case []any:
				i, _ := strconv.Atoi(step)
				if i >= len(in) {
					t.Fatalf("%s: there is no %s", path, step)
				}
				at = in[i]
			}
		}
		if f, ok := at.(float64); ok && f != want && math.Abs(f-want.(float64)) < 1e-15 {
			continue
		}
		if at != want {
			t.Errorf("%s is %v, want %v", path, at, want)
		}
	}
	if n := len(got["results"].([]any)); n != 7 {
		t.Errorf("%d results, want those that pass too: 7", n)
	}
}

// A document too large to be kept is the same to a program as a small one.
func TestAHugeDocumentHasTheSameMembers(t *testing.T) {
	b := newBench(t)
	var out bytes.Buffer
	w, _ := report.New(&out, report.Options{Format: "json"})
	if err := w.Begin(b.head); err != nil {
		t.Fatal(err)
	}
	s := report.NewSheaf(nil)
	b.set.tell(w, s)
	times := 9<<20/int(s.Len()) + 1
	for range times {
		if err := w.Add(s); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.End(b.totals); err != nil {
		t.Fatal(err)
	}
	var small, huge map[string]any
	if err := json.Unmarshal([]byte(b.write(t, "json", report.Options{})), &small); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(out.Bytes(), &huge); err != nil {
		t.Fatal(err)
	}
	for name, want := range small {
		got := huge[name]
		if list, ok := want.([]any); ok && (name == "results" || name == "refused" || name == "conflicts") {
			if n := len(got.([]any)); n != times*len(list) {
				t.Errorf("%d %s, want %d", n, name, times*len(list))
			}
			got = got.([]any)[:len(list)]
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
	if len(huge) != len(small) {
		t.Errorf("%d members, want %d", len(huge), len(small))
	}
}

func TestJSONLinesGiveFailuresFirstAndTheSummaryLast(t *testing.T) {
	var entries []string
	for line := range strings.Lines(newBench(t).write(t, "jsonl", report.Options{})) {
		var one struct{ Entry, Verdict, Rule string }
		if err := json.Unmarshal([]byte(line), &one); err != nil {
			t.Fatal(err)
		}
		entries = append(entries, strings.TrimRight(one.Entry+" "+one.Verdict, " "))
	}
	want := []string{"result fail", "result fail", "result too-close", "result unmeasured", "result pass", "result pass", "result exempt", "conflict", "refused", "summary"}
	if !slices.Equal(entries, want) {
		t.Errorf("got %q, want %q", entries, want)
	}
}

func TestAnUnknownFormatListsThoseThatThereAre(t *testing.T) {
	_, err := report.New(nil, report.Options{Format: "junit"})
	if err == nil || !strings.Contains(err.Error(), "text, short, json, jsonl, csv, html") {
		t.Errorf("got %v", err)
	}
}

func TestDiagnosticsSayTheirPlaceInCharacters(t *testing.T) {
	file := source.NewFile("a.ferrule", "rule é\n\tlie ≤ 3\n")
	at := strings.Index(file.Text, "≤")
	var out bytes.Buffer
	var v data.Vetting
	v.Add(diag.List{{Code: "unit-clash", Severity: diag.Error, Message: "m", Hint: "3 deg",
		Span: source.Span{File: file, Start: at, End: at + len("≤ 3")}}})
	if err := report.Vet(&out, &v, report.Options{Format: "json"}); err != nil {
		t.Fatal(err)
	}
	want := `{
  "schema": "ferrule.vet/1",
  "diagnostics": [
    {"code":"unit-clash","severity":"error","file":"a.ferrule","line":2,"column":6,"end_line":2,"end_column":9,"message":"m","expected":null,"hint":"3 deg","related":[]}
  ]
}
`
	if out.String() != want {
		t.Errorf("got\n%s", out.String())
	}
}
