package check_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/check"
	"ferrule/lang/diag"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

const sound = `rulebook "Harbour"
  edition   2026-04-18
  decision  three-way at 95 %
  contact   "Committee room"
  butt-mass 1.6 g/in
  extension at most 1 in
method bench "Flat on the bench"
  covers every club except putter
  stop   at 60.5 deg
  top    at cap end
  reads  to 1/8 in
  ruler  within 1/64 in
property old-length length by bench
group scoring = iron where number >= 7, wedge
let limit = 45 in + 25.4 mm
let stretch = if kind = scoring or hand = left then limit else 40 in
chart lengths of length by bench per club
  iron 5 to 7 = 38 in
  wedge "PW"  = 35 3/4 in where old-length > 3 in
rule longest "L"
  for      every club except putter
  require  length by bench at most limit allowing 5.08 mm
  unless   kind = iron 5 and has lie: at most 47 in
  decision simple
  from     2026-04-01
  until    2026-10-31
advice charted "C"
  for      every iron
  require  length by bench within 1/8 in of lengths
rule volume "V"
  for      every driver
  require  volume at most 460 cm3 allowing 10 cm3
rule drops "D"
  for      neighbours among iron where loft > 3 deg by number
  require  drop of length by bench per number is 1/2 in +/- 1/8 in
rule bag "B"
  for      each set
  require  count of scoring at most 14
case "One"
  club     a: iron 5, length 38 in by bench
  expect   longest on a: pass value 38 in
`

// What a checked book says of a sound text. The figures are worked out by hand: 1 in is
// 25.4 mm, 25400000 nm; days count from 1970-01-01, and 2026-04-01 is 20544 of them on
// (56 years, 14 leap days, 90 days), 2026-10-31 213 more.
func TestCheckedBook(t *testing.T) {
	b, list := vet("harbour.ferrule", strings.Replace(sound, "group scoring = iron where number >= 7, wedge", "group scoring = iron 7 to 9, wedge", 1))
	if len(list) > 0 {
		t.Fatal(list)
	}
	longest, charted, volume, drops, bag := b.Rules[0], b.Rules[1], b.Rules[2], b.Rules[3], b.Rules[4]
	for _, c := range []struct {
		what      string
		got, want any
	}{
		{"title", b.Title, "Harbour"},
		{"edition", b.Edition, "2026-04-18"},
		{"contact", b.Contact, "Committee room"},
		{"level", b.Decision.Level, 0.95},
		{"butt-mass", b.ButtMass.Base, unit.Lookup("g/in").ToBase(1.6)},
		{"extension", b.Extension.Base, 25400000.0},
		{"tip-mass", b.TipMass == nil, true},
		{"angle of the stop", b.Methods[0].Angle.Base, 60.5e6},
		{"graduation", b.Methods[0].Reads.Base, 3175000.0},
		{"ruler", b.Methods[0].Ruler.Base, 396875.0},
		{"limit", b.Info.Constants[b.Lets[0].Decl.Value].Base, 46 * 25400000.0},
		{"unit of the limit", b.Info.Constants[b.Lets[0].Decl.Value].Unit.Name, "in"},
		{"dimension of a let", b.Lets[1].Type.Dim, unit.Length},
		{"chart", b.Charts[0].Values[1].Base, 35.75 * 25400000},
		{"method of the chart", b.Charts[0].Of.Method, b.Methods[0]},
		{"method of a property", b.Properties[0].Method, b.Methods[0]},
		{"method of a name in a formula", b.Info.Refs[longest.Decl.Require.Value.(*ast.Ref)].Method, b.Methods[0]},
		{"own decision", longest.Decision.Kind, ast.Simple},
		{"the book's decision", drops.Decision.Kind, ast.ThreeWay},
		{"from", longest.From, book.Day(20544)},
		{"until", longest.Until, book.Day(20544 + 213)},
		{"no day", drops.From, book.NoDay},
		{"unit of a let", longest.Unit.Name, "in"},
		{"unit of a half-width", charted.Unit.Name, "in"},
		{"unit of a volume", volume.Unit.Name, "cm3"},
		{"unit of a count", bag.Unit.Name, ""},
		{"advice", charted.Decl.Advice, true},
		{"type of a step", b.Info.Types[drops.Decl.Require.Value].Dim, unit.Length},
		{"rules judged", len(b.Judged()), 5},
		{"cases", len(b.Cases), 1},
	} {
		if c.got != c.want {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
	if m := whole(b); m != "" {
		t.Error(m)
	}
}

// whole says which node of a sound book the side table does not know; "" where it knows all.
func whole(b *book.Book) string {
	missing := ""
	items := func(list []*ast.Item) {
		for _, i := range list {
			if b.Info.Items[i] == nil {
				missing = "no meaning for " + i.Span.Text()
			}
		}
	}
	var formulas func(e ast.Expr)
	selector := func(s *ast.Selector) {
		if s != nil {
			items(s.Items)
			items(s.Except)
			formulas(s.Where)
		}
	}
	formulas = func(e ast.Expr) {
		ast.Walk(e, func(e ast.Expr) bool {
			if b.Info.Types[e].Kind == book.Faulty {
				missing = "no type for " + e.Place().Text()
			}
			switch e := e.(type) {
			case *ast.Ref:
				if b.Info.Refs[e] == nil {
					missing = "no meaning for " + e.Span.Text()
				}
			case *ast.ItemRef:
				items([]*ast.Item{e.Item})
			case *ast.CountOf:
				selector(e.Selector)
			case *ast.SetValue:
				selector(e.Among)
			}
			return true
		})
	}
	bound := func(x *ast.Bound) {
		if x != nil {
			for _, e := range []ast.Expr{x.Q, x.Q2, x.PlusMinus, x.Of, x.Allowing} {
				formulas(e)
			}
		}
	}
	for _, g := range b.Groups {
		selector(g.Decl.Selector)
	}
	for _, l := range b.Lets {
		formulas(l.Decl.Value)
	}
	for _, c := range b.Charts {
		if c.Of == nil || len(c.Values) != len(c.Decl.Rows) {
			return "a chart lacks its values"
		}
		for _, r := range c.Decl.Rows {
			items(r.Items)
			formulas(r.Where)
		}
	}
	for _, m := range b.Methods {
		selector(m.Decl.Covers.Selector)
	}
	for _, r := range b.Rules {
		selector(r.Decl.For.Selector)
		formulas(r.Decl.Require.Value)
		bound(r.Decl.Require.Bound)
		for _, u := range r.Decl.Unless {
			formulas(u.Condition)
			bound(u.Bound)
		}
	}
	return missing
}

// Formulas that grow through their names are refused, in a moment.
func TestTooMuchWork(t *testing.T) {
	var doubling, chain, backwards strings.Builder
	doubling.WriteString("let x0 = lie\n")
	chain.WriteString("let x0 = lie\n")
	for i := range 200 {
		fmt.Fprintf(&doubling, "let x%d = x%d + x%d\n", i+1, i, i)
		fmt.Fprintf(&chain, "let x%d = x%d\n", i+1, i)
		fmt.Fprintf(&backwards, "group g%d = g%d\n", i, i+1)
	}
	backwards.WriteString("group g200 = iron\n")
	big := "let x0 = " + strings.Repeat("9", 40) + " in\n" + strings.ReplaceAll(strings.TrimPrefix(doubling.String(), "let x0 = lie\n"), "+", "*")
	for _, c := range []struct {
		text string
		code diag.Code
	}{{doubling.String(), diag.TooMuchWork}, {chain.String(), diag.TooMuchWork}, {backwards.String(), diag.TooMuchWork}, {big, diag.OutOfRange}} {
		_, list := vet("x.ferrule", c.text)
		if len(list) == 0 {
			t.Errorf("%.60s: nothing is said", c.text)
		}
		for _, d := range list {
			if d.Code != c.code {
				t.Errorf("%.60s: %s: %s", c.text, d.Code, d.Message)
			}
		}
	}
}

// Nothing is sound beyond the place where a book has too many parts: no rule there may be judged.
func TestNothingIsSoundBeyondTooMuchWork(t *testing.T) {
	var text strings.Builder
	for i := range 400 {
		sum := "lie" + strings.Repeat(" + 1 deg", 250)
		fmt.Fprintf(&text, "rule r%d\n  for every iron\n  require lie within 2 %% of (%s)\n", i, sum)
	}
	tree, _ := parser.Parse(source.NewFile("x.ferrule", text.String()))
	b, list := check.Check(tree, check.Options{Name: "x.ferrule"})
	at := slices.IndexFunc(list, func(d diag.Diagnostic) bool { return d.Code == diag.TooMuchWork })
	if at < 0 {
		t.Fatal("the book is not too large")
	}
	for _, r := range b.Rules {
		if r.Decl.Span.Start > list[at].Span.End && !r.Facts.Faulty {
			t.Fatalf("%s is taken for sound", r.Decl.Name.Text)
		}
	}
}

// A name that means nothing is offered as a property of the sort that is asked for: after age a day, else what stands
// beside it.
func TestUnknownNameIsOfferedAsAProperty(t *testing.T) {
	for formula, want := range map[string]string{"age shipped > 3": "property shipped date", "age (shipped + 3 days) > 3": "property shipped date",
		"shipped > 3 and age 2010-04-18 > 3": "property shipped count", "head-mass at most 205 g": "property head-mass mass",
		`cap-color = "red"`: "property cap-color text", "2026-04-18 <= built": "property built date",
		"face > lie": "property face angle"} {
		_, list := vet("x.ferrule", "rule a\n  for every iron\n  require "+formula+"\n")
		if len(list) != 1 || len(list[0].Notes) != 1 || !strings.HasSuffix(list[0].Notes[0], want) {
			t.Errorf("%s: %v", formula, list)
		}
	}
}

// A book of nothing but mistakes lists the first 200 and counts the rest.
func TestManyMistakes(t *testing.T) {
	_, list := vet("x.ferrule", strings.Repeat("let xx = lofft + mas\n", 20000))
	if len(list) != 201 || list[200].Code != diag.TooManyMistakes {
		t.Errorf("%d mistakes are listed, the last is %s", len(list), list[len(list)-1].Code)
	}
}

// Large books of one thing, sound or not, are checked in a time that grows with their
// size. Each of these would take minutes if every line were compared with every other.
func TestLargeBooks(t *testing.T) {
	head := "head iron\n  reach 1.75 in\n  camber 9 in\n  toe 4.2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n  heel-radius 0.6 in\n"
	for name, c := range map[string]struct{ start, line string }{
		"unknown values": {"", "let a%d = b%d\n"},
		"unknown groups": {"", "group a%d = b%d\n"},
		"unknown clubs":  {"case \"C\"\n", "  club a%d: iron\n  expect r on b%d: pass\n"},
		"bare lengths":   {bench, "let a%d = length + %d in\n"},
		"rows":           {"chart lofts of loft per club\n", "  iron %d = %d deg where lie > 3 deg and mass > 3 g\n"},
		"allowances":     {"", "allowance cap %d in where lie > %d deg\n"},
		"heads":          {"", strings.Replace(head, "iron", "iron %d to %d", 1)},
		"exceptions":     {"rule r \"R\"\n  for every club\n  require lie at most 3 deg\n", "  unless lie = %d deg: at most %d deg\n"},
		"chains":         {"", "let a%d = a%d + 1\n"},
	} {
		t.Run(name, func(t *testing.T) {
			var text strings.Builder
			text.WriteString(c.start)
			for i := 1; text.Len() < 1<<18; i++ {
				fmt.Fprintf(&text, c.line, i, i+7)
			}
			vet("x.ferrule", text.String()) // a hang is the test binary's own timeout
		})
	}
}

const bench = "method bench \"B\"\n  covers every club\n  stop at lie\n  top at cap edge\n  reads to 1/8 in\n"

func FuzzCheck(f *testing.F) {
	names, err := filepath.Glob("testdata/*.ferrule")
	if err != nil || len(names) == 0 {
		f.Fatal(err, "no test books")
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Add(sound)
	f.Add("rulebook \"B\"\nmethod bench \"B\"\n  covers every club\nproperty old length by bench\n" +
		"chart c of length by bench per club\n  wedge = 35 in where old > 3 in\n") // a condition on a faulty method
	for _, code := range diag.Codes() {
		entry, _ := diag.Explain(code)
		f.Add(entry.Failing)
		f.Add(entry.Mended)
	}
	f.Fuzz(func(t *testing.T, text string) {
		file := source.NewFile("x.ferrule", text)
		tree, first := parser.Parse(file)
		b, list := check.Check(tree, check.Options{Name: "x.ferrule"})
		for _, d := range list {
			if d.Message == "" || d.Severity == 0 || d.Span.File != file || d.Span.Start < 0 || d.Span.End > len(file.Text) || d.Span.Start > d.Span.End {
				t.Fatalf("%+v is no diagnostic of the book", d)
			}
			if _, ok := diag.Explain(d.Code); !ok {
				t.Fatalf("%s is not in the catalogue", d.Code)
			}
		}
		// What a book that nobody loaded would bring in has no meaning here, and is not a mistake of this one.
		uses := slices.ContainsFunc(tree.Decls, func(d ast.Decl) bool { _, ok := d.(*ast.Use); return ok })
		if !uses && !first.HasErrors() && !list.HasErrors() {
			if m := whole(b); m != "" {
				t.Fatal(m)
			}
		}
	})
}

// A book of 1,000 rules is parsed and checked in under 300 ms; this is the checker's
// part.
func BenchmarkThousandRules(b *testing.B) {
	var text strings.Builder
	text.WriteString("rulebook \"Big\"\nmethod bench \"B\"\n  covers every club\n  stop at lie\n  top at cap edge\n  reads to 1/8 in\n")
	for i := range 1000 {
		fmt.Fprintf(&text, `
rule rule-%d "No club but the putter is longer than 46 in"
  for      every club except putter where loft > 3 deg and not (hand = left)
  require  length by bench at most 46 %d/1024 in allowing 0.2 in
  unless   hand = left and not (kind = chipper): at most 47 in
  decision three-way at 95 %%
  cite     "Committee notice 3"
  mend     "Take {to-pass} off the butt and fit a new grip."
`, i, i%1000+1)
	}
	tree, list := parser.Parse(source.NewFile("big.ferrule", text.String()))
	if len(list) > 0 {
		b.Fatal(list[0])
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, list := check.Check(tree, check.Options{Name: "big.ferrule"}); len(list) > 0 {
			b.Fatal(list[0])
		}
	}
}
