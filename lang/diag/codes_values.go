package diag

// This file explains the codes about values: units, methods, conditions, sets,
// neighbours and figures.

func valueEntries() []Entry {
	return []Entry{
		{BareLength, "a length without its method",
			`The same club has a different length by each method of measuring it, so a length
always says by which method it is read: length by soled. Methods are declared in the book or brought
in, as by use methods.`,
			bench + "rule long \"L\"\n  for every club\n  require length at most 46 in\n",
			bench + "rule long \"L\"\n  for every club\n  require length by bench at most 46 in\n"},
		{BareSetValue, "a value of a set beside an operator",
			`"count of" and "longest of ... among" take a list of clubs with its condition, which could go on. So
beside an operator, and in abs, min and max, they stand in parentheses. So do drop of and rise of.`,
			"rule few \"F\"\n  for each set\n  require count of iron <= 8\n",
			"rule few \"F\"\n  for each set\n  require (count of iron) <= 8\n"},
		{BoundForFormula, "another bound for a rule that has none",
			`An exception may give another bound where the rule has a bound. A rule that requires a
condition can only be lifted: exempt. Or the exception becomes part of the condition.`,
			"rule flat \"F\"\n  for every club\n  require lie <= 80 deg and loft <= 70 deg\n" +
				"  unless hand = left: at most 82 deg\n",
			"rule flat \"F\"\n  for every club\n  require lie <= 80 deg and loft <= 70 deg\n" +
				"  unless hand = left: exempt\n"},
		{ExceptionsDiffer, "two exceptions that always disagree",
			`Two exceptions with one condition hold together, and then nobody can say which of
them counts. It is never the order that decides.`,
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left: at most 82 deg\n" +
				"  unless hand = left: exempt\n",
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left: at most 82 deg\n" +
				"  unless hand = right: exempt\n"},
		{ExceptionsRepeat, "an exception that stands twice",
			`The second one changes nothing; one of the two was likely meant for something else.`,
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left: exempt\n" +
				"  unless hand = left: exempt\n",
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left: exempt\n"},
		{MendFallsShort, "a mend that may not be enough",
			`{over} and {under} say how far a value is beyond its limit. Under below and above a value on the limit
does not pass, and a decision that counts the uncertainty asks for more, or for less; there {to-pass} is how
much has to change. Say both where you like: {over} tells, {to-pass} mends. This is a warning.`,
			"rule flat \"F\"\n  for every club\n  require lie below 80 deg\n" +
				"  mend \"Bend it flatter by {over}.\"\n",
			"rule flat \"F\"\n  for every club\n  require lie below 80 deg\n" +
				"  mend \"Bend it flatter by {to-pass}.\"\n"},
		{MethodClash, "lengths by two methods side by side",
			`Lengths by two methods differ even on one club, so they are never compared as if they
were alike. Ask for both by one method.`,
			bench + "method wall \"Flat on the wall\"\n  covers every club\n  stop at 90 deg\n  top at cap end\n" +
				"  reads to 1/8 in\nrule same \"S\"\n  for every club\n  require length by bench <= length by wall\n",
			bench + "property old-length length by bench\nrule same \"S\"\n  for every club\n" +
				"  require length by bench <= old-length\n"},
		{MisplacedMethod, "a method behind what no method measures",
			`Only the length of a club is read by a method. An angle, a mass, the length of a grip, a let and a
chart are named without one.`,
			bench + "rule flat \"F\"\n  for every club\n  require lie by bench at most 80 deg\n",
			bench + "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n"},
		{MisplacedValue, "a value in a rule about something else",
			`drop of and rise of, first and second are for rules about neighbours. Repeated readings and
charts are about one club. A rule about a whole set asks for values of the set, such as longest of V among LIST.`,
			"rule drops \"D\"\n  for every iron\n  require drop of loft at least 3 deg\n",
			"rule drops \"D\"\n  for neighbours among iron by loft\n  require rise of loft at least 3 deg\n"},
		{NeverSure, "a length that must be just so",
			`A measured length is never surely this and nothing else, so under a decision that asks how
sure it is, the rule can never pass (or never fail). Give it a tolerance, or decide it simply. This is a
warning.`,
			bench + "rule just \"J\"\n  for every driver\n  require length by bench is 45 in\n" +
				"  decision three-way at 95 %\n",
			bench + "rule just \"J\"\n  for every driver\n  require length by bench is 45 in +/- 1/8 in\n" +
				"  decision three-way at 95 %\n"},
		{NoLieSet, "lie-set where the club is not soled",
			`lie-set says how well a club is soled at its own lie. A method that stops the head at a fixed
plane, or measures along the shaft, does not sole it.`,
			"method wall \"W\"\n  covers every club\n  stop at 90 deg\n  top at cap end\n  reads to 1/8 in\n" +
				"  lie-set within 1 deg\n",
			"method wall \"W\"\n  covers every club\n  stop at 90 deg\n  top at cap end\n  reads to 1/8 in\n"},
		{NoShape, "figures that make no head",
			`The sole is an arc that goes over into an arc at the toe and one at the heel. For that,
toe - reach - toe-radius must be 0 or more and below camber - toe-radius, and heel + reach - heel-radius 0 or more
and below camber - heel-radius.`,
			"head driver\n  reach 1.75 in\n  camber 9 in\n  toe 2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n" +
				"  heel-radius 0.6 in\n",
			"head driver\n  reach 1.75 in\n  camber 9 in\n  toe 4.2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n" +
				"  heel-radius 0.6 in\n"},
		{NotACondition, "no condition where one is needed",
			`Behind where, unless and if, beside and, or and not, and in a rule without a bound stands
something that holds or does not: a comparison, has PROPERTY, or a yes-no property.`,
			"group flat = iron where lie\n",
			"group flat = iron where lie < 60 deg\n"},
		{NotAQuantity, "no quantity where one is needed",
			`Bounds, sums, products, abs, min and max are for quantities. Days are compared by = < <= > and >=, texts
by = and !=, and a condition stands alone.`,
			"property made date\nrule new \"N\"\n  for every club\n  require made at least 2010-01-01\n",
			"property made date\nrule new \"N\"\n  for every club\n  require made >= 2010-01-01\n"},
		{NotConstant, "a figure that depends on the club",
			`The figures of methods, allowances, heads, charts, levels and the head of a book are known before
any club is read. They are quantities, or sums and products of quantities.`,
			"chart lofts of loft per club\n  iron 5 = lie - 30 deg\n",
			"chart lofts of loft per club\n  iron 5 = 26 deg\n"},
		{OutOfRange, "a figure beyond all use",
			`A figure has grown, or shrunk, to a size that no computation holds, or a formula multiplies
more like quantities than anybody needs.`,
			"let big = 1000000000000000000000000000000000000000 in\nlet bigger = big * big * big * big\n" +
				"let biggest = bigger * bigger * bigger\n",
			"let big = 1000 in\nlet bigger = big * big\n"},
		{RowsDiffer, "two rows for the same clubs that differ",
			`Two rows of a chart, two allowances or two heads that hold for the same club and differ are a
fault: it is never the order that decides. One row may have a where that tells them apart; the one without
where serves where no other holds.`,
			"chart lofts of loft per club\n  iron 5 = 26 deg\n  iron 4 to 6 = 27 deg\n",
			"chart lofts of loft per club\n  iron 5 = 26 deg\n  iron 6 to 7 = 30 deg\n"},
		{RowsRepeat, "two rows for the same clubs that say the same",
			`The second one changes nothing; one of the two was likely meant for other clubs.`,
			"chart lofts of loft per club\n  iron 5 = 26 deg\n  iron 5 = 26 deg\n",
			"chart lofts of loft per club\n  iron 5 = 26 deg\n  iron 6 = 26 deg\n"},
		{SenselessFigure, "a figure that makes no sense where it stands",
			`A half-width, a tolerance, an allowance and an extension are 0 or more, graduations and radii above 0,
the level of a decision above 50 % and below 100 %, the plane of a stop between 0 and 180 deg, and the
smaller limit of between comes first.`,
			"rule gap \"G\"\n  for every wedge\n  require loft between 60 deg and 44 deg\n",
			"rule gap \"G\"\n  for every wedge\n  require loft between 44 deg and 60 deg\n"},
		{ShareOfOne, "a share that is not of one property",
			`share of (CONDITION) among readings counts the repeated readings of one property, so its condition
is on that property and on no other.`,
			"rule most \"M\"\n  for every club\n  require share of (lie <= 60 deg and loft > 4 deg) among readings " +
				"at least 75 %\n",
			"rule most \"M\"\n  for every club\n  require share of (lie <= 60 deg and lie > 50 deg) among readings " +
				"at least 75 %\n"},
		{UnitClash, "two kinds of quantity side by side",
			`Angles, lengths, masses, times, swing weights, counts and ratios are different things: they are
not added, compared or bounded by each other. A bare number is a count, or a ratio where the other side
is one. Mostly just the unit is missing.`,
			"rule flat \"F\"\n  for every club\n  require lie <= 80\n",
			"rule flat \"F\"\n  for every club\n  require lie <= 80 deg\n"},
		{UnlikeValues, "values that cannot be compared",
			`Quantities are compared with quantities, days with days, texts with texts by = and != only. Behind
kind = stands a kind, a group or iron 5, behind hand = left or right; a yes-no property stands alone.`,
			"group lefties = iron where hand = \"left\"\n",
			"group lefties = iron where hand = left\n"},
		{WhichClub, "a property of neighbours that does not say of which",
			`A rule about neighbours has a first and a second club. A property stands behind one of these words, or
in drop of and rise of, which take it of both.`,
			"rule into \"I\"\n  for neighbours among iron by loft\n  require rise of loft at most 5 deg\n" +
				"  unless number = 9: at most 7 deg\n",
			"rule into \"I\"\n  for neighbours among iron by loft\n  require rise of loft at most 5 deg\n" +
				"  unless first number = 9: at most 7 deg\n"},
		{WrongArguments, "too many or too few values in parentheses",
			`abs takes one value; min and max take two or more, divided by commas.`,
			"let off = abs(lie, 60 deg)\n",
			"let off = abs(lie - 60 deg)\n"},
		{ZeroDivision, "a division by 0",
			`Nothing can be divided by 0.`,
			"let off = lie / (2 - 2)\n",
			"let off = lie / 2\n"},
	}
}
