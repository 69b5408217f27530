package diag

// This file holds the codes of what the analysis of a book finds: a book that can be judged by, but
// likely not what was meant. All are warnings.

import (
	"slices"
	"strings"
)

// The codes of the analysis.
const (
	Contradiction   Code = "contradiction"    // rules that no club can all meet
	EmptyGroup      Code = "empty-group"      // a group that takes no club
	EmptyMend       Code = "empty-mend"       // a word in braces of a mend that is never filled in
	EmptyUse        Code = "empty-use"        // a use that lets no rule through
	ExceptionIdle   Code = "exception-idle"   // an exception that changes nothing
	ExceptionNever  Code = "exception-never"  // an exception that never holds
	ExceptionsClash Code = "exceptions-clash" // two exceptions that hold for one club and disagree
	Gap             Code = "gap"              // clubs that a family of rules leaves out
	GapInTime       Code = "gap-in-time"      // days that a family of rules leaves out
	IdleRule        Code = "idle-rule"        // a rule that another one makes idle
	LooserRule      Code = "looser-rule"      // a rule looser than one of a used book
	MissingCite     Code = "missing-cite"     // a rule that does not say where its figures come from
	MissingRow      Code = "missing-row"      // a chart without a row that a rule needs
	NeverApplies    Code = "never-applies"    // a rule that is about no club
	NeverMeasured   Code = "never-measured"   // a method that covers none of the clubs
	NeverMet        Code = "never-met"        // a rule that some club can never meet
	NeverShown      Code = "never-shown"      // a bound that no reading can show to be met
	UnusedName      Code = "unused-name"      // a name that nothing needs
)

// analysisEntries explain them. Their examples are run by the analysis, not by the checks that come
// before it.
func analysisEntries() []Entry {
	return []Entry{
		{Code: Contradiction, Title: "rules that contradict each other",
			Why: `Whatever is read of some club, one of these rules fails on it, so nobody could build it. Each
rule can still be judged. Move a limit, or change the clubs that one of the rules is about.`,
			Failing: "rule low \"L\"\n  for every iron 5 to 7\n  require loft at least 32 deg\nrule high \"H\"\n" +
				"  for every iron 3 to 5\n  require loft at most 30 deg\n",
			Mended: "rule low \"L\"\n  for every iron 6 to 7\n  require loft at least 32 deg\nrule high \"H\"\n" +
				"  for every iron 3 to 5\n  require loft at most 30 deg\n"},
		{Code: EmptyGroup, Title: "a group that takes no club",
			Why: `No club is in the list of the group and meets its condition, so whatever is about the group
is about nothing.`,
			Failing: "group long = iron 3 to 5 where number > 6\n",
			Mended:  "group long = iron 3 to 5 where number < 6\n"},
		{Code: EmptyMend, Title: "a word in braces that is never filled in",
			Why: `{over} says by how much a value is too large and {under} by how much it is too small; a rule
whose bound has one side only never fills the other one in, nor gives a mend over or mend under for it. {value},
{limit}, {to-pass} and {margin} need a bound.`,
			Failing: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n" +
				"  mend \"Bend it by {under}.\"\n",
			Mended: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n" +
				"  mend \"Bend it by {over}.\"\n"},
		{Code: EmptyUse, Title: "a use that lets no rule through",
			Why: `The words only and without of this use leave none of the rules of the other book, so it is used
for its names at the most. Without them all its rules are judged.`,
			Failing: "use \"house.ferrule\" without shallow\n",
			Mended:  "use \"house.ferrule\"\n"},
		{Code: ExceptionIdle, Title: "an exception that changes nothing",
			Why: `Wherever the exception holds, the rule gives the same verdict without it. A limit may have
been moved and the exception forgotten.`,
			Failing: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n" +
				"  unless hand = left: at most 80 deg\n",
			Mended: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n" +
				"  unless hand = left: at most 82 deg\n"},
		{Code: ExceptionNever, Title: "an exception that never holds",
			Why: `No club that the rule is about meets the condition of the exception. The condition may be
meant for another rule, or contradict itself.`,
			Failing: "rule flat \"F\"\n  for every driver\n  require lie at most 60 deg\n" +
				"  unless kind = fairway: at most 62 deg\n",
			Mended: "rule flat \"F\"\n  for every driver, fairway\n  require lie at most 60 deg\n" +
				"  unless kind = fairway: at most 62 deg\n"},
		{Code: ExceptionsClash, Title: "two exceptions that disagree on some club",
			Why: `Both conditions can hold for one club, and then nobody can say which outcome counts: the rule
gives that club no verdict. It is never the order that decides.`,
			Failing: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n" +
				"  unless hand = left: at most 82 deg\n  unless kind = putter: exempt\n",
			Mended: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n" +
				"  unless hand = left and kind != putter: at most 82 deg\n  unless kind = putter: exempt\n"},
		{Code: Gap, Title: "clubs that a family of rules leaves out",
			Why: `The rules of the book that limit a value are about clubs on either side of these, but not about
these. A number may have been forgotten. Where they have no limit on purpose, nothing has to be changed.`,
			Failing: "rule long \"L\"\n  for every iron 3 to 6\n  require loft at most 32 deg\nrule short \"S\"\n" +
				"  for every iron 8 to 9\n  require loft at most 44 deg\n",
			Mended: "rule long \"L\"\n  for every iron 3 to 6\n  require loft at most 32 deg\nrule short \"S\"\n" +
				"  for every iron 7 to 9\n  require loft at most 44 deg\n"},
		{Code: GapInTime, Title: "days that a family of rules leaves out",
			Why: `One rule on a value ends, and the next one begins some days later; in between no rule of the
book limits the value from that side. Where that is so on purpose, nothing has to be changed.`,
			Failing: "rule winter \"W\"\n  for every driver\n  require lie at most 60 deg\n  until 2026-03-31\n" +
				"rule summer \"S\"\n  for every driver\n  require lie at most 61 deg\n  from 2026-04-15\n",
			Mended: "rule winter \"W\"\n  for every driver\n  require lie at most 60 deg\n  until 2026-03-31\n" +
				"rule summer \"S\"\n  for every driver\n  require lie at most 61 deg\n  from 2026-04-01\n"},
		{Code: IdleRule, Title: "a rule that a stricter one makes idle",
			Why: `Whenever this rule applies, the other one applies too and asks for as much or more, so this
one never decides anything.`,
			Failing: "rule flat \"F\"\n  for every driver\n  require lie at most 62 deg\nrule flatter \"G\"\n" +
				"  for every driver, fairway\n  require lie at most 60 deg\n",
			Mended: "rule flat \"F\"\n  for every driver\n  require lie at most 60 deg\nrule flatter \"G\"\n" +
				"  for every fairway\n  require lie at most 60 deg\n"},
		{Code: LooserRule, Title: "a rule looser than one of a used book",
			Why: `The book uses another one whose rule on the same value is stricter and still judges, so what
this rule allows fails all the same. Use the other book without that rule, or ask for more.`,
			Failing: "use \"house.ferrule\"\nrule deep \"D\"\n  for every putter\n  require loft at most 12 deg\n",
			Mended:  "use \"house.ferrule\"\nrule deep \"D\"\n  for every putter\n  require loft at most 8 deg\n"},
		{Code: MissingCite, Title: "a rule without a cite beside others that have one",
			Why: `Where some rules of a book say where their figures come from, a reader looks for it at each
of them.`,
			Failing: "rule flat \"F\"\n  for every driver\n  require lie at most 60 deg\n  cite \"Notice 1\"\n" +
				"rule shut \"S\"\n  for every driver\n  require loft at least 8 deg\n",
			Mended: "rule flat \"F\"\n  for every driver\n  require lie at most 60 deg\n  cite \"Notice 1\"\n" +
				"rule shut \"S\"\n  for every driver\n  require loft at least 8 deg\n  cite \"Notice 2\"\n"},
		{Code: MissingRow, Title: "a chart without a row that a rule needs",
			Why: `The rule is about a club for which the chart has no row, so it stays unmeasured whatever is read
of it. Looked at are kinds without any row, numbers between rows, and clubs that the rule names.`,
			Failing: "chart lofts of loft per club\n  iron 5 = 26 deg\n  iron 7 = 34 deg\nrule built \"B\"\n" +
				"  for every iron\n  require loft within 1 deg of lofts\n",
			Mended: "chart lofts of loft per club\n  iron 5 = 26 deg\n  iron 6 = 30 deg\n  iron 7 = 34 deg\n" +
				"rule built \"B\"\n  for every iron\n  require loft within 1 deg of lofts\n"},
		{Code: NeverApplies, Title: "a rule that is about no club",
			Why: `No club is in the list of the rule and meets its condition, or its exceptions exempt every one
that is. A number or a condition that contradicts another one is the common cause.`,
			Failing: "rule flat \"F\"\n  for every iron 3 to 5 where number > 6\n  require lie at most 62 deg\n",
			Mended:  "rule flat \"F\"\n  for every iron 3 to 8 where number > 6\n  require lie at most 62 deg\n"},
		{Code: NeverMeasured, Title: "a method that covers none of the clubs",
			Why: `A length by a method is measured of the clubs that the method covers. A rule that is about none
of them can never be measured, and a method that covers no club measures nothing.`,
			Failing: strings.Replace(bench, "every club", "every club except putter", 1) +
				"rule long \"L\"\n  for every putter\n  require length by bench at most 36 in\n",
			Mended: bench + "rule long \"L\"\n  for every putter\n  require length by bench at most 36 in\n"},
		{Code: NeverMet, Title: "a rule that some club can never meet",
			Why: `Whatever is read of what the rule requires, some club that it is about fails. Two limits that
leave no room between them, or a condition that contradicts itself, are the common causes.`,
			Failing: "rule flat \"F\"\n  for every iron\n  require lie < 60 deg and lie > 62 deg\n",
			Mended:  "rule flat \"F\"\n  for every iron\n  require lie > 60 deg and lie < 62 deg\n"},
		{Code: NeverShown, Title: "a bound that no reading can show to be met",
			Why: `A reading by the method is not sure enough for a tolerance as narrow as this: even one in the
middle may be outside with more doubt than the decision allows. Widen the tolerance, read by a finer
method, or decide simply.`,
			Failing: bench + "rule long \"L\"\n  for every iron\n  require length by bench is 38 in +/- 1/64 in\n" +
				"  decision three-way at 95 %\n",
			Mended: bench + "rule long \"L\"\n  for every iron\n  require length by bench is 38 in +/- 1/4 in\n" +
				"  decision three-way at 95 %\n"},
		{Code: UnusedName, Title: "a name that nothing in the book needs",
			Why: `The group, let, chart or property is declared, and no rule of the book needs it. It may have been
meant for a rule that names something else. A book without rules of its own is there for others, and nothing is
said of its names.`,
			Failing: "group long = iron 3 to 5\nrule flat \"F\"\n  for every iron\n  require lie at most 62 deg\n",
			Mended:  "group long = iron 3 to 5\nrule flat \"F\"\n  for every long\n  require lie at most 62 deg\n"},
	}
}

// Analysed reports whether only the analysis of a book finds mistakes of a code.
func Analysed(code Code) bool {
	return slices.ContainsFunc(analysisEntries(), func(e Entry) bool { return e.Code == code })
}
