package editions_test

import (
	"context"
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/contrast"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// compiled loads the text of a book.
func compiled(t testing.TB, text string) *judge.Program {
	t.Helper()
	fsys := fstest.MapFS{"book.ferrule": {Data: []byte(text)}}
	loaded, list := load.Load(rulesets.FS(), []load.Root{{FS: fsys, Path: "book.ferrule", Show: "book.ferrule"}})
	if list.HasErrors() {
		t.Fatalf("the book has mistakes: %v\n%s", list[0].Message, text)
	}
	return judge.Compile(loaded.Roots, loaded.Schema)
}

const measuring = "rulebook \"House\"\n\nuse methods\n\n"

// The rules of the trade's own making; what should be told follows from the words of the language alone.
var examples = []struct{ name, old, new, want string }{
	{"nothing", "rule a\n for every club\n require loft at most 10 deg\n", "rule a\n for every club\n require loft at most 10 deg\n", ""},
	{"another unit", "rule a\n for every club\n require length by soled at most 46 in\n", "rule a\n for every club\n require length by soled at most 1168.4 mm\n", ""},
	{"a let in its place", "let cap = 46 in\nrule a\n for every club\n require length by soled at most cap\n", "rule a\n for every club\n require length by soled at most 46 in\n", ""},
	{"a let that moved", "let cap = 46 in\nrule a\n for every club\n require length by soled at most cap\n", "let cap = 45 in\nrule a\n for every club\n require length by soled at most cap\n", "a limit"},
	{"a group renamed", "group long = driver, fairway\nrule a\n for every long\n require loft at most 20 deg\n", "group woods = fairway, driver\nrule a\n for every woods\n require loft at most 20 deg\n", ""},
	{"a rule renamed", "rule a\n for every club\n require loft at most 20 deg\n", "rule b\n for every club\n require loft at most 20 deg\n", ""},
	{"a rule renamed and written otherwise", "rule a\n for every club except putter\n require loft at most 20 deg\n", "rule b\n for every driver, fairway, hybrid, iron, wedge, chipper\n require loft <= 20 deg\n", ""},
	{"a limit", "rule a\n for every club\n require loft at most 20 deg\n", "rule a\n for every club\n require loft at most 21 deg\n", "a limit"},
	{"the edge of a limit", "rule a\n for every club\n require loft at most 20 deg\n", "rule a\n for every club\n require loft below 20 deg\n", "a limit"},
	{"an allowance of a rule", "rule a\n for every club\n require loft at most 20 deg allowing 1 deg\n", "rule a\n for every club\n require loft at most 21 deg\n", ""},
	{"a range of numbers", "rule a\n for every iron 3 to 9\n require loft at most 20 deg\n", "rule a\n for every iron 4 to 9\n require loft at most 20 deg\n", "a scope"},
	{"numbers one by one", "rule a\n for every iron 3 to 5\n require loft at most 20 deg\n", "rule a\n for every iron 5, iron 3 to 4\n require loft at most 20 deg\n", ""},
	{"a condition written otherwise", "rule a\n for every iron where loft > 20 deg and lie > 60 deg\n require length by soled at most 40 in\n",
		"rule a\n for every iron where not (lie <= 60 deg or loft <= 20 deg)\n require length by soled at most 40 in\n", ""},
	{"an exception", "rule a\n for every club\n require loft at most 20 deg\n", "rule a\n for every club\n require loft at most 20 deg\n unless hand = left: exempt\n", "a exception"},
	{"an exception's bound", "rule a\n for every club\n require loft at most 20 deg\n unless hand = left: at most 25 deg\n", "rule a\n for every club\n require loft at most 20 deg\n unless hand = left: at most 26 deg\n", "a exception"},
	{"an exception for nobody", "rule a\n for every iron\n require loft at most 20 deg\n", "rule a\n for every iron\n require loft at most 20 deg\n unless kind = putter: exempt\n", ""},
	{"exceptions in another order", "rule a\n for every club\n require loft at most 20 deg\n unless hand = left: exempt\n unless kind = putter: exempt\n",
		"rule a\n for every club\n require loft at most 20 deg\n unless kind = putter: exempt\n unless hand = left: exempt\n", ""},
	{"exceptions in one", "rule a\n for every club\n require loft at most 20 deg\n unless hand = left: exempt\n unless kind = putter: exempt\n",
		"rule a\n for every club\n require loft at most 20 deg\n unless kind = putter or hand = left: exempt\n", ""},
	{"dates", "rule a\n for every club\n require loft at most 20 deg\n from 2026-04-01\n until 2026-10-31\n", "rule a\n for every club\n require loft at most 20 deg\n from 2026-04-01\n until 2026-09-30\n", "a dates"},
	{"a season later, and a limit", "rule a\n for every club\n require loft at most 20 deg\n from 2026-04-01\n until 2026-10-31\n", "rule a\n for every club\n require loft at most 21 deg\n from 2027-04-01\n until 2027-10-31\n", "a dates, a limit"},
	{"a decision", "rule a\n for every club\n require length by soled at most 46 in\n", "rule a\n for every club\n require length by soled at most 46 in\n decision three-way at 95 %\n", "a decision"},
	{"a decision where it counts nothing", "rule a\n for every club\n require number at most 9\n", "rule a\n for every club\n require number at most 9\n decision three-way at 95 %\n", ""},
	{"a limit and a decision", "rule a\n for every club\n require length by soled at most 46 in\n", "rule a\n for every club\n require length by soled at most 47 in\n decision three-way at 95 %\n", "a limit, a decision"},
	{"a waiver", "rule a\n for every club\n require loft at most 20 deg\n",
		"rule a\n for every club\n require loft at most 20 deg\nwaive a \"Granted\"\n on d1 of Birch\n until 2026-06-01\n", "a waiver"},
	{"a waiver for longer", "rule a\n for every club\n require loft at most 20 deg\nwaive a \"Granted\"\n on d1 of Birch\n until 2026-07-01\n",
		"rule a\n for every club\n require loft at most 20 deg\nwaive a \"Granted\"\n on d1 of Birch\n until 2026-06-01\n", "a waiver"},
	{"a waiver with another text", "rule a\n for every club\n require loft at most 20 deg\nwaive a \"Granted\"\n on d1 of Birch\n until 2026-07-01\n",
		"rule a\n for every club\n require loft at most 20 deg\nwaive a \"Allowed\"\n on D-1 of birch\n until 2026-07-01\n", ""},
	{"a waiver of a set and of one of its clubs", "rule a\n for every club\n require loft at most 20 deg\nwaive a \"Granted\"\n on set Birch\n until 2026-07-01\n",
		"rule a\n for every club\n require loft at most 20 deg\nwaive a \"Granted\"\n on set Birch\n until 2026-07-01\nwaive a \"Granted\"\n on d1 of Birch\n until 2026-06-01\n", ""},
	{"a limit of those that an empty cell leaves out", "property hand else right\nrule a\n for every iron where hand = left\n require lie at most 60 deg\n",
		"property hand else right\nrule a\n for every iron where hand = left\n require lie at most 61 deg\n", "a limit"},
	{"a limit of those with enough others in the bag", "rule a\n for every hybrid where (count of fairway) >= 3\n require lie at least 64 deg\n",
		"rule a\n for every hybrid where (count of fairway) >= 3\n require lie at least 65 deg\n", "a limit"},
	{"a limit of steps that decide too which clubs count", "rule a\n for neighbours among hybrid where loft < 10 deg by number\n require rise of loft at most 4 deg\n",
		"rule a\n for neighbours among hybrid where loft < 10 deg by number\n require rise of loft at most 5 deg\n", "a limit"},
	{"a limit of steps that are no exception", "rule a\n for neighbours among hybrid by number\n require rise of loft at most 4 deg\n unless first loft < 30 deg: exempt\n",
		"rule a\n for neighbours among hybrid by number\n require rise of loft at most 5 deg\n unless first loft < 30 deg: exempt\n", "a limit"},
	{"a spread of what decides too which clubs count", "rule a\n for each set\n require spread of loft among hybrid where loft >= 30 deg at most 4 deg\n",
		"rule a\n for each set\n require spread of loft among hybrid where loft >= 30 deg at most 5 deg\n", "a limit"},
	{"a waiver of a pair", "rule s\n for neighbours among iron by number\n require rise of lie at least 1 deg\nwaive s \"Granted\"\n on b and a\n until 2026-06-01\n",
		"rule s\n for neighbours among iron by number\n require rise of lie at least 1 deg\nwaive s \"Granted\"\n on b and c\n until 2026-06-01\n", "s waiver"},
	{"a waiver on days without the rule", "rule a\n for every club\n require loft at most 20 deg\n until 2026-06-30\nwaive a \"Granted\"\n on d1\n until 2026-07-01\n",
		"rule a\n for every club\n require loft at most 20 deg\n until 2026-06-30\nwaive a \"Granted\"\n on d1\n until 2026-08-01\n", ""},
	{"advice", "rule a\n for every club\n require loft at most 20 deg\n", "advice a\n for every club\n require loft at most 20 deg\n", "a weight"},
	{"added", "rule a\n for every club\n require loft at most 20 deg\n", "rule a\n for every club\n require loft at most 20 deg\nrule b\n for every club\n require lie at most 80 deg\n", "b added"},
	{"removed", "rule b\n for every club\n require lie at most 80 deg\nrule a\n for every club\n require loft at most 20 deg\n", "rule a\n for every club\n require loft at most 20 deg\n", "b removed"},
	{"a chart", "chart c of loft per club\n iron 5 = 26 deg\n iron 6 = 30 deg\nrule a\n for every iron 5 to 6\n require loft within 1 deg of c\n",
		"chart c of loft per club\n iron 5 = 26 deg\n iron 6 = 30.5 deg\nrule a\n for every iron 5 to 6\n require loft within 1 deg of c\n", "a limit"},
	{"a chart in another order", "chart c of loft per club\n iron 5 = 26 deg\n iron 6 = 30 deg\nrule a\n for every iron 5 to 6\n require loft within 1 deg of c\n",
		"chart d of loft per club\n iron 6 = 30 deg\n iron 5 = 26 deg\nrule a\n for every iron 5 to 6\n require loft within 1 deg of d\n", ""},
	{"neighbours' limit", "rule a\n for neighbours among iron by number\n require drop of length by soled per number between 3/8 in and 5/8 in\n",
		"rule a\n for neighbours among iron by number\n require drop of length by soled per number between 3/8 in and 3/4 in\n", "a limit"},
	{"neighbours' scope", "rule a\n for neighbours among iron by number\n require drop of length by soled between 3/8 in and 5/8 in\n",
		"rule a\n for neighbours among iron 4 to 9 by number\n require drop of length by soled between 3/8 in and 5/8 in\n", "a scope"},
	{"neighbours' bound otherwise", "rule a\n for neighbours among iron by number\n require drop of length by soled between 3/8 in and 5/8 in\n",
		"rule a\n for neighbours among iron by number\n require drop of length by soled is 1/2 in +/- 1/8 in\n", ""},
	{"neighbours by loft", "rule a\n for neighbours among wedge by loft\n require rise of loft between 4 deg and 6 deg\n",
		"rule a\n for neighbours among wedge by loft\n require rise of loft between 4 deg and 7 deg\n", "a limit"},
	{"a count", "rule a\n for each set\n require count of club at most 14\n", "rule a\n for each set\n require count of club at most 13\n", "a limit"},
	{"what is counted", "rule a\n for each set\n require count of wedge at most 4\n", "rule a\n for each set\n require count of wedge, chipper at most 4\n", "a limit"},
	{"a count otherwise", "rule a\n for each set\n require count of club at most 14\n", "rule a\n for each set\n require count of club below 15\n", ""},
	{"the longest of a set", "rule a\n for each set\n require longest of length by soled among iron at most 40 in\n", "rule a\n for each set\n require longest of length by soled among iron at most 39 in\n", "a limit"},
	{"a spread", "rule a\n for each set\n require spread of lie among iron at most 4 deg\n", "rule a\n for each set\n require spread of lie among iron at most 5 deg\n", "a limit"},
	{"a cap", "rulebook \"X\"\nmethod dry \"Dry\"\n covers every club\n stop along axis\n top at butt\n reads to 1/8 in\nmethod edge \"Edge\"\n covers every club\n stop along axis\n top at cap edge\n reads to 1/8 in\nallowance cap 1/8 in\nrule a\n for every club\n require length by dry at most 40 in\n", "rulebook \"X\"\nmethod dry \"Dry\"\n covers every club\n stop along axis\n top at butt\n reads to 1/8 in\nmethod edge \"Edge\"\n covers every club\n stop along axis\n top at cap edge\n reads to 1/8 in\nallowance cap 3/16 in\nrule a\n for every club\n require length by dry at most 40 in\n", "a limit"},
	{"subjects of another sort", "rule a\n for every club\n require loft at most 20 deg\n", "rule a\n for each set\n require highest of loft among club at most 20 deg\n", "a scope"},
	{"mends and titles", "rule a \"One\"\n for every club\n require loft at most 20 deg\n mend \"Bend it.\"\n", "rule a \"Two\"\n for every club\n require loft at most 20 deg\n cite \"Notice\"\n", ""},
	{"a linked pair of properties", "rule a\n for every club\n require lie - loft at most 30 deg\n", "rule a\n for every club\n require lie at most loft + 30 deg\n", ""},
	{"a product", "let heft = mass * (balance - 14 in)\nrule a\n for every club\n require heft at most 210 oz in\n", "rule a\n for every club\n require mass * balance - 14 in * mass at most 210 oz in\n", ""},
	{"a product that moved", "let heft = mass * (balance - 14 in)\nrule a\n for every club\n require heft at most 210 oz in\n", "let heft = mass * (balance - 15 in)\nrule a\n for every club\n require heft at most 210 oz in\n", "a limit"},
	// A head on its toe or its heel reads another length against the plane than soled (common practice), so these show at other lies alone.
	{"a length against one by another method", "rule a\n for every iron where length by soled >= 38 in and length by soled <= 38.1 in\n require length by plane-60 at most 38.5 in\n", "rule a\n for every iron where length by soled >= 38 in and length by soled <= 38.1 in\n require length by plane-60 at most 38.6 in\n", "a limit"},
	{"two lengths of one club", "rule a\n for every iron\n require length by plane-60 - length by soled at most 0.5 in\n", "rule a\n for every iron\n require length by plane-60 - length by soled at most 0.6 in\n", "a limit"},
	{"two lengths in an exception", "rule a\n for every iron\n require length by plane-60 at most 45 in\n unless length by plane-60 - length by soled > 0.5 in: exempt\n", "rule a\n for every iron\n require length by plane-60 at most 45 in\n unless length by plane-60 - length by soled > 0.6 in: exempt\n", "a exception"},
	{"neighbours sorted by one length and held by another", "rule a\n for neighbours among club except putter by length by soled\n require drop of length by plane-60 between 0 in and 0.5 in\n", "rule a\n for neighbours among club except putter by length by soled\n require drop of length by plane-60 between 0 in and 0.6 in\n", "a limit"},
	{"neighbours of more sorts than can be tried", "rule a\n for neighbours among iron, wedge where mass > 300 g or lie > 60 deg by loft\n require rise of loft between 2 deg and 5 deg\n unless first hand = left and second hand = left: exempt\n decision three-way at 95 %\n", "rule a\n for neighbours among iron, wedge where mass > 300 g or lie > 60 deg by loft\n require rise of loft between 2 deg and 6 deg\n unless first hand = left and second hand = left: exempt\n decision three-way at 95 %\n", "a limit"},
	{"a formula", "rule a\n for every club\n require loft > 10 deg and lie > 50 deg\n", "rule a\n for every club\n require lie > 51 deg and loft > 10 deg\n", "a limit"},
	{"what has to be measured at all", "property gap length\nrule a\n for every putter where has gap\n require gap at least 1.5 in\n", "property gap length\nrule a\n for every putter where has gap\n require gap at least 0.5 in\n", "a limit"},
	{"what may not be measured", "property gap length\nrule a\n for every putter where not has gap\n require loft at least 2 deg\n", "property gap length\nrule a\n for every putter where has gap\n require loft at least 2 deg\n", "a scope"},
	{"what is not measured", "rule a\n for every club where loft > 20 deg or loft <= 20 deg\n require lie at most 70 deg\n", "rule a\n for every club\n require lie at most 70 deg\n", "a scope"},
	{"the readings of a club", "rule a\n for every club\n require spread of frequency among readings at most 2 cpm\n", "rule a\n for every club\n require spread of frequency among readings at most 3 cpm\n", "a limit"},
	{"a share of readings", "rule a\n for every club\n require share of (frequency > 300 cpm) among readings at least 50 %\n", "rule a\n for every club\n require share of (frequency > 300 cpm) among readings at least 60 %\n", "a limit"},
}

// whole is a book of rules, with the means of measuring where it brings none of its own.
func whole(text string) string {
	if strings.HasPrefix(text, "rulebook") {
		return text
	}
	return measuring + text
}

func TestEditions(t *testing.T) {
	for _, e := range examples {
		t.Run(e.name, func(t *testing.T) {
			d := editions.Compare(t.Context(), compiled(t, whole(e.old)), compiled(t, whole(e.new)))
			var got []string
			for _, c := range d.Changes {
				got = append(got, fmt.Sprintf("%s %s", c.Rule().Decl.Name.Text, c.What))
				t.Logf("%s %s: %s\n%v on %v: %v, %v -> %v", c.Rule().Decl.Name.Text, c.What, c.Message, c.Contrast.Rows, c.Contrast.On, c.Contrast.Clubs, c.Contrast.Old.Verdict(true), c.Contrast.New.Verdict(true))
			}
			if s := strings.Join(got, ", "); s != e.want {
				t.Errorf("%s against\n%sgave %q, want %q", e.old, e.new, s, e.want)
			}
			for _, l := range d.LeftOut {
				t.Errorf("left out: %s", l)
			}
		})
	}
}

// A row of a chart that a shipped book's rule depends on, where an exception is about what may not be measured.
func TestDiffOfARowOfAChart(t *testing.T) {
	data, err := fs.ReadFile(rulesets.FS(), "harbour-house.ferrule")
	if err != nil {
		t.Fatal(err)
	}
	text, _, _ := strings.Cut(string(data), "\ncase ")
	moved := strings.Replace(text, `wedge "LW" = 35 in`, `wedge "LW" = 34 in`, 1)
	if moved == text {
		t.Fatal("the shipped book has no such row any more")
	}
	d := editions.Compare(t.Context(), compiled(t, text), compiled(t, moved))
	if len(d.Changes) != 1 || d.Changes[0].Rule().Decl.Name.Text != "house-length" || d.Changes[0].What != contrast.Limit || len(d.LeftOut) > 0 {
		t.Errorf("told %v, left out %v, where the limit of house-length moved", told(&d), d.LeftOut)
	}
}

// Of lengths by several methods it is not said that nothing changed: what they differ by depends on the lie.
func TestDiffClaimsNothingOfLengthsAtOtherLies(t *testing.T) {
	rule := func(most string) string {
		return measuring + "rule a\n for every iron\n require length by soled - length by plane-60 at most " + most + " in\n"
	}
	d := editions.Compare(t.Context(), compiled(t, rule("0.021")), compiled(t, rule("0.022")))
	if d.Same() {
		t.Error("two limits are said to be the same")
	}
}

// A rule that was renamed in a large book, beside others that are gone, is not held against those that kept their names.
func TestARuleIsRenamedInALargeBook(t *testing.T) {
	book := func(from int, name string) string {
		text := measuring
		for i := from; i < 80; i++ {
			text += fmt.Sprintf("rule r%d\n for every iron\n require lie at most %d.%02d deg\n", i, 60, i)
		}
		return text + "rule " + name + "\n for every iron\n require loft at most 50 deg\n"
	}
	old, now := book(0, "old-name"), strings.Replace(book(20, "new-name"), "loft at most 50 deg", "loft + 3 deg at most 53 deg", 1)
	d := editions.Compare(t.Context(), compiled(t, old), compiled(t, now))
	if len(d.Changes) != 20 {
		t.Errorf("told %v; 20 rules were removed and none added", told(&d))
	}
}

// A comparison that is cancelled ends, and says that it is not whole.
func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	d := editions.Compare(ctx, compiled(t, manyRules(0, "rule")), compiled(t, manyRules(1, "rule")))
	if len(d.Changes) > 0 || len(d.LeftOut) != 300 || !strings.Contains(d.LeftOut[0].Why, "stopped early") {
		t.Errorf("found %d, left out %d", len(d.Changes), len(d.LeftOut))
	}
}

// A limit that is met by no reading that can be written down is not said to be the same.
func TestDiffClaimsNothingAtALimitThatCannotBeMet(t *testing.T) {
	rule := func(bound string) string {
		return measuring + "rule a\n for each set\n require spread of (mass * (balance - 14 in)) among iron " + bound + " 3.5 oz in\n"
	}
	d := editions.Compare(t.Context(), compiled(t, rule("at most")), compiled(t, rule("below")))
	if d.Same() {
		t.Error("at most and below are said to be the same")
	}
}

func TestDiffClaimsNothingOfBagsOfSoMany(t *testing.T) {
	const many = "rule a\n for each set where (count of iron) >= 3\n require highest of lie among fairway at most %d deg\n"
	d := editions.Compare(t.Context(), compiled(t, fmt.Sprintf(many, 61)), compiled(t, fmt.Sprintf(many, 62)))
	if d.Same() {
		t.Error("61 and 62 deg are said to be the same")
	}
}
