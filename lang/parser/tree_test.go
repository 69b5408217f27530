package parser

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/lang/ast"
	"ferrule/lang/source"
)

// shape writes a formula with every operation in brackets, so that what binds what can be read.
func shape(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Quantity:
		return e.Value.Text
	case *ast.DateLit:
		return e.Date
	case *ast.TextLit:
		return `"` + e.Value + `"`
	case *ast.Ref:
		s := [...]string{"", "first.", "second."}[e.Pos] + map[bool]string{true: "ordered."}[e.Ordered] + e.Name.Text
		if e.By != nil {
			s += "@" + e.By.Text
		}
		return s
	case *ast.ItemRef:
		return "<" + items([]*ast.Item{e.Item}) + ">"
	case *ast.Unary:
		return "[" + e.Op.String() + " " + shape(e.X) + "]"
	case *ast.Binary:
		return "[" + shape(e.X) + " " + e.Op.String() + " " + shape(e.Y) + "]"
	case *ast.If:
		return "[if " + shape(e.Cond) + " " + shape(e.Then) + " " + shape(e.Else) + "]"
	case *ast.Call:
		s := "[" + e.Func.Text
		for _, a := range e.Args {
			s += " " + shape(a)
		}
		return s + "]"
	case *ast.Has:
		return "[has " + shape(e.Of) + "]"
	case *ast.Paren:
		if e.List != nil {
			return "{" + shape(e.X) + "}"
		}
		return "(" + shape(e.X) + ")"
	case *ast.CountOf:
		return "[count " + selected(e.Selector) + "]"
	case *ast.SetValue:
		return "[" + e.How.String() + " " + shape(e.Of) + " among " + selected(e.Among) + "]"
	case *ast.ReadingsValue:
		return "[" + e.How.String() + " readings " + shape(e.Of) + "]"
	case *ast.ShareOfReadings:
		return "[share " + shape(e.Cond) + "]"
	case *ast.CountReadings:
		return "[readings " + shape(e.Of) + "]"
	case *ast.Today:
		return "today"
	case *ast.Age:
		return "[age " + shape(e.Of) + "]"
	case *ast.Step:
		return fmt.Sprintf("[rise=%v %s per=%v]", e.Rise, shape(e.Of), e.PerNumber)
	}
	return fmt.Sprintf("?%T", e)
}

func items(list []*ast.Item) string {
	var all []string
	for _, i := range list {
		s := i.Name.Text
		if i.From != nil {
			s += " " + i.From.Value.Text
		}
		if i.To != nil {
			s += ".." + i.To.Value.Text
		}
		if i.Mark != nil {
			s += " '" + i.Mark.Value + "'"
		}
		all = append(all, s)
	}
	return strings.Join(all, "|")
}

func selected(s *ast.Selector) string {
	text := items(s.Items)
	if len(s.Except) > 0 {
		text += " except " + items(s.Except)
	}
	if s.Where != nil {
		text += " where " + shape(s.Where)
	}
	return text
}

// TestFormulas holds what binds what against the order that the language states:
// or, and, not, comparisons, sums, products, signs. The right column is worked out by hand.
func TestFormulas(t *testing.T) {
	for formula, want := range map[string]string{
		"a + b * c":               "[a + [b * c]]",
		"a - b - c":               "[[a - b] - c]",
		"a / b / c":               "[[a / b] / c]",
		"a * (b + c)":             "[a * ([b + c])]",
		"a + b < c * d":           "[[a + b] < [c * d]]",
		"not a = b":               "[not [a = b]]",
		"not a and b":             "[[not a] and b]",
		"not not a":               "[not [not a]]",
		"a and b and c":           "[[a and b] and c]",
		"a or not b or c > 3 deg": "[[a or [not b]] or [c > 3 deg]]",
		"-3 in + -a":              "[[- 3 in] + [- a]]",
		"a - -3 in":               "[a - [- 3 in]]",
		"-(a)":                    "[- (a)]",
		"(-3 in)":                 "([- 3 in])",
		"min(-3, -2 * a)":         "[min [- 3] [[- 2] * a]]",
		"a-b - c":                 "[a-b - c]",
		"a / 3/8":                 "[a / 3/8]",
		"a/b":                     "[a / b]",
		"45-3/4\" + 45¾ in":       "[45-3/4\" + 45¾ in]",
		"0.0030 in2 / 1 in":       "[0.0030 in2 / 1 in]",
		"if a then b else if c then d else e + f":            "[if a b [if c d [e + f]]]",
		"3 + (if a then b else c)":                           "[3 + ([if a b c])]",
		"kind = putter or loft > 10 deg":                     "[[kind = putter] or [loft > 10 deg]]",
		"kind = iron 5 and lie > 3 deg":                      "[[kind = <iron 5>] and [lie > 3 deg]]",
		`kind != wedge "PW"`:                                 "[kind != <wedge 'PW'>]",
		"first number > second number":                       "[first.number > second.number]",
		"has ordered lie and ordered length by soled < 3 in": "[[has ordered.lie] and [ordered.length@soled < 3 in]]",
		"drop of (lie - ordered lie) = first ordered lie":    "[[rise=false ([lie - ordered.lie]) per=false] = first.ordered.lie]",
		"second kind = iron 5":                               "[second.kind = <iron 5>]",
		"length by soled < old-length by wall":               "[length@soled < old-length@wall]",
		"today - made <= 30 days and age born < 16":          "[[[today - made] <= 30 days] and [[age born] < 16]]",
		"age 2010-04-18 + age (made + 1 day) * 2":            "[[age 2010-04-18] + [[age ([made + 1 day])] * 2]]",
		"first age-limit < age first born":                   "[first.age-limit < [age first.born]]",
		"made >= 2010-01-01":                                 "[made >= 2010-01-01]",
		`grip-model = "Corded # one"`:                        `[grip-model = "Corded # one"]`,
		"swingweight <= D2 + 3 pts":                          "[swingweight <= [D2 + 3 pts]]",
		"has loft and abs(lie - 60°) < 1°":                   "[[has loft] and [[abs [lie - 60°]] < 1°]]",
		"count of iron 5 to 9, wedge \"PW\" except woods where loft > 3 deg and hand = left": "[count iron 5..9|wedge 'PW' except woods where [[loft > 3 deg] and [hand = left]]]",
		"(longest of length by soled among irons) - (mean of (mass * 2) among clubs)":        "[([longest length@soled among irons]) - ([mean ([mass * 2]) among clubs])]",
		"mean of lie among readings":                     "[mean readings lie]",
		"share of (lie > 3 deg) among readings >= 95 %":  "[[share [lie > 3 deg]] >= 95 %]",
		"count of readings of lie":                       "[readings lie]",
		"drop of length by soled per number":             "[rise=false length@soled per=true]",
		"rise of (loft + bounce)":                        "[rise=true ([loft + bounce]) per=false]",
		`flex in ("R", "S")`:                             `{[[flex = "R"] or [flex = "S"]]}`,
		"not a in (1) and b not in (2, 3 + 4)":           "[[not {[a = 1]}] and {[not [[b = 2] or [b = [3 + 4]]]]}]",
		`first kind in (iron 5, wedge "PW", woods)`:      "{[[[first.kind = <iron 5>] or [first.kind = <wedge 'PW'>]] or [first.kind = woods]]}",
		"(count of wedge where lie > 3 deg) in (3,\n 4)": "{[[([count wedge where [lie > 3 deg]]) = 3] or [([count wedge where [lie > 3 deg]]) = 4]]}",
		"3 in + a in (2 in, 4)":                          "{[[[3 in + a] = 2 in] or [[3 in + a] = 4]]}",
		"a +\n b\n and # why\n\n c or-else":              "", // or-else is a name
		"a\n < b":                                        "[a < b]",
		"(a\n\n + # why\n b\n)":                          "([a + b])",
	} {
		book, list := Parse(source.NewFile("formula", "let x = "+formula+"\n"))
		if want == "" {
			if len(list) == 0 {
				t.Errorf("%q has no mistake", formula)
			}
			continue
		}
		if len(list) > 0 {
			t.Errorf("%q: %v", formula, list)
			continue
		}
		if got := shape(book.Decls[0].(*ast.Let).Value); got != want {
			t.Errorf("%q is read as %s, not %s", formula, got, want)
		}
	}
}

// TestRequire holds the forms of bounds and subjects against their parts, worked out by hand.
func TestRequire(t *testing.T) {
	for clause, want := range map[string]string{
		"at most 46 in allowing 0.2 in":  "1 46 in - - - 0.2 in",
		"at least 3 + 4":                 "2 [3 + 4] - - - -",
		"below 3":                        "3 3 - - - -",
		"above a * 2":                    "4 [a * 2] - - - -",
		"between 4 deg and 6 deg":        "5 4 deg 6 deg - - -",
		"is 1/2 in +/- 1/8 in":           "6 1/2 in - 1/8 in - -",
		"is 1/2 in±1/8 in":               "6 1/2 in - 1/8 in - -",
		"is D2":                          "6 D2 - - - -",
		"within 1/4 in of house-lengths": "7 1/4 in - - house-lengths -",
		"within 1 of (mean of a among b) allowing 2": "7 1 - - ([mean a among b]) 2",
	} {
		book, list := Parse(source.NewFile("rule", "rule r\n require x "+clause+"\n unless y: "+clause))
		if len(list) > 0 {
			t.Errorf("%q: %v", clause, list)
			continue
		}
		r := book.Decls[0].(*ast.Rule)
		for _, b := range []*ast.Bound{r.Require.Bound, r.Unless[0].Bound} {
			got := fmt.Sprint(int(b.Kind))
			for _, e := range []ast.Expr{b.Q, b.Q2, b.PlusMinus, b.Of, b.Allowing} {
				if e == nil {
					got += " -"
				} else {
					got += " " + shape(e)
				}
			}
			if got != want {
				t.Errorf("%q is read as %s, not %s", clause, got, want)
			}
		}
	}
	for clause, want := range map[string]string{
		"every club except putter":                                           "1 club except putter",
		"each set":                                                           "2",
		"neighbours among iron by number":                                    "3 iron by number",
		"neighbours among iron by length by soled":                           "3 iron by length@soled",
		"neighbours among iron where loft > 3 deg by loft":                   "3 iron where [loft > 3 deg] by loft",
		"neighbours among iron where loft < lie by number":                   "3 iron where [loft < lie] by number",
		"neighbours among iron where length by soled > 3 in by number":       "3 iron where [length@soled > 3 in] by number",
		"neighbours among iron where 3 in < length by soled by number":       "3 iron where [3 in < length@soled] by number",
		"neighbours among iron where loft > 3 deg by length by soled":        "3 iron where [loft > 3 deg] by length@soled",
		"neighbours among iron where (length by soled > 3 in) by number":     "3 iron where ([length@soled > 3 in]) by number",
		"neighbours among iron, wedge \"PW\" except iron 2 where not a by b": "3 iron|wedge 'PW' except iron 2 where [not a] by b",
	} {
		book, list := Parse(source.NewFile("rule", "rule r\n for "+clause))
		if len(list) > 0 {
			t.Errorf("%q: %v", clause, list)
			continue
		}
		f := book.Decls[0].(*ast.Rule).For
		got := fmt.Sprint(int(f.Kind))
		if f.Selector != nil {
			got += " " + selected(f.Selector)
		}
		if f.By != nil {
			got += " by " + shape(f.By)
		}
		if got != want {
			t.Errorf("%q is read as %s, not %s", clause, got, want)
		}
	}
}

// TestDeclarations looks at every declaration of the book that language examples are taken from.
func TestDeclarations(t *testing.T) {
	book, list := Parse(source.NewFile("whole", readFile(t, "testdata/whole.ferrule")))
	if len(list) > 0 {
		t.Fatal(list)
	}
	row := func(parts ...any) string { return strings.TrimSpace(fmt.Sprintln(parts...)) }
	equal := func(what string, got, want any) {
		t.Helper()
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s is %v, not %v", what, got, want)
		}
	}
	h := book.Header
	equal("title", h.Title.Value, "Harbour Links Spring Scramble")
	equal("edition", h.Edition.Date.Value, "2026-04-18")
	equal("decision", row(int(h.Decision.Kind), shape(h.Decision.Level)), "4 95 %")
	equal("contact", h.Contact.Text.Value, "Committee room")
	equal("masses", shape(h.ButtMass.Value)+", "+shape(h.TipMass.Value), "1.6 g/in, 2 g/in")
	equal("extension", shape(h.Extension.Value), "1 in")

	next := func() ast.Decl {
		d := book.Decls[0]
		book.Decls = book.Decls[1:]
		return d
	}
	equal("use", next().(*ast.Use).Shipped.Text, "methods")
	u := next().(*ast.Use)
	equal("without", row(u.Shipped.Text, u.Without[0].Text, u.Without[1].Text, len(u.Only)), "equipment-rules groove-width groove-depth 0")
	u = next().(*ast.Use)
	equal("only", u.Path.Value+" "+u.Only[0].Text, "house.ferrule iron-drops")
	equal("group", selected(next().(*ast.Group).Selector), "driver|fairway")
	equal("group", selected(next().(*ast.Group).Selector), "iron where [number >= 7]")
	next()
	p := next().(*ast.Property)
	equal("property", row(p.Name.Text, p.Sort.Text, p.Method), "face-angle angle <nil>")
	p = next().(*ast.Property)
	equal("property", p.Name.Text+p.Sort.Text+p.Method.Text, "old-lengthlengthsoled")
	next()
	next()
	c := next().(*ast.Chart)
	equal("chart", c.Name.Text+" "+shape(c.Of)+" "+items(c.Rows[3].Items)+" "+shape(c.Rows[3].Value), "house-lengths length@soled wedge 'PW' 35 3/4 in")
	next()
	equal("let", shape(next().(*ast.Let).Value), "[mass * ([balance - 14 in])]")
	m := next().(*ast.Method)
	equal("method", row(m.Name.Text, selected(m.Covers.Selector), m.Stop.Kind == ast.StopAtLie, m.Top.Kind == ast.TopCapEdge,
		shape(m.Reads.Value), shape(m.LieSet.Value), shape(m.Ruler.Value)), "house-soled club true true 1/8 in 1 deg 1/64 in")
	a := next().(*ast.Allowance)
	equal("allowance", row(a.Of.Text, shape(a.Amount), shape(a.Within), a.Where), "cap 1/8 in 1/32 in <nil>")
	equal("allowance", shape(next().(*ast.Allowance).Where), `[grip-model = "Corded"]`)
	equal("allowance", next().(*ast.Allowance).Of.Text, "crown")
	head := next().(*ast.Head)
	shapes := ""
	for _, s := range head.Shape {
		shapes += shape(s.Value) + "~" + shape(s.Within) + " "
	}
	equal("head", items(head.Items)+" "+shapes, "driver 1.75 in~0.25 in 9 in~2 in 4.2 in~0.25 in 1.3 in~0.25 in 0.5 in~0.25 in 0.6 in~0.25 in ")
	r := next().(*ast.Rule)
	equal("rule", row(r.Advice, r.Name.Text, shape(r.Require.Value), len(r.Unless), r.Unless[1].Bound == nil, int(r.Decision.Kind), r.From.Date.Value, r.Until.Date.Value,
		r.Cites[0].Text.Value), "false longest-club length@plane-60 2 true 1 2026-04-01 2026-10-31 Committee notice 3")
	next()
	equal("advice", next().(*ast.Rule).Advice, true)
	k := next().(*ast.Case)
	club := k.Sets[0].Clubs[0]
	equal("case", row(k.Title.Value, k.Sets[0].ID == nil, club.ID.Value, items([]*ast.Item{club.Club}), club.Props[0].Name.Text, shape(club.Props[0].Value), club.Props[0].By.Text,
		k.Expects[0].Rule.Text, k.Expects[0].On[0].ID.Value, k.Expects[0].Verdict.Text), "46 1/8 in stands on the allowance true d1 driver length 46 1/8 in plane-60 longest-club d1 pass")
	equal("what is left", len(book.Decls), 0)
}

// TestBytes reads the same book in the forms that editors save it.
func TestBytes(t *testing.T) {
	text := readFile(t, "testdata/whole.ferrule")
	for name, form := range map[string]string{
		"byte order mark": "\ufeff" + text, "carriage returns": strings.ReplaceAll(text, "\n", "\r\n"), "no last line end": strings.TrimRight(text, "\n"),
		"indented": strings.ReplaceAll(text, "\n", "\n\t "),
	} {
		book, list := Parse(source.NewFile(name, form))
		if len(list) > 0 || len(book.Decls) != 22 {
			t.Errorf("%s: %d declarations, %v", name, len(book.Decls), list)
		}
	}
	book, list := Parse(source.NewFile("old line ends", strings.ReplaceAll(text, "\n", "\r")))
	if len(list) != 1 || len(book.Decls) != 22 {
		t.Errorf("old line ends: %d declarations, %v", len(book.Decls), list)
	}
}

func TestSizes(t *testing.T) {
	long := "let a = b" + strings.Repeat(" +\n b", 1200)
	for name, c := range map[string]struct{ text, code string }{
		"book":              {strings.Repeat("# x\n", maxBook/4+1), "book-too-large"},
		"book at the cap":   {strings.Repeat("# x\n", maxBook/4), ""},
		"formula":           {long, "formula-too-long"},
		"formula that fits": {"let a = b" + strings.Repeat(" +\n b", 800), ""},
		"line":              {"let a = \"" + strings.Repeat("x", maxClause) + "\"", "formula-too-long"},
	} {
		_, list := Parse(source.NewFile(name, c.text))
		if c.code == "" && len(list) > 0 || c.code != "" && (len(list) != 1 || string(list[0].Code) != c.code) {
			t.Errorf("%s: %v", name, list)
		}
	}
	_, list := Parse(source.NewFile("many", strings.Repeat("let a = @ @\n", 150)))
	if n := len(list); n != maxMistakes+1 || list[n-1].Message != "50 more lines are wrong from here on" {
		t.Errorf("%d mistakes, the last of them %v", n, list[n-1])
	}
}
