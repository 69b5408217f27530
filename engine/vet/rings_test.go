package vet_test

import (
	"strings"
	"testing"

	"ferrule/lang/diag"
)

// Books by hand, with what is to be found in each: the code, and the rules that the message names.
func TestFindingsByHand(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"two counts", "rule a \"A\"\n  for each set\n  require count of iron at least 5\nrule b \"B\"\n  for each set\n  require count of iron at most 4\n",
			"contradiction: a and b contradict each other: no set of clubs meets them all"},
		{"two counts, one of them named", "let carried = count of iron\nrule a \"A\"\n  for each set\n  require carried at least 5\nrule b \"B\"\n  for each set\n  require count of iron at most 4\n",
			"contradiction: a and b contradict each other: no set of clubs meets them all"},
		{"exceptions on a named value", "let heaviest = highest of mass among wedge\nrule a \"A\"\n  for each set\n  require count of wedge at most 4\n  unless heaviest > 470 g: at most 5\n  unless heaviest > 480 g: at most 6\n",
			"exceptions-clash: two exceptions of a hold for one set and disagree, so the rule gives it no verdict"},
		{"counts that leave room", "rule a \"A\"\n  for each set\n  require count of iron at least 5\nrule b \"B\"\n  for each set\n  require count of iron at most 5\n", ""},
		{"three counts", "rule a \"A\"\n  for each set\n  require count of iron at least 8\nrule b \"B\"\n  for each set\n  require count of wedge at least 7\nrule c \"C\"\n  for each set\n  require count of club at most 14\n",
			"contradiction: a, b and c contradict each other: no set of clubs meets them all"},
		{"counts on other days", "rule a \"A\"\n  for each set\n  require count of iron at least 5\n  until 2026-03-31\nrule b \"B\"\n  for each set\n  require count of iron at most 4\n  from 2026-04-01\n", ""},
		{"lie, loft and their difference", "rule a \"A\"\n  for every wedge\n  require lie at most 60 deg\nrule b \"B\"\n  for every wedge\n  require loft at least 10 deg\nrule c \"C\"\n  for every wedge\n  require lie - loft at least 55 deg\n",
			"contradiction: a, b and c contradict each other: whatever lie and loft a wedge PW has, it fails one of them"},
		{"lie, loft and a difference that leaves room", "rule a \"A\"\n  for every wedge\n  require lie at most 60 deg\nrule b \"B\"\n  for every wedge\n  require loft at least 10 deg\nrule c \"C\"\n  for every wedge\n  require lie - loft at least 50 deg\n", ""},
		// By hand (language.md's driver): the plane reads a driver at 58 deg 0.077 in and the crown's 1/8 in longer than the rule, 0.20 in in all.
		{"methods too far apart", "use methods\nrule a \"A\"\n  for every driver\n  require length by soled at least 45.9 in\nrule b \"B\"\n  for every driver\n  require length by plane-60 at most 46 in\n",
			"contradiction: a and b contradict each other: whatever length a driver such as this one has, it fails one of them"},
		{"methods that leave room", "use methods\nrule a \"A\"\n  for every driver\n  require length by soled at least 45.7 in\nrule b \"B\"\n  for every driver\n  require length by plane-60 at most 46 in\n", ""},
		// An iron at 62 deg reads 0.08 in more against the plane than soled, one at 45 deg 0.76 in more: some other lie shows what this one does not.
		{"one method within another at one lie alone", "use methods\nrule a \"A\"\n  for every iron\n  require length by soled at most 40 in\nrule b \"B\"\n  for every iron\n  require length by plane-60 at most 40.3 in\n", ""},
		{"an exception at other lies", "use methods\nrule a \"A\"\n  for every iron where length by soled > 38 in\n  require loft at most 50 deg\n  unless length by plane-60 < 38.05 in: exempt\n", ""},
		{"a list that nothing is in, whatever its lengths", "use methods\nrule a \"A\"\n  for every iron where kind = wedge\n  require length by plane-60 at most 40 in\n  unless length by soled > 38 in: exempt\n", "never-applies: a can never apply: it is about no club"},
		{"rules that are waived for a club by the id that it has in a witness", "rule a \"A\"\n  for every iron\n  require loft at most 50 deg\nrule b \"B\"\n  for every iron\n  require loft at least 52 deg\nwaive a \"Granted\"\n  on a\nwaive b \"Granted\"\n  on a\n",
			"contradiction: a and b contradict each other: whatever loft an iron 7 has, it fails one of them"},
		{"those that an empty cell leaves out", "property junior yes-no else no\nproperty flex text one of \"R\", \"S\" else \"R\"\nrule a \"A\"\n  for every iron where junior\n  require lie at most 60 deg\n" +
			"rule b \"B\"\n  for every iron where flex = \"S\"\n  require lie at least 61 deg\n",
			"contradiction: a and b contradict each other: whatever lie an iron 7 such as this one has, it fails one of them"},
		{"steps of what decides too which clubs count", "rule a \"A\"\n  for neighbours among hybrid where loft >= 24 deg by number\n  require rise of loft above 4 deg\n  unless first hand = right: between 4 deg and 6 deg\n", ""},
		{"clubs of which nobody can tell", "use methods\nrule a \"A\"\n  for every putter where length by plane-60 >= 40 in\n  require loft at least 2 deg\n",
			"never-measured: a can never be measured: the method plane-60 covers none of the clubs that it is about"},
		// A fairway that reads 37 in against the wall is shorter soled, and the exception holds for it.
		{"an exception on a length by another method", "use methods\nrule a \"A\"\n  for every fairway\n  require length by soled at least 37 in\n  unless length by wall <= 37 1/2 in: at least 36 in\n", ""},
		{"an exception where a reading with a half-width fails", "rule a \"A\"\n  for every putter\n  require mass at most 400 g\n  unless mass <= 400 g: exempt\n  decision guarded acceptance at 95 %\n", ""},
		{"a value of bags of so many", "rule a \"A\"\n  for each set where (count of iron) >= 2\n  require highest of lie among fairway between 61 deg and 65 deg\n", ""},
		{"a kind among all but one", "rule a \"A\"\n  for every club except putter\n  require loft at most 50 deg\nrule b \"B\"\n  for every wedge\n  require loft at least 52 deg\n",
			"contradiction: a and b contradict each other: whatever loft a wedge PW has, it fails one of them"},
		{"one number among all irons", "rule a \"A\"\n  for every iron\n  require loft at most 20 deg\nrule b \"B\"\n  for every iron 3\n  require loft at least 21 deg\n",
			"contradiction: a and b contradict each other: whatever loft an iron 3 has, it fails one of them"},
		{"a driver among all but one", "rule a \"A\"\n  for every club except putter\n  require loft at least 12 deg\nrule b \"B\"\n  for every driver\n  require loft at most 10 deg\n",
			"contradiction: a and b contradict each other: whatever loft a driver has, it fails one of them"},
		{"numbers from one on", "rule a \"A\"\n  for every iron where number >= 7\n  require loft at least 30 deg\nrule b \"B\"\n  for every iron 9\n  require loft at most 29 deg\n",
			"contradiction: a and b contradict each other: whatever loft an iron 9 has, it fails one of them"},
		{"exceptions of neighbours", "rule a \"A\"\n  for neighbours among iron, wedge by loft\n  require rise of loft at most 6 deg\n  unless first kind = iron and second kind = wedge: at most 7 deg\n  unless first kind = iron: at most 8 deg\n  unless second kind = putter: exempt\n",
			"exceptions-clash: two exceptions of a hold for one pair of clubs and disagree, so the rule gives it no verdict\n" +
				"exception-never: this exception of a can never hold: no two clubs that the rule is about meet its condition"},
		{"sound exceptions of neighbours", "rule a \"A\"\n  for neighbours among iron, wedge by loft\n  require rise of loft at most 6 deg\n  unless first kind = iron and second kind = wedge: at most 7 deg\n  unless second kind = iron and first number >= 8 and second number >= 8: at most 8 deg\n", ""},
		{"neighbours among none", "rule a \"A\"\n  for neighbours among iron 3 to 5 where number > 6 by number\n  require rise of loft at most 6 deg\n", "never-applies: a can never apply: it is about no club"},
		// Two readings to 1/8 in, each with u = 1/16 in / sqrt(3), give a difference u = 0.051 in: 1.96 u is more than 1/32 in.
		{"a step too fine to be shown", bench + "rule a \"A\"\n  for neighbours among iron by number\n  require drop of length by bench per number is 1/2 in +/- 1/32 in\n  decision three-way at 95 %\n",
			"never-shown: no readings of length can be sure to meet a: they are not fine enough for so narrow a tolerance"},
		{"a step that can be shown", bench + "rule a \"A\"\n  for neighbours among iron by number\n  require drop of length by bench per number is 1/2 in +/- 1/8 in\n  decision three-way at 95 %\n", ""},
		{"a count within another", "rule a \"A\"\n  for each set\n  require count of wedge at most 4\nrule b \"B\"\n  for each set\n  require count of wedge, iron at most 4\n", "idle-rule: a decides nothing: wherever it applies, whatever passes b passes it too"},
		{"counts of unlike clubs", "rule a \"A\"\n  for each set\n  require count of wedge at most 4\nrule b \"B\"\n  for each set\n  require count of wedge, iron at most 12\n", ""},
		{"a step within another", "rule a \"A\"\n  for neighbours among iron by number\n  require drop of loft at least -8 deg\nrule b \"B\"\n  for neighbours among irons by number\n  require drop of loft between -5 deg and -3 deg\n",
			"idle-rule: a decides nothing: wherever it applies, whatever passes b passes it too"},
		{"a step of other clubs", "rule a \"A\"\n  for neighbours among iron by number\n  require drop of loft at least -8 deg\nrule b \"B\"\n  for neighbours among iron, wedge by loft\n  require drop of loft between -5 deg and -3 deg\n", ""},
		{"steps that overlap", "rule a \"A\"\n  for neighbours among iron by number\n  require rise of loft between 3 deg and 5 deg\nrule b \"B\"\n  for neighbours among iron by number\n  require rise of loft between 4 deg and 6 deg\n", ""},
		{"a step within another, surer", "rule a \"A\"\n  for neighbours among iron by number\n  require rise of loft at most 8 deg\n  decision three-way at 95 %\nrule b \"B\"\n  for neighbours among iron by number\n  require rise of loft at most 5 deg\n", ""},
		{"a step within another for a season", "rule a \"A\"\n  for neighbours among iron by number\n  require rise of loft at most 8 deg\nrule b \"B\"\n  for neighbours among iron by number\n  require rise of loft at most 5 deg\n  from 2026-04-01\n", ""},
		{"a spread said twice", "group irons-all = iron\nrule a \"A\"\n  for each set\n  require spread of loft among iron at most 30 deg\nrule b \"B\"\n  for each set\n  require spread of loft among irons-all within 30 deg of 0 deg\n  unless (spread of loft among iron) < 1 deg: exempt\nrule c \"C\"\n  for each set\n  require spread of loft among irons-all at most 1/2 deg allowing 29 1/2 deg\n",
			"idle-rule: c decides nothing: a says the same of the same sets"},
		{"means without room", "rule a \"A\"\n  for each set\n  require mean of mass among wedge at most 460 g\nrule b \"B\"\n  for each set\n  require mean of mass among wedge above 460 g\n",
			"contradiction: a and b contradict each other: no value satisfies both"},
		{"means with room", "rule a \"A\"\n  for each set\n  require mean of mass among wedge at most 460 g\nrule b \"B\"\n  for each set\n  require mean of mass among wedge at least 460 g\n", ""},
		{"a mean within another", "rule a \"A\"\n  for each set\n  require mean of mass among wedge below 500 g\nrule b \"B\"\n  for each set\n  require mean of mass among wedge at most 499 g\n",
			"idle-rule: a decides nothing: wherever it applies, whatever passes b passes it too"},
		{"steps looser than those of a used book", "use \"steps.ferrule\"\nrule a \"A\"\n  for neighbours among wedge by loft\n  require rise of loft at most 7 deg\n",
			"looser-rule: a is looser than even of steps.ferrule, which also judges the same pairs of neighbours"},
		{"steps like those of a used book", "use \"steps.ferrule\"\nrule a \"A\"\n  for neighbours among wedge by loft\n  require rise of loft at most 6 deg\n",
			"idle-rule: a decides nothing: even says the same of the same pairs of neighbours"},
		{"steps stricter than those of a used book", "use \"steps.ferrule\"\nrule a \"A\"\n  for neighbours among wedge by loft\n  require rise of loft at most 5 deg\n", ""},
		{"exceptions of neighbours the other way about", "rule a \"A\"\n  for neighbours among iron, hybrid by loft\n  require rise of loft at most 6 deg\n  unless first kind = iron: at most 7 deg\n  unless second kind = hybrid: at most 8 deg\n",
			"exceptions-clash: two exceptions of a hold for one pair of clubs and disagree, so the rule gives it no verdict"},
		{"exceptions of sets", "rule a \"A\"\n  for each set\n  require count of wedge at most 4\n  unless (count of driver) = 0: at most 5\n  unless (count of putter) = 0: at most 6\n",
			"exceptions-clash: two exceptions of a hold for one set and disagree, so the rule gives it no verdict"},
		{"exceptions of sets that exclude each other", "rule a \"A\"\n  for each set\n  require count of wedge at most 4\n  unless (count of driver) = 0: at most 5\n  unless (count of driver) > 2: at most 6\n", ""},
		{"exceptions of sets on the lofts of clubs", "rule a \"A\"\n  for each set\n  require spread of mass among iron at most 9 g\n  unless (count of iron) > 3: at most 10 g\n  unless (highest of loft among wedge) > 58 deg: at most 12 g\n",
			"exceptions-clash: two exceptions of a hold for one set and disagree, so the rule gives it no verdict"},
		{"has a length", "use methods\nrule a \"A\"\n  for every iron where has length by soled\n  require lie at most 60 deg\n  unless has length and hand = left: exempt\nrule b \"B\"\n  for every wedge\n  require has loft and has length by soled\n", ""},
		{"figures that no club has", "rule a \"A\"\n  for every iron\n  require lie + loft * 2 > 3 deg\nrule b \"B\"\n  for every putter\n  require lie > -3 deg\nrule c \"C\"\n  for every driver\n  require lie at most 60 deg\n  unless hand = left: at most 1000 deg\nrule d \"D\"\n  for every hybrid\n  require lie at least 50 deg\n  unless hand = left: at least -1 deg\nrule e \"E\"\n  for every fairway\n  require mass at most 99999999999999999999999999 g\n", ""},
		{"a bound that hangs on an if", "rule a \"A\"\n  for every driver\n  require mass at most (if hand = left then 310 g else 300 g)\nrule b \"B\"\n  for every driver\n  require mass at least 305 g\n",
			"contradiction: a and b contradict each other: whatever mass a driver such as this one has, it fails one of them"},
		{"a bound that hangs on an if and leaves room", "rule a \"A\"\n  for every driver\n  require mass at most (if hand = left then 310 g else 300 g)\nrule b \"B\"\n  for every driver\n  require mass at least 295 g\n", ""},
		{"steps of wedges without room", "rule a \"A\"\n  for neighbours among wedge by loft\n  require drop of mass at most 4 g\nrule b \"B\"\n  for neighbours among wedge by loft\n  require drop of mass at least 5 g\n", "contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"steps of hybrids without room", "rule a \"A\"\n  for neighbours among hybrid by loft\n  require drop of mass at most 4 g\nrule b \"B\"\n  for neighbours among hybrid by loft\n  require drop of mass at least 5 g\n", "contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"steps of fairways without room", "rule a \"A\"\n  for neighbours among fairway by loft\n  require drop of mass at most 4 g\nrule b \"B\"\n  for neighbours among fairway by loft\n  require drop of mass at least 5 g\n", "contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"steps of two wedges without room", "rule a \"A\"\n  for neighbours among wedge \"PW\", wedge \"SW\" by loft\n  require drop of mass at most 4 g\nrule b \"B\"\n  for neighbours among wedge \"PW\", wedge \"SW\" by loft\n  require drop of mass at least 5 g\n", "contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"steps of all clubs without room", "rule a \"A\"\n  for neighbours among club by frequency\n  require drop of mass at most 4 g\nrule b \"B\"\n  for neighbours among club by frequency\n  require drop of mass at least 5 g\n", "contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"steps without room where no exception holds", "rule a \"A\"\n  for neighbours among iron by number\n  require drop of mass at most 4 g\nrule b \"B\"\n  for neighbours among iron by number\n  require drop of mass at least 5 g\n  unless first number > 4: exempt\n", "contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"steps of what they are sorted by", "rule a \"A\"\n  for neighbours among iron by loft\n  require rise of loft at most 4 deg\nrule b \"B\"\n  for neighbours among iron by loft\n  require rise of loft at least 5 deg\n",
			"contradiction: a and b contradict each other: no value satisfies both"},
		{"a step against the order", "rule a \"A\"\n  for neighbours among iron by loft\n  require rise of loft at most -1 deg\nrule b \"B\"\n  for neighbours among iron by number\n  require rise of number at least 0\n",
			"never-met: a can never be met, whatever is read of two neighbours"},
		{"allowances that meet", "use methods\nallowance cap 1/8 in within 1/32 in where hand = left\nallowance cap 3/16 in within 1/32 in where loft > 20 deg\nrule a \"A\"\n  for every iron\n  require length by bare at most 40 in\n",
			"rows-differ: two allowances for a cap hold for one club and differ, an iron 7 such as this one"},
		{"allowances that never meet", "use methods\nallowance cap 1/8 in within 1/32 in where hand = left\nallowance cap 3/16 in within 1/32 in where hand = right\nallowance crown 3/16 in within 1/32 in where hand = right\n", ""},
		{"heads that meet", "head iron where hand = left\n  reach 1.75 in\n  camber 9 in\n  toe 4.2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n  heel-radius 0.6 in\nhead iron 5 where loft > 20 deg\n  reach 1.75 in\n  camber 9 in\n  toe 4.2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n  heel-radius 0.7 in\n", "rows-differ: two heads hold for one club and differ, an iron 5 such as this one"},
		{"heads that say the same", "head iron where hand = left\n  reach 1.75 in\n  camber 9 in\n  toe 4.2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n  heel-radius 0.6 in\nhead iron 5 where loft > 20 deg\n  reach 1.75 in\n  camber 9 in\n  toe 4.2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n  heel-radius 0.6 in\n", ""},
		{"rows of a chart that meet", "group low = iron 1 to 4\nchart c of loft per club\n  low = 26 deg\n  iron 3 = 24 deg\n  iron 4 = 23 deg where lie > 80 deg\nrule a \"A\"\n  for every low\n  require loft within 1 deg of c\n",
			"rows-differ: two rows of the chart c hold for one club and differ, an iron 3 such as this one"},
		{"a milder decision", "rule a \"A\"\n  for every iron\n  require mass at most 400 g\n  decision guarded acceptance at 95 %\nrule b \"B\"\n  for every iron\n  require mass at most 401 g\n",
			"idle-rule: b decides nothing: wherever it applies, whatever passes a passes it too"},
		{"a more severe decision", "rule a \"A\"\n  for every iron\n  require mass at most 400 g\nrule b \"B\"\n  for every iron\n  require mass at most 401 g\n  decision guarded acceptance at 95 %\n", ""},
		{"the same limit, decided otherwise", "rule a \"A\"\n  for every iron\n  require mass at most 400 g\nrule b \"B\"\n  for every iron\n  require mass at most 400 g\n  decision guarded rejection at 95 %\n",
			"idle-rule: b decides nothing: wherever it applies, whatever passes a passes it too"},
		// Between acceptance and rejection the guarded rule fails what is too close by the other, so that one alone is idle.
		{"fails beside too close", "rule a \"A\"\n  for every iron\n  require mass at most 400 g\n  decision guarded acceptance at 95 %\nrule b \"B\"\n  for every iron\n  require mass at most 400 g\n  decision three-way at 95 %\n",
			"idle-rule: b decides nothing: wherever it applies, whatever passes a passes it too"},
		{"too close beside fails", "rule a \"A\"\n  for every iron\n  require mass at most 400 g\n  decision three-way at 95 %\nrule b \"B\"\n  for every iron\n  require mass at most 401 g\n  decision guarded acceptance at 95 %\n", ""},
		{"too close at two levels", "rule a \"A\"\n  for every iron\n  require mass at most 400 g\n  decision three-way at 99 %\nrule b \"B\"\n  for every iron\n  require mass at most 400 g\n  decision three-way at 95 %\n", ""},
		{"an exception looser than a used book", "use \"house.ferrule\"\nrule a \"A\"\n  for every putter\n  require loft at most 8 deg\n  unless hand = left: at most 12 deg\n",
			"looser-rule: by this exception a is looser than shallow of house.ferrule, which also judges the same clubs"},
		{"an exception that exempts from a used book's limit", "use \"house.ferrule\"\nrule a \"A\"\n  for every putter\n  require loft at most 8 deg\n  unless hand = left: exempt\n",
			"looser-rule: by this exception a is looser than shallow of house.ferrule, which also judges the same clubs"},
		{"an exception to another limit", "use \"house.ferrule\"\nrule a \"A\"\n  for every putter\n  require loft at least 2 deg\n  unless hand = left: exempt\n", ""},
		{"one figure of a length", bench + "rule a \"A\"\n  for every iron\n  require length by bench is 38 in\n  unless hand = left: between 39 in and 39 in\n  decision three-way at 95 %\n",
			"never-sure: no measured length is sure to be exactly this, so this rule can never pass\nnever-sure: no measured length is sure to be exactly this, so this rule can never pass"},
		{"one figure of a declared length and of a step", bench + "property old-length length by bench\nrule a \"A\"\n  for every iron\n  require old-length is 38 in\n  decision guarded rejection at 95 %\n" +
			"rule b \"B\"\n  for neighbours among iron by number\n  require drop of length by bench is 1/2 in\n  decision three-way at 95 %\n",
			"never-sure: no measured length is sure to be exactly this, so this rule passes whatever may be right\nnever-sure: no measured length is sure to be exactly this, so this rule can never pass"},
		{"one figure of what may be stated with a half-width", "rule a \"A\"\n  for every iron\n  require swingweight is D2 +/- 0 pts\n  decision three-way at 95 %\n",
			"never-sure: no swingweight with a stated +/- is sure to be exactly this, so this rule can never pass where it is read so"},
		{"one figure that is sure", "rule a \"A\"\n  for every iron 5\n  require number is 5\n  decision three-way at 95 %\nrule b \"B\"\n  for every iron\n  require count of readings of loft is 3\n  decision three-way at 95 %\n" +
			"rule c \"C\"\n  for every iron\n  require loft is 30 deg\nrule d \"D\"\n  for every iron\n  require share of (loft > 30 deg) among readings is 50 %\n  decision three-way at 95 %\n", ""},
		{"a group that rests on the set", "group few = iron where (count of hybrid) > 0\nrule a \"A\"\n  for every iron\n  require loft at most 50 deg\n", "unused-name: the group few is declared and never used in this book"},
		{"has", "rule a \"A\"\n  for every putter where has bounce\n  require bounce at most 4 deg\n", ""},
		{"a condition on the value itself", "rule a \"A\"\n  for every wedge where loft > 40 deg\n  require loft at most 64 deg\n", ""},
		{"exact rings", "rule a \"A\"\n  for neighbours among iron by number\n  require rise of loft per number at least 4 deg\nrule b \"B\"\n  for every iron 5\n  require loft at least 26 deg\nrule c \"C\"\n  for every iron 9\n  require loft at most 41 deg\n",
			"contradiction: a, b and c contradict each other: whatever loft the clubs of a bag such as this one have, one of them fails"},
		{"rings that leave room", "rule a \"A\"\n  for neighbours among iron by number\n  require rise of loft per number at least 4 deg\nrule b \"B\"\n  for every iron 5\n  require loft at least 26 deg\nrule c \"C\"\n  for every iron 9\n  require loft at most 42 deg\n", ""},
		// By hand, methods.ferrule: an iron of 61 1/2 deg reads longer by the wall, so one that soled is 38 in is too long there.
		{"an extreme by another method", "use methods\nrule a \"A\"\n  for every iron\n  require length by soled at least 38 in\nrule b \"B\"\n  for each set\n  require longest of length by wall among iron at most 38 in\n",
			"contradiction: a and b contradict each other: whatever length the clubs of a bag such as this one have, one of them fails"},
		{"an extreme and a comparison", "use methods\nrule a \"A\"\n  for every iron\n  require 38 in <= length by soled\nrule b \"B\"\n  for each set\n  require (longest of length by soled among iron) < 38 in\n",
			"contradiction: a and b contradict each other: whatever length the clubs of a bag such as this one have, one of them fails"},
		{"an extreme that leaves room", "use methods\nrule a \"A\"\n  for every iron\n  require 38 in <= length by soled\nrule b \"B\"\n  for each set\n  require (longest of length by soled among iron) <= 38 in\n", ""},
		// 4 deg from the 5 to the 9 are to be made in one step where nothing is between them.
		{"a bag with a gap", "rule a \"A\"\n  for neighbours among iron 5, iron 9 by number\n  require rise of lie at most 3 deg\nrule b \"B\"\n  for every iron 5\n  require lie at most 60 deg\nrule c \"C\"\n  for every iron 9\n  require 64 deg <= lie\n",
			"contradiction: a, b and c contradict each other: whatever lie the clubs of a bag such as this one have, one of them fails"},
		{"steps that skip a club", "rule a \"A\"\n  for neighbours among iron by number\n  require (rise of lie) >= 1 deg\nrule b \"B\"\n  for neighbours among iron where number != 6 by number\n  require rise of lie at most 1 1/2 deg\n",
			"contradiction: a and b contradict each other: whatever lie the clubs of a bag such as this one have, one of them fails"},
		// 3 to 9: six steps of half a degree are 3 deg.
		{"a whole bag of steps", "rule a \"A\"\n  for neighbours among iron by number\n  require rise of lie at least 1/2 deg\nrule b \"B\"\n  for each set\n  require spread of lie among iron at most 2.9 deg\n",
			"contradiction: a and b contradict each other: whatever lie the clubs of a bag such as this one have, one of them fails"},
		{"a whole bag of steps with room", "rule a \"A\"\n  for neighbours among iron by number\n  require rise of lie at least 1/2 deg\nrule b \"B\"\n  for each set\n  require spread of lie among iron at most 3 deg\n", ""},
		{"rings of one flex", "property flex text\nrule a \"A\"\n  for neighbours among iron where flex = \"stiff\" by number\n  require drop of mass at least 10 g\nrule b \"B\"\n  for each set\n  require spread of mass among iron where flex != \"stiff\" at most 9 g\n" +
			"rule c \"C\"\n  for each set\n  require spread of mass among iron at most 50 g\n", "contradiction: a and c contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"rings of some lofts", "rule a \"A\"\n  for each set\n  require lowest of mass among iron where loft > 40 deg at least 420 g\nrule b \"B\"\n  for each set\n  require highest of mass among iron 9 at most 410 g\n",
			"contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"rings that rest on the bag", "rule a \"A\"\n  for neighbours among iron by number\n  require drop of mass at least 10 g\n  unless (count of iron) < 7: exempt\nrule b \"B\"\n  for each set\n  require spread of mass among iron at most 50 g\n",
			"contradiction: a and b contradict each other: whatever mass the clubs of a bag such as this one have, one of them fails"},
		{"an exception behind another", "rule a \"A\"\n  for every iron\n  require lie at most 60 deg\n  unless hand = left and number = 5: exempt\n  unless hand = left: exempt\n",
			"exception-idle: this exception of a changes nothing: wherever it holds, the verdict is the same without it"},
		{"exceptions that overlap", "rule a \"A\"\n  for every iron\n  require lie at most 60 deg\n  unless hand = left or number = 5: exempt\n  unless number = 5 or number = 6: exempt\n", ""},
		{"a step against its order, but for an exception", "rule a \"A\"\n  for neighbours among iron by loft\n  require rise of loft below 0 deg\n  unless first hand = left: at most 5 deg\n", ""},
		{"a step within one that is never met", "rule a \"A\"\n  for neighbours among iron by loft\n  require rise of loft at most 6 deg\nrule b \"B\"\n  for neighbours among iron by loft\n  require rise of loft below 0 deg\n",
			"never-met: b can never be met, whatever is read of two neighbours"},
		{"a limit that only clubs pass which the other is not about", "rule a \"A\"\n  for every iron where lie > 60 deg\n  require lie at most 66 deg\nrule b \"B\"\n  for every iron\n  require lie at most 60 deg\n  decision simple\n", ""},
		{"both sides of a limit", "rule a \"A\"\n  for every iron\n  require loft below 30 deg\nrule b \"B\"\n  for every iron\n  require loft at least 30 deg\n",
			"contradiction: a and b contradict each other: whatever loft an iron 7 has, it fails one of them"},
		{"a mend of a comparison", "rule a \"A\"\n  for every iron\n  require 60 deg >= lie\n  mend \"Bend it {under}.\"\n",
			"empty-mend: {under} in the mend of a is never filled in: nothing can be too small for it"},
		{"a mend for a side that is not there", "rule a \"A\"\n  for every iron\n  require lie at most 60 deg\n  mend over \"Bend it {to-pass}, not {under}.\"\n  mend under \"Bend it.\"\n",
			"empty-mend: {under} in the mend of a is never filled in: nothing can be too small for it\nempty-mend: the mend under of a is never given: nothing can be too small for it"},
		{"on the limit", "rule a \"A\"\n  for every iron\n  require loft at most 30 deg\nrule b \"B\"\n  for every iron\n  require loft at least 30 deg\n", ""},
		{"one value for each exception", "rule a \"A\"\n  for every driver, putter\n  require lie at most 60 deg\n  unless hand = left: at most 62 deg\n  unless kind = putter and hand = right: exempt\n", ""},
	} {
		var got []string
		p, b := loaded(t, c.text)
		for _, f := range bookOf(p, b).List {
			againAsSheet(t, p, f)
			if f.Code == diag.RowsDiffer && f.Witness == nil && len(p.Rules()) > 0 {
				t.Errorf("%s: no witness", c.name)
			}
			got = append(got, string(f.Code)+": "+f.Message)
		}
		if all := strings.Join(got, "\n"); all != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, all, c.want)
		}
	}
}
