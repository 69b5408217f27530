package editions_test

// This file holds Diff to its promise where rules depend on the whole bag, on pairs and on single readings. Each pair of
// editions is beside a bag that they judge differently, worked out by hand; the judge has to say so of the bag, and
// Diff has to find a change, with a bag of its own.

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"ferrule/engine/contrast"
	"ferrule/engine/decide"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/rulesets"
)

// bagOf reads rows of a sheet written as "id kind property=reading ..." and, for a number, "id 7-iron".
func bagOf(text string) []space.Row {
	var rows []space.Row
	for line := range strings.SplitSeq(text, ";") {
		fields := strings.Fields(line)
		row := space.Row{{Name: "id", Text: fields[0]}, {Name: "club", Text: strings.ReplaceAll(fields[1], "-", " ")}}
		for _, f := range fields[2:] {
			name, value, _ := strings.Cut(f, "=")
			row = append(row, space.Cell{Name: name, Text: strings.ReplaceAll(value, "_", " ")})
		}
		rows = append(rows, row)
	}
	return rows
}

// many writes several clubs of one name.
func many(n int, club string) string {
	var all []string
	for i := range n {
		all = append(all, fmt.Sprintf("%s%d %s", club[:1], i+1, club))
	}
	return strings.Join(all, ";")
}

var ofBags = []struct {
	name, old, new, want string
	bag, of              string // rows, and the ids of the subject, "" for the set
	was, is              decide.Verdict
}{
	{"shortest and longest", "rule a\n for every iron\n require length by soled at most (shortest of length by soled among hybrid)\n",
		"rule a\n for every iron\n require length by soled at most (longest of length by soled among hybrid)\n", "a limit",
		"i 4-iron length=39.5_in by=soled;h 3-hybrid length=39_in by=soled;k 4-hybrid length=40_in by=soled", "i", decide.Fail, decide.Pass},
	{"a great count", "rule a\n for each set\n require count of club at most 30\n", "rule a\n for each set\n require count of club at most 31\n", "a limit",
		many(31, "7-iron"), "", decide.Fail, decide.Pass},
	{"a great count of a kind", "rule a\n for each set\n require count of iron below 100\n", "rule a\n for each set\n require count of iron below 101\n", "a limit",
		many(100, "7-iron"), "", decide.Fail, decide.Pass},
	{"mean and highest", "rule a\n for each set\n require mean of mass among iron at most 400 g\n", "rule a\n for each set\n require highest of mass among iron at most 400 g\n", "a limit",
		"i 6-iron mass=395_g;k 7-iron mass=405_g", "", decide.Pass, decide.Fail},
	{"mean and highest beside a club", "rule a\n for every driver\n require mass at most (mean of mass among iron)\n", "rule a\n for every driver\n require mass at most (highest of mass among iron)\n", "a limit",
		"i 6-iron mass=395_g;k 7-iron mass=405_g;d driver mass=402_g", "d", decide.Fail, decide.Pass},
	{"total and mean", "rule a\n for every driver\n require mass at most (total of mass among iron)\n", "rule a\n for every driver\n require mass at most (mean of mass among iron)\n", "a limit",
		"i 6-iron mass=395_g;k 7-iron mass=405_g;d driver mass=500_g", "d", decide.Pass, decide.Fail},
	{"total and highest", "rule a\n for every driver\n require mass at most (total of mass among iron)\n", "rule a\n for every driver\n require mass at most (highest of mass among iron)\n", "a limit",
		"i 6-iron mass=395_g;k 7-iron mass=405_g;d driver mass=500_g", "d", decide.Pass, decide.Fail},
	{"a multiple of a spread", "rule a\n for every driver\n require mass at most (spread of mass among iron) * 10\n", "rule a\n for every driver\n require mass at most (spread of mass among iron) * 11\n", "a limit",
		"i 6-iron mass=395_g;k 7-iron mass=405_g;d driver mass=105_g", "d", decide.Fail, decide.Pass},
	{"the middle of three", "rule a\n for each set\n require (highest of mass among iron) + (lowest of mass among iron) at most 800 g\n", "rule a\n for each set\n require (mean of mass among iron) * 2 at most 800 g\n", "a limit",
		"i 5-iron mass=380_g;k 6-iron mass=410_g;l 7-iron mass=415_g", "", decide.Pass, decide.Fail},
	{"a total", "rule a\n for each set\n require total of mass among iron at most 4000 g\n", "rule a\n for each set\n require total of mass among iron at most 4100 g\n", "a limit",
		many(10, "7-iron mass=405_g"), "", decide.Fail, decide.Pass},
	{"the highest in an exception", "rule a\n for every iron\n require mass at most 400 g\n unless (highest of loft among wedge) > 56 deg: exempt\n", "rule a\n for every iron\n require mass at most 400 g\n unless (highest of loft among wedge) > 58 deg: exempt\n", "a exception",
		"i 6-iron mass=395_g;w SW loft=57_deg", "i", decide.Exempt, decide.Pass},
	{"numbers of a pair", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (second number - first number) > 3: exempt\n", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (second number - first number) > 4: exempt\n", "a exception",
		"i 3-iron mass=400_g;k 7-iron mass=402_g", "i k", decide.Exempt, decide.Pass},
	{"the sum of the numbers of a pair", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless first number + second number = 11: exempt\n", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless first number + second number = 12: exempt\n", "a exception",
		"i 5-iron mass=400_g;k 6-iron mass=402_g", "i k", decide.Exempt, decide.Pass},
	{"lofts of a pair", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (rise of loft) > 7 deg: exempt\n", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (rise of loft) > 9 deg: exempt\n", "a exception",
		"i 5-iron mass=400_g loft=24_deg;k 6-iron mass=402_g loft=32_deg", "i k", decide.Exempt, decide.Pass},
	{"two counts", "rule a\n for every iron\n require mass at most 400 g\n unless (count of hybrid) = 2 and (count of wedge) = 3: exempt\n", "rule a\n for every iron\n require mass at most 400 g\n unless (count of hybrid) = 2 and (count of wedge) = 4: exempt\n", "a exception",
		"i 7-iron mass=395_g;h 3-hybrid;j 4-hybrid;w PW;x GW;y SW", "i", decide.Exempt, decide.Pass},
	{"a count beside a pair", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (count of hybrid) = 2: exempt\n", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (count of hybrid) = 3: exempt\n", "a exception",
		"i 6-iron mass=400_g;k 7-iron mass=402_g;h 3-hybrid;j 4-hybrid", "i k", decide.Exempt, decide.Pass},
	{"one count against another", "rule a\n for each set\n require count of iron at most (count of wedge) * 2\n", "rule a\n for each set\n require count of iron at most (count of wedge) + 1\n", "a limit",
		"i 5-iron;k 6-iron;l 7-iron;m 8-iron;w PW;x GW", "", decide.Pass, decide.Fail},
	{"readings of a club", "rule a\n for every iron\n require mean of frequency among readings at most 300 cpm\n", "rule a\n for every iron\n require highest of frequency among readings at most 300 cpm\n", "a limit",
		"i 6-iron frequency=298_cpm_|_301_cpm", "i", decide.Pass, decide.Fail},
	{"the number of readings", "rule a\n for every iron\n require count of readings of frequency at least 30\n", "rule a\n for every iron\n require count of readings of frequency at least 31\n", "a limit",
		"i 6-iron frequency=300_cpm" + strings.Repeat("_|_300_cpm", 29), "i", decide.Pass, decide.Fail},
}

func TestDiffOfWholeBags(t *testing.T) {
	for _, e := range ofBags {
		t.Run(e.name, func(t *testing.T) {
			old, new := compiled(t, measuring+e.old), compiled(t, measuring+e.new)
			subject := strings.TrimSpace("a " + e.of)
			for _, one := range []struct {
				p    *judge.Program
				want decide.Verdict
			}{{old, e.was}, {new, e.is}} {
				set := readSheet(t, one.p, bagOf(e.bag))
				if len(set.Refused) > 0 {
					t.Fatalf("a row of the bag is refused: %v", set.Refused[0])
				}
				if got := verdicts(one.p.NewJudge(judge.Options{All: true}), set)[subject]; got != one.want {
					t.Errorf("the bag is judged %v, not %v", got, one.want)
				}
			}
			d := editions.Compare(t.Context(), old, new)
			confirmed(t, &d, old, new)
			var got []string
			for _, c := range d.Changes {
				got = append(got, fmt.Sprintf("%s %s", c.Rule().Decl.Name.Text, c.What))
			}
			if s := strings.Join(got, ", "); s != e.want || len(d.LeftOut) > 0 {
				rows, _ := json.Marshal(told(&d))
				t.Errorf("told %q and left out %v, where %s should be told: %s", s, d.LeftOut, e.want, rows)
			}
		})
	}
}

// What only is written otherwise is the same, by the words of the language.
func TestDiffOfRewrittenBags(t *testing.T) {
	for _, e := range []struct{ name, old, new string }{
		{"a great count", "rule a\n for each set\n require count of club at most 30\n", "rule a\n for each set\n require count of club below 31\n"},
		{"counts in exceptions", "rule a\n for every iron\n require mass at most 400 g\n unless (count of hybrid) = 2 and (count of wedge) = 3: exempt\n",
			"rule a\n for every iron\n require mass at most 400 g\n unless (count of wedge) > 2 and (count of wedge) < 4 and (count of hybrid) = 2: exempt\n"},
		{"counts one in another", "rule a\n for each set\n require count of club at most 6\n unless (count of wedge) > 4: exempt\n unless (count of putter) > 1: exempt\n",
			"rule a\n for each set\n require count of club at most 6\n unless (count of wedge) >= 5 or (count of putter) >= 2: exempt\n"},
		{"the clubs of neighbours", "rule a\n for neighbours among iron, wedge where mass > 300 g or lie > 60 deg by loft\n require rise of loft between 2 deg and 5 deg\n unless first hand = left and second hand = left: exempt\n decision three-way at 95 %\n",
			"rule a\n for neighbours among iron, wedge where mass > 300 g or mass > 400 g or lie > 60 deg by loft\n require rise of loft between 2 deg and 5 deg\n unless first hand = left and second hand = left: exempt\n decision three-way at 95 %\n"},
		{"the clubs of a mean", "rule a\n for each set\n require mean of mass among iron at most 400 g\n", "rule a\n for each set\n require mean of mass among club where kind = iron at most 400 g\n"},
		{"a spread in other words", "rule a\n for each set\n require (highest of mass among iron) - (lowest of mass among iron) at most 9 g\n", "rule a\n for each set\n require spread of mass among iron between 0 g and 9 g\n"},
		{"a spread of readings", "rule a\n for every iron\n require spread of frequency among readings at most 2 cpm\n", "rule a\n for every iron\n require spread of frequency among readings between 0 cpm and 2 cpm\n"},
	} {
		t.Run(e.name, func(t *testing.T) {
			if d := editions.Compare(t.Context(), compiled(t, measuring+e.old), compiled(t, measuring+e.new)); !d.Same() {
				t.Errorf("told %v, left out %v", told(&d), d.LeftOut)
			}
		})
	}
}

// Where not every bag that counts can be laid out, nothing is said to be the same: here the editions are alike, and
// differ only in bags of more than 300 clubs.
func TestDiffClaimsNothingOfBagsThatAreNotTried(t *testing.T) {
	for _, e := range []struct{ name, old, new string }{
		{"alike", "rule a\n for every driver\n require mass at most (mean of mass among iron)\n", "rule a\n for every driver\n require mass - (mean of mass among iron) at most 0 g\n"},
		{"too many clubs", "rule a\n for each set\n require count of club at most 300\n", "rule a\n for each set\n require count of club at most 301\n"},
		{"far numbers", "rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (second number - first number) > 90: exempt\n",
			"rule a\n for neighbours among iron by number\n require rise of mass at most 5 g\n unless (second number - first number) > 91: exempt\n"},
	} {
		t.Run(e.name, func(t *testing.T) {
			d := editions.Compare(t.Context(), compiled(t, measuring+e.old), compiled(t, measuring+e.new))
			if d.Same() || len(d.LeftOut) != 1 {
				t.Errorf("told %v and left out %v, where it cannot be known", told(&d), d.LeftOut)
			}
		})
	}
}

// moreMethods is the text of the shipped methods in a book's place, with one figure of them another.
func moreMethods(t *testing.T, after, old, new string) string {
	t.Helper()
	data, err := fs.ReadFile(rulesets.FS(), "methods.ferrule")
	if err != nil {
		t.Fatal(err)
	}
	text, _, _ := strings.Cut(string(data), "\ncase ")
	head, tail, found := strings.Cut(text, after)
	if moved := strings.Replace(tail, old, new, 1); old == new || moved != tail && found {
		return head + after + moved + "\n"
	}
	t.Fatalf("the shipped methods have no %s after %s any more", old, after)
	return ""
}

// Of what is decided simply it changes nothing how sure a reading, a head or an allowance is; of what is decided with a
// level it does. Heads change what is judged of the clubs that have them, and of no others.
func TestDiffOfMeasuring(t *testing.T) {
	const irons = "rule a\n for every iron\n require length by soled at most 40 in\n"
	const hybrids = "rule a\n for every hybrid\n require length by soled at most 40 in\n"
	const level = " decision three-way at 95 %\n"
	for _, e := range []struct{ name, after, old, new, rules, want string }{
		{"how a club is soled, simply", "method bare ", "lie-set  within 1 deg", "lie-set  within 2 deg", irons, ""},
		{"how a club is soled, at a level", "method bare ", "lie-set  within 1 deg", "lie-set  within 2 deg", irons + level, "a limit"},
		{"a ruler, simply", "method soled ", "ruler    within 1/64 in", "ruler    within 1/32 in", irons, ""},
		{"graduations, simply", "method soled ", "reads    to 1/8 in", "reads    to 1/16 in", irons, ""},
		{"graduations, at a level", "method soled ", "reads    to 1/8 in", "reads    to 1/16 in", irons + level, "a limit"},
		{"how sure a head is, simply", "head hybrid", "reach        1.5 in  within 0.25 in", "reach        1.5 in  within 0.2 in", hybrids, ""},
		{"how sure a cap is, simply", "allowance cap ", "within 1/32 in", "within 1/64 in", irons, ""},
		{"a cap", "allowance cap ", "1/8 in", "3/16 in", irons, "a limit"},
		{"a head of other clubs", "head hybrid", "heel-radius  0.45 in", "heel-radius  0.65 in", irons, ""},
		{"a head", "head hybrid", "heel-radius  0.45 in", "heel-radius  0.65 in", hybrids, "a limit"},
		{"the angle of a method for other clubs", "method plane-60 ", "at 60 deg", "at 61 deg", "rule a\n for every putter\n require length by soled at most 40 in\n", ""},
		{"the angle of a method", "method plane-60 ", "at 60 deg", "at 61 deg", irons, "a limit"},
	} {
		t.Run(e.name, func(t *testing.T) {
			old, new := compiled(t, moreMethods(t, e.after, "", "")+e.rules), compiled(t, moreMethods(t, e.after, e.old, e.new)+e.rules)
			d := editions.Compare(t.Context(), old, new)
			confirmed(t, &d, old, new)
			var got []string
			for _, c := range d.Changes {
				got = append(got, fmt.Sprintf("%s %s", c.Rule().Decl.Name.Text, c.What))
			}
			if s := strings.Join(got, ", "); s != e.want || len(d.LeftOut) > 0 {
				t.Errorf("told %q and left out %v, where it should be %q", s, d.LeftOut, e.want)
			}
		})
	}
}

// A limit that was only written otherwise does not hide a cap that moved, nor make one of a head of other clubs.
func TestDiffOfMeasuringBesideARewrite(t *testing.T) {
	old := compiled(t, moreMethods(t, "allowance cap ", "", "")+"rule a\n for every iron\n require length by soled - 1 in at most 39 in\n")
	new := compiled(t, moreMethods(t, "allowance cap ", "1/8 in", "3/16 in")+"rule a\n for every iron\n require length by soled at most 40 in\n")
	d := editions.Compare(t.Context(), old, new)
	confirmed(t, &d, old, new)
	if len(d.Changes) != 1 || d.Changes[0].What != contrast.Limit {
		t.Errorf("told %v, left out %v, where the cap moves the limit", told(&d), d.LeftOut)
	}
	heads := compiled(t, moreMethods(t, "head hybrid", "toe-radius   0.9 in", "toe-radius   0.8 in")+"rule a\n for every iron\n require length by soled at most 40 in\n")
	if d := editions.Compare(t.Context(), old, heads); !d.Same() {
		t.Errorf("told %v, left out %v, where the heads of other clubs moved", told(&d), d.LeftOut)
	}
}
