package diag

// This file holds the codes of mistakes in the form of a book: what is wrong
// before names are looked up.

// The codes of form.
const (
	BareIf             Code = "bare-if"             // "if" or "not" as part of a sum, without parentheses
	BookTooLarge       Code = "book-too-large"      // over 1 MiB
	CapitalLetter      Code = "capital-letter"      // a name or word with a capital
	ChainedComparison  Code = "chained-comparison"  // a < b < c
	CutShort           Code = "cut-short"           // a clause ends before it is whole
	FaultyNumber       Code = "faulty-number"       // a malformed number or unit
	FormulaTooLong     Code = "formula-too-long"    // a formula over 4 KiB, a clause over 16 KiB
	MisplacedHeader    Code = "misplaced-header"    // "rulebook" anywhere but first
	MixedAndOr         Code = "mixed-and-or"        // a and b or c
	NameForm           Code = "name-form"           // an underscore, or nothing but hyphens
	NoSuchDay          Code = "no-such-day"         // 2026-02-30
	OpenParenthesis    Code = "open-parenthesis"    // "(" without ")"
	OpenText           Code = "open-text"           // a text without its closing mark
	OutOfPlace         Code = "out-of-place"        // a word or sign where something else is due
	OutsideDeclaration Code = "outside-declaration" // a line that belongs to no declaration
	RepeatedClause     Code = "repeated-clause"     // a clause given twice
	StrayCharacter     Code = "stray-character"     // a character that no book has
	TightMinus         Code = "tight-minus"         // a minus without its blanks
	TightStroke        Code = "tight-stroke"        // a/3/8
	TooDeep            Code = "too-deep"            // over 64 levels
	TooManyMistakes    Code = "too-many-mistakes"   // over 200 in a book
	UnknownClause      Code = "unknown-clause"      // a line that starts with no clause's word
)

func formEntries() []Entry {
	return []Entry{
		{BareIf, "an if or a not beside an operator",
			`An if reaches as far to the right as it can, so beside + or < nobody could tell
where it ends. It stands alone, or in parentheses. So does a not that is part
of a comparison.`,
			"let reach-in = 1 in + if kind = driver then 2 in else 1 in\n",
			"let reach-in = 1 in + (if kind = driver then 2 in else 1 in)\n"},
		{BookTooLarge, "a book over the size limit",
			`A rule book holds at most 1 MiB, which is some ten thousand rules. Split it:
a book can use others by their file names.`, "", ""},
		{CapitalLetter, "a capital letter in a name",
			`Names and words are written in small letters, so that a name has one spelling.
Capitals stand in texts, in swing weights such as D2, and in the unit Hz. The
stamp on a club is a text: wedge "PW".`,
			"group Woods = driver, fairway\n",
			"group woods = driver, fairway\n"},
		{ChainedComparison, "two comparisons in a row",
			`A comparison has two sides. A value between two limits is written as two
comparisons joined by and, or in a rule as "between 4 deg and 6 deg".`,
			"group middle = iron where 5 <= number <= 7\n",
			"group middle = iron where 5 <= number and number <= 7\n"},
		{CutShort, "a clause that ends too early",
			`A clause is one line. It goes on over the next where a line ends in an
operator, a comma, a colon, "and" or "or", or inside parentheses. This one ends
before everything is said that its form asks for.`,
			"rulebook \"Spring\"\n  edition\n",
			"rulebook \"Spring\"\n  edition 2026-04-18\n"},
		{FaultyNumber, "a malformed number or unit",
			`Numbers are written 46, 45.75, 3/8, 45 3/4, 45-3/4 or 45¾, with their unit behind
them: in, ft, mm, cm, m, deg, g, kg, oz, lb, us, cpm, Hz, cm3, %, pts and a few more.
Commas, exponents and other spellings of a unit are not read.`,
			"let long = 46 inches\n",
			"let long = 46 in\n"},
		{FormulaTooLong, "a formula over the size limit",
			`A formula or a list holds at most 4096 characters, a line or a clause at most 16384.
Give the parts of a formula names with let, and those of a list with group.`, "", ""},
		{MisplacedHeader, "the head of the book elsewhere than at its start",
			`The title, the edition and what holds for the whole book stand first in it, once.`,
			"let long = 46 in\nrulebook \"Spring\"\n",
			"rulebook \"Spring\"\nlet long = 46 in\n"},
		{MixedAndOr, "and beside or",
			`People read "a or b and c" in two ways. Parentheses say which is meant.`,
			"group some = iron where number = 5 or number = 6 and loft > 30 deg\n",
			"group some = iron where number = 5 or (number = 6 and loft > 30 deg)\n"},
		{NameForm, "a name that is none",
			`A name is a letter, then letters, digits and hyphens: longest-club. Underscores
are written as hyphens.`,
			"group low_irons = iron 2 to 4\n",
			"group low-irons = iron 2 to 4\n"},
		{NoSuchDay, "a day that is not in the calendar",
			`A day is written year, month, day, with four, two and two digits, and must be one.`,
			"rulebook \"Spring\"\n  edition 2026-02-30\n",
			"rulebook \"Spring\"\n  edition 2026-02-28\n"},
		{OpenParenthesis, "a parenthesis that is not closed",
			`Each "(" needs its ")" in the same clause. Inside parentheses a clause may
go over any number of lines, but never past the next declaration.`,
			"let head-moment = mass * (balance - 14 in\n",
			"let head-moment = mass * (balance - 14 in)\n"},
		{OpenText, "a text without its closing mark",
			`A text stands between two quotation marks on one line, and cannot hold a
quotation mark itself. Directly behind a number the mark means inches.`,
			"rulebook \"Spring\n",
			"rulebook \"Spring\"\n"},
		{OutOfPlace, "something out of place",
			`Up to this place the clause is understood; what stands here does not belong
there. The message says what does. A word that is misspelt, or left out just before, is
the common cause.`,
			"rule longest \"Not over 46 in\"\n  for     evry club\n  require lie at most 80 deg\n",
			"rule longest \"Not over 46 in\"\n  for     every club\n  require lie at most 80 deg\n"},
		{OutsideDeclaration, "a line that belongs to no declaration",
			`A book is a list of declarations. Each starts with its word at the start of a
line (rulebook, use, group, property, chart, let, method, allowance, head, rule, advice or case), and the
lines below are its clauses. A comment starts with #.`,
			"the rules of the spring event\n",
			"# the rules of the spring event\n"},
		{RepeatedClause, "a clause that stands twice",
			`A declaration has each clause once, so that nobody has to guess which one counts.
Only unless, cite, club, set and expect may be repeated.`,
			"rulebook \"Spring\"\n  edition 2026-04-18\n  edition 2026-04-19\n",
			"rulebook \"Spring\"\n  edition 2026-04-19\n"},
		{StrayCharacter, "a character that a book does not have",
			`A book is plain text in UTF-8. Outside texts and comments it has words,
quantities, days and the signs + - * / = != < <= > >= +/- ( ) , and : only. Bent quotation
marks and unbreakable blanks come from word processors; control characters are in no book at all.`,
			"group long = iron where number ≤ 4\n",
			"group long = iron where number <= 4\n"},
		{TightMinus, "a minus without its blanks",
			`Names may hold hyphens, and numbers may have a sign. So a minus between two values
has a blank on both sides, and a sign touches its number.`,
			"let gap = lie -3 deg\n",
			"let gap = lie - 3 deg\n"},
		{TightStroke, "a fraction directly behind a stroke",
			`3/8 is a fraction where it stands by itself. Behind another stroke it could also be
two divisions, so blanks or parentheses have to say which.`,
			"let part = mass/3/8\n",
			"let part = mass / (3/8)\n"},
		{TooDeep, "a formula with too many levels",
			`Parentheses, if, not, signs and calls may be nested 64 levels deep. Give the inner
parts names with let.`,
			"let x = " + deep + "1" + deepEnd + "\n",
			"let x = 1\n"},
		{TooManyMistakes, "too many mistakes to list",
			`The first 200 mistakes of a book are listed. Often they have one cause, such as a
file that is no rule book.`, "", ""},
		{UnknownClause, "a line that starts with no clause of its declaration",
			`Below the first line of a declaration stand its clauses, one a line, each led by
its word: a rule has for, require, unless, decision, from, until, cite and mend. The message names the
words that fit here.`,
			"rulebook \"Spring\"\n  edtion 2026-04-18\n",
			"rulebook \"Spring\"\n  edition 2026-04-18\n"},
	}
}

// deep and deepEnd are a level of parentheses too many.
const (
	deep    = "(((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((((("
	deepEnd = "))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))))"
)
