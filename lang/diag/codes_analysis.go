package diag

// This file holds the codes of what the analysis of a book finds: a book that can be judged by, but
// likely not what was meant. All are warnings.

import "slices"

// The codes of the analysis.
const (
	Contradiction   Code = "contradiction"    // rules that no club can all meet
	ExceptionIdle   Code = "exception-idle"   // an exception that changes nothing
	ExceptionNever  Code = "exception-never"  // an exception that never holds
	ExceptionsClash Code = "exceptions-clash" // two exceptions that hold for one club and disagree
	IdleRule        Code = "idle-rule"        // a rule that another one makes idle
	LooserRule      Code = "looser-rule"      // a rule looser than one of a used book
	NeverApplies    Code = "never-applies"    // a rule that is about no club
	NeverMet        Code = "never-met"        // a rule that some club can never meet
	NeverShown      Code = "never-shown"      // a bound that no reading can show to be met
)

// analysisEntries explain them. Their examples are run by the analysis, not by the checks that come
// before it.
func analysisEntries() []Entry {
	return []Entry{
		{Code: Contradiction, Title: "rules that contradict each other",
			Why: `Whatever is read of some club, one of these rules fails on it, so nobody could build it. Each
rule can still be judged. Move a limit, or change the clubs that one of the rules is about.`,
			Failing: "rule low \"L\"\n  for every iron 5 to 7\n  require loft at least 32 deg\nrule high \"H\"\n  for every iron 3 to 5\n  require loft at most 30 deg\n",
			Mended:  "rule low \"L\"\n  for every iron 6 to 7\n  require loft at least 32 deg\nrule high \"H\"\n  for every iron 3 to 5\n  require loft at most 30 deg\n"},
		{Code: ExceptionIdle, Title: "an exception that changes nothing",
			Why: `Wherever the exception holds, the rule gives the same verdict without it. A limit may have
been moved and the exception forgotten.`,
			Failing: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left: at most 80 deg\n",
			Mended:  "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left: at most 82 deg\n"},
		{Code: ExceptionNever, Title: "an exception that never holds",
			Why: `No club that the rule is about meets the condition of the exception. The condition may be
meant for another rule, or contradict itself.`,
			Failing: "rule flat \"F\"\n  for every driver\n  require lie at most 60 deg\n  unless kind = fairway: at most 62 deg\n",
			Mended:  "rule flat \"F\"\n  for every driver, fairway\n  require lie at most 60 deg\n  unless kind = fairway: at most 62 deg\n"},
		{Code: ExceptionsClash, Title: "two exceptions that disagree on some club",
			Why: `Both conditions can hold for one club, and then nobody can say which outcome counts: the rule
gives that club no verdict. It is never the order that decides.`,
			Failing: "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left: at most 82 deg\n  unless kind = putter: exempt\n",
			Mended:  "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  unless hand = left and kind != putter: at most 82 deg\n  unless kind = putter: exempt\n"},
		{Code: IdleRule, Title: "a rule that a stricter one makes idle",
			Why: `Whenever this rule applies, the other one applies too and asks for as much or more, so this
one never decides anything.`,
			Failing: "rule flat \"F\"\n  for every driver\n  require lie at most 62 deg\nrule flatter \"G\"\n  for every driver, fairway\n  require lie at most 60 deg\n",
			Mended:  "rule flat \"F\"\n  for every driver\n  require lie at most 60 deg\nrule flatter \"G\"\n  for every fairway\n  require lie at most 60 deg\n"},
		{Code: LooserRule, Title: "a rule looser than one of a used book",
			Why: `The book uses another one whose rule on the same value is stricter and still judges, so what
this rule allows fails all the same. Use the other book without that rule.`,
			Failing: "use \"house.ferrule\"\nrule deep \"D\"\n  for every putter\n  require loft at most 12 deg\n",
			Mended:  "use \"house.ferrule\" without shallow\nrule deep \"D\"\n  for every putter\n  require loft at most 12 deg\n"},
		{Code: NeverApplies, Title: "a rule that is about no club",
			Why: `No club is in the list of the rule and meets its condition. A number or a condition that
contradicts another one is the common cause.`,
			Failing: "rule flat \"F\"\n  for every iron 3 to 5 where number > 6\n  require lie at most 62 deg\n",
			Mended:  "rule flat \"F\"\n  for every iron 3 to 8 where number > 6\n  require lie at most 62 deg\n"},
		{Code: NeverMet, Title: "a rule that some club can never meet",
			Why: `Whatever is read of what the rule requires, some club that it is about fails. Two limits that
leave no room between them, or a condition that contradicts itself, are the common causes.`,
			Failing: "rule flat \"F\"\n  for every iron\n  require lie < 60 deg and lie > 62 deg\n",
			Mended:  "rule flat \"F\"\n  for every iron\n  require lie > 60 deg and lie < 62 deg\n"},
		{Code: NeverShown, Title: "a bound that no reading can show to be met",
			Why: `A reading by the method is not sure enough for a tolerance as narrow as this: even one in the
middle may be outside with more doubt than the decision allows. Widen the tolerance, read by a finer
method, or decide simply.`,
			Failing: bench + "rule long \"L\"\n  for every iron\n  require length by bench is 38 in +/- 1/64 in\n  decision three-way at 95 %\n",
			Mended:  bench + "rule long \"L\"\n  for every iron\n  require length by bench is 38 in +/- 1/4 in\n  decision three-way at 95 %\n"},
	}
}

// Analysed tells whether only the analysis of a book finds mistakes of a code.
func Analysed(code Code) bool {
	return slices.ContainsFunc(analysisEntries(), func(e Entry) bool { return e.Code == code })
}
