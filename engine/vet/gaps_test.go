package vet_test

import (
	"strings"
	"testing"
)

// coarse is a method that covers everything but irons.
const coarse = "method coarse \"C\"\n  covers every club except iron\n  stop at lie\n  top at cap edge\n  reads to 1 in\n"

// Books by hand with what they leave out, and near misses in which nothing is to be found. Each text is what is below a rule's
// name; rules are called a, b, c.
func TestGapsByHand(t *testing.T) {
	for _, c := range []struct {
		name  string
		rules []string
		want  string
	}{
		// Days.
		{"an upper limit that pauses beside a lower one", []string{"for every iron\nrequire mass at most 400 g\nuntil 2026-03-31", "for every iron\nrequire mass at most 410 g\nfrom 2026-04-15", "for every iron\nrequire mass at least 300 g"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no upper limit of this book on mass is in force: a has ended, and b has not begun"},
		{"a lower limit that pauses beside an upper one", []string{"for every iron\nrequire mass at least 300 g\nuntil 2026-03-31", "for every iron\nrequire mass between 310 g and 420 g\nfrom 2026-04-15", "for every iron\nrequire mass at most 430 g"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no lower limit of this book on mass is in force: a has ended, and b has not begun"},
		{"both limits that pause", []string{"for every iron\nrequire mass between 300 g and 400 g\nuntil 2026-03-31", "for every iron\nrequire mass is 350 g +/- 40 g\nfrom 2026-04-02"},
			"gap-in-time: on 2026-04-01 no rule of this book on mass is in force: a has ended, and b has not begun"},
		{"limits on both sides that bridge a pause", []string{"for every iron\nrequire mass at most 400 g\nuntil 2026-03-31", "for every iron\nrequire mass at most 410 g\nfrom 2026-04-15", "for every iron\nrequire mass between 300 g and 420 g\nfrom 2026-03-15\nuntil 2026-05-01"}, ""},
		{"a pause for other clubs", []string{"for every iron\nrequire mass at most 400 g\nuntil 2026-03-31", "for every driver, fairway, hybrid\nrequire mass at most 410 g\nfrom 2026-04-15"}, ""},
		{"a pause bridged for some clubs only", []string{"for every iron\nrequire mass at most 400 g\nuntil 2026-03-31", "for every iron\nrequire mass at most 410 g\nfrom 2026-04-15", "for every iron 5 to 7\nrequire mass at most 420 g\nfrom 2026-04-01\nuntil 2026-04-14"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no rule of this book on mass is in force: a has ended, and b has not begun"},
		{"a pause bridged for all", []string{"for every iron\nrequire mass at most 400 g\nuntil 2026-03-31", "for every iron\nrequire mass at most 410 g\nfrom 2026-04-15", "for every club\nrequire mass at most 420 g\nfrom 2026-04-01\nuntil 2026-04-14"}, ""},
		{"steps that pause", []string{"for neighbours among iron by number\nrequire rise of mass at most 5 g\nuntil 2026-03-31", "for neighbours among iron by number\nrequire rise of mass at most 6 g\nfrom 2026-04-15"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no rule of this book on rise of mass is in force: a has ended, and b has not begun"},
		{"steps of some of the clubs that pause", []string{"for neighbours among wedge by loft\nrequire rise of loft at most 5 deg\nuntil 2026-03-31", "for neighbours among wedge where loft > 45 deg by loft\nrequire rise of loft at most 6 deg\nfrom 2026-04-02"},
			"gap-in-time: on 2026-04-01 no rule of this book on rise of loft is in force: a has ended, and b has not begun"},
		{"steps that follow each other", []string{"for neighbours among iron by number\nrequire rise of mass at most 5 g\nuntil 2026-03-31", "for neighbours among iron by number\nrequire rise of mass at most 6 g\nfrom 2026-04-01"}, ""},
		{"steps of other clubs", []string{"for neighbours among iron by number\nrequire rise of mass at most 5 g\nuntil 2026-03-31", "for neighbours among hybrid by number\nrequire rise of mass at most 6 g\nfrom 2026-04-15"}, ""},
		{"steps another way", []string{"for neighbours among iron by number\nrequire rise of mass at most 5 g\nuntil 2026-03-31", "for neighbours among iron by loft\nrequire rise of mass at most 6 g\nfrom 2026-04-15"}, ""},
		{"a step and a drop", []string{"for neighbours among iron by number\nrequire rise of mass at most 5 g\nuntil 2026-03-31", "for neighbours among iron by number\nrequire drop of mass at most 6 g\nfrom 2026-04-15"}, ""},
		{"counts that pause", []string{"for each set\nrequire count of wedge at most 3\nuntil 2026-03-31", "for each set\nrequire count of wedges at most 4\nfrom 2026-04-15"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no rule of this book on count of wedge is in force: a has ended, and b has not begun"},
		{"counts of other clubs", []string{"for each set\nrequire count of wedge at most 3\nuntil 2026-03-31", "for each set\nrequire count of hybrid at most 4\nfrom 2026-04-15"}, ""},
		{"spreads that pause", []string{"for each set\nrequire spread of mass among iron at most 30 g\nuntil 2026-03-31", "for each set\nrequire spread of mass among iron at most 40 g\nfrom 2026-04-15"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no rule of this book on spread of mass among iron is in force: a has ended, and b has not begun"},
		{"comparisons that pause", []string{"for every iron\nrequire mass < 400 g\nuntil 2026-03-31", "for every iron\nrequire 410 g > mass\nfrom 2026-04-15"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no rule of this book on mass is in force: a has ended, and b has not begun"},
		{"a comparison and a bound that pause", []string{"for every iron\nrequire mass < 400 g\nuntil 2026-03-31", "for every iron\nrequire mass at most 410 g\nfrom 2026-04-15"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no rule of this book on mass is in force: a has ended, and b has not begun"},
		{"comparisons of other sides", []string{"for every iron\nrequire mass < 400 g\nuntil 2026-03-31", "for every iron\nrequire mass > 310 g\nfrom 2026-04-15"}, ""},
		{"conditions of many parts that pause", []string{"for every iron\nrequire mass < 400 g and loft > 12 deg\nuntil 2026-03-31", "for every iron\nrequire mass < 410 g and loft > 14 deg\nfrom 2026-04-15"},
			"gap-in-time: from 2026-04-01 to 2026-04-14 no rule of this book on mass and loft is in force: a has ended, and b has not begun"},
		{"conditions of unlike parts", []string{"for every iron\nrequire mass < 400 g and loft > 12 deg\nuntil 2026-03-31", "for every iron\nrequire mass < 410 g or loft > 14 deg\nfrom 2026-04-15"}, ""},

		// Numbers.
		{"a number that a list leaves out", []string{"for every iron 3, iron 4, iron 6, iron 7\nrequire mass at most 400 g"},
			"gap: a is not about iron 5, though it is about clubs on either side, and no other of the rules on mass is"},
		{"a list of every other number", []string{"for every iron 3, iron 5, iron 7, iron 9\nrequire mass at most 400 g"}, ""},
		{"a list that names few", []string{"for every iron 3, iron 4, iron 9\nrequire mass at most 400 g"}, ""},
		{"a number left out on purpose", []string{"for every iron 3 to 7 except iron 5\nrequire mass at most 400 g"}, ""},
		{"a number left out by a condition", []string{"for every iron 3 to 7 where number != 5\nrequire mass at most 400 g"}, ""},
		{"a number that another rule has", []string{"for every iron 3, iron 4, iron 6, iron 7\nrequire mass at most 400 g", "for every iron 5\nrequire mass at most 390 g"}, ""},
		{"a number that has the other limit alone", []string{"for every iron 3, iron 4\nrequire mass at most 400 g", "for every iron 6, iron 7\nrequire mass at most 420 g", "for every iron\nrequire mass at least 200 g"},
			"gap: none of the upper limits on mass is about iron 5, though they are about clubs on either side"},
		{"a fairway left out", []string{"for every fairway 3\nrequire mass at most 400 g", "for every fairway 5 to 7\nrequire mass at most 410 g"},
			"gap: none of the rules on mass is about fairway 4, though they are about clubs on either side"},
		{"fairways by custom", []string{"for every fairway 3\nrequire mass at most 400 g", "for every fairway 5, fairway 7\nrequire mass at most 410 g"}, ""},
		{"steps that leave a number out", []string{"for neighbours among iron 1 to 4 by number\nrequire rise of mass at most 5 g", "for neighbours among iron 6 to 9 by number\nrequire rise of mass at most 6 g"},
			"gap: none of the rules on rise of mass is about iron 5, though they are about clubs on either side"},
		{"steps by loft that leave a number out", []string{"for neighbours among iron 1 to 4 by loft\nrequire rise of mass at most 5 g", "for neighbours among iron 6 to 9 by loft\nrequire rise of mass at most 6 g"},
			"gap: none of the rules on rise of mass is about iron 5, though they are about clubs on either side"},
		{"steps that meet", []string{"for neighbours among iron 1 to 5 by number\nrequire rise of mass at most 5 g", "for neighbours among iron 5 to 9 by number\nrequire rise of mass at most 6 g"}, ""},

		// Kinds.
		{"kinds left out between limits of two forms", []string{"for every fairway\nrequire mass at most 400 g", "for every iron\nrequire mass between 300 g and 450 g", "for every iron\nrequire mass at most 440 g\nfrom 2026-01-01\nuntil 2026-02-01"},
			"gap: none of the rules on mass is about hybrids, though they are about clubs on either side"},
		{"kinds that rules share", []string{"for every fairway\nrequire mass at most 400 g", "for every iron 1 to 4\nrequire mass at most 450 g", "for every iron 5 to 9\nrequire mass at most 460 g"}, ""},
		{"kinds without a gap", []string{"for every fairway\nrequire mass at most 400 g", "for every hybrid, iron\nrequire mass between 300 g and 450 g"}, ""},

		// Rows.
		{"a row that an exception needs", []string{"chart c of loft per club\niron 5 = 26 deg\niron 7 = 34 deg", "for every iron 5 to 7\nrequire loft at most 40 deg\nunless hand = left: within 1 deg of c"},
			"missing-row: the chart c has no row for an iron 6, which this exception of b can hold for, so it stays unmeasured"},
		{"a row that an exception cannot need", []string{"chart c of loft per club\niron 5 = 26 deg\niron 7 = 34 deg", "for every iron 5 to 7\nrequire loft at most 40 deg\nunless number != 6: within 1 deg of c"}, ""},
		{"a row that the exception spares", []string{"chart c of loft per club\niron 5 = 26 deg\niron 7 = 34 deg", "for every iron 5 to 7\nrequire loft within 1 deg of c\nunless number = 6: at most 40 deg"}, ""},

		// Methods.
		{"steps by a method that covers none", []string{coarse, "for neighbours among iron by number\nrequire drop of length by coarse at least 0 in"},
			"never-measured: b can never be measured: the method coarse covers none of the clubs that it is about"},
		{"a spread by a method that covers none", []string{coarse, "for each set\nrequire spread of length by coarse among iron at most 2 in"},
			"never-measured: b can never be measured: the method coarse covers none of the clubs that it is about"},
		{"a named spread by a method that covers none", []string{coarse, "let spread-all = spread of length by coarse among iron", "for each set\nrequire spread-all at most 2 in"},
			"never-measured: c can never be measured: the method coarse covers none of the clubs that it is about"},
		{"steps by a method that covers some", []string{coarse, "for neighbours among iron, hybrid by loft\nrequire drop of length by coarse at least 0 in"}, ""},
		{"an exception by a method that covers none", []string{coarse, "for every iron\nrequire mass at most 400 g\nunless length by coarse > 36 in: exempt"},
			"never-measured: b can never be measured: the method coarse covers none of the clubs that it is about\nexception-never: this exception of b can never hold: no club that the rule is about meets its condition"},
		{"a spread of what a condition asks for by another method", []string{coarse, "method fine \"F\"\n  covers every club\n  stop at lie\n  top at cap edge\n  reads to 1 in\n", "for each set where (longest of length by fine among club) > 38 in\nrequire spread of length by coarse among iron at most 2 in"},
			"never-measured: c can never be measured: the method coarse covers none of the clubs that it is about"},
		{"a longest by a method that covers some", []string{coarse, "for each set\nrequire longest of length by coarse among club at most 48 in"}, ""},
		{"a method for the sheets alone", []string{coarse, "for every iron\nrequire mass at most 400 g"}, ""},

		// Exceptions that exempt all.
		{"all are exempt", []string{"for every iron\nrequire mass at most 400 g\nunless kind = iron: exempt", "for every iron where hand = left\nrequire mass at most 410 g"},
			"never-applies: a can never apply: its exceptions exempt every club that it is about"},
		{"all are exempt by two exceptions", []string{"for every iron\nrequire mass at most 400 g\nunless loft < 30 deg: exempt\nunless loft >= 30 deg: exempt"},
			"never-applies: a can never apply: its exceptions exempt every club that it is about"},
		{"all but one are exempt", []string{"for every iron\nrequire mass at most 400 g\nunless loft < 30 deg: exempt\nunless loft > 30 deg: exempt"}, ""},
		{"all have another limit", []string{"for every iron\nrequire mass at most 400 g\nunless kind = iron: at most 410 g"}, ""},
		{"all pairs are exempt", []string{"for neighbours among iron by number\nrequire rise of mass at most 5 g\nunless first kind = iron: exempt"},
			"never-applies: a can never apply: its exceptions exempt every pair of clubs that it is about"},
		{"most pairs are exempt", []string{"for neighbours among iron, wedge by loft\nrequire rise of mass at most 5 g\nunless first kind = iron: exempt"}, ""},
		{"pairs are exempt up to a number", []string{"for neighbours among iron by number\nrequire rise of mass at most 5 g\nunless first number < 9: exempt"}, ""},

		// Conditions on sets, by arithmetic.
		{"too many and too few", []string{"for each set where (count of wedge) > 3 and (count of wedge) < 2\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"many, and many others", []string{"for each set where (count of wedge) > 3 and (count of iron) < 2\nrequire count of club at most 14"}, ""},
		{"one of the highest and one of the lowest", []string{"for each set where (highest of loft among wedge) > 60 deg and (lowest of loft among wedge) < 50 deg\nrequire count of club at most 14"}, ""},
		{"a highest in no place", []string{"for each set where (highest of loft among wedge) > 60 deg and (highest of loft among wedge) < 50 deg\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"a lowest above the highest", []string{"for each set where (lowest of loft among wedge) > 60 deg and (highest of loft among wedge) < 50 deg\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"more of some than of all", []string{"for each set where (count of iron 5) > 3 and (count of iron) in (1, 2)\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"both hands", []string{"for each set where hand = left and hand = right\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"some clubs have it and some have not", []string{"for each set where has lie and (count of iron where not (has lie)) > 1\nrequire count of club at most 14"}, ""},
		{"a hand of a set, of which a club does not tell it", []string{"for each set where hand = left and (count of iron where not (has hand)) > 0\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"a hand of a set, counts and an extreme", []string{"for each set where hand = left and (count of iron where loft > 30 deg) > 1 and (highest of loft among wedge) > 50 deg\nrequire count of club at most 14"}, ""},
		{"an extreme of some, and clubs without it", []string{"for each set where has mass and (highest of mass among iron) < 400 g and (count of wedge where not (has mass)) > 0\nrequire count of club at most 14"}, ""},
		{"ages without room", []string{"property born date", "for each set where age born >= 18 and age born < 16\nrequire count of club at most 14"},
			"never-applies: b can never apply: no set meets its condition"},
		{"ages with room", []string{"property born date", "for each set where age born >= 16 and age born < 18\nrequire count of club at most 14"}, ""},
		{"an exception for an age that no club has", []string{"property made date", "for every iron where age made < 2\nrequire mass at most 400 g\nunless age made > 3: exempt"},
			"exception-never: this exception of b can never hold: no club that the rule is about meets its condition"},
		{"an age and a day, which agree on other days", []string{"property made date", "for every iron where made >= 2018-06-01\nrequire mass at most 400 g\nunless age made > 3: exempt"}, ""},
		{"an age and days, of which there are more in some years", []string{"property made date", "for every iron where today - made >= 366 days\nrequire mass at most 400 g\nunless age made < 1: exempt"}, ""},
		{"days without room", []string{"property made date", "for every iron where today - made < 30 days\nrequire mass at most 400 g\nunless today - made > 60 days: exempt"},
			"exception-never: this exception of b can never hold: no club that the rule is about meets its condition"},
		{"a reading that is asked for", []string{coarse, "for every driver where has grip-length\nrequire length by coarse - grip-length at most 36 in"}, ""},
		{"three counts", []string{"for each set where (count of wedge) > 3 and (count of iron) > 3 and (count of hybrid) > 3\nrequire count of club at most 14"}, ""},
		{"three counts without room", []string{"for each set where (count of wedge) > 3 and (count of iron) > 3 and (count of wedge, iron, hybrid) < 8\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"a spread", []string{"for each set where (spread of loft among wedge) > 9 deg and (spread of loft among wedge) < 10 deg\nrequire count of club at most 14"}, ""},
		{"a spread without room", []string{"for each set where (spread of loft among wedge) > 9 deg and (spread of loft among wedge) < 8 deg\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"a spread of a single club", []string{"for each set where (spread of loft among wedge) > 9 deg and (count of wedge) < 2\nrequire count of club at most 14"},
			"never-applies: a can never apply: no set meets its condition"},
		{"a spread and another of the same", []string{"for each set where (spread of loft among wedge) > 9 deg and (spread of loft among club) < 8 deg\nrequire count of club at most 14"}, ""},
		{"a mean, of which not all sets are tried", []string{"for each set where (mean of loft among wedge) > 70 deg and (mean of loft among wedge) < 60 deg\nrequire count of club at most 14"}, ""},
		{"an exception behind one that takes all of its sets", []string{"for each set\nrequire count of club at most 14\nunless (count of wedge) > 3: exempt\nelse unless (count of wedge) > 5: at most 15"},
			"exception-never: this exception of a can never be reached: no set that the rule is about meets its condition and that of none before it"},
		{"an exception behind one that leaves some of its sets", []string{"for each set\nrequire count of club at most 14\nunless (count of wedge) > 5: exempt\nelse unless (count of wedge) > 3: at most 15"}, ""},
		{"an exception outside of what the rule is about", []string{"for each set where (count of wedge) > 3\nrequire count of club at most 14\nunless (count of wedge) = 2: exempt"},
			"exception-never: this exception of a can never hold: no set that the rule is about meets its condition"},
	} {
		var text strings.Builder
		for i, r := range c.rules {
			switch name := string(rune('a' + i)); {
			case strings.HasPrefix(r, "for "):
				r = "rule " + name + " \"R\"\n" + r
			}
			text.WriteString(strings.ReplaceAll(r, "\n", "\n  ") + "\n")
		}
		var got []string
		p, b := loaded(t, text.String())
		for _, f := range bookOf(p, b).List {
			againAsSheet(t, p, f)
			got = append(got, string(f.Code)+": "+f.Message)
		}
		if all := strings.Join(got, "\n"); all != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s\n%s", c.name, all, c.want, text.String())
		}
	}
}
