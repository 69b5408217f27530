package diag

// This file holds the codes of mistakes in the meaning of a book, with what explains
// them; names and books are here, the rest is in codes_values.go.

// The codes of meaning.
const (
	BareLength         Code = "bare-length"         // a length without its method
	BareSetValue       Code = "bare-set-value"      // a value of a set, or a drop, without its parentheses
	BookUnread         Code = "book-unread"         // a book that cannot be read
	BoundForFormula    Code = "bound-for-formula"   // "unless ...: BOUND" in a rule that requires a condition
	CaseClub           Code = "case-club"           // a club or set of a case
	CaseExpectation    Code = "case-expectation"    // what a case expects
	CaseReading        Code = "case-reading"        // a reading of a case
	EmptyPeriod        Code = "empty-period"        // "until" before "from"
	ExceptionsDiffer   Code = "exceptions-differ"   // two exceptions of one condition that differ
	ExceptionsRepeat   Code = "exceptions-repeat"   // the same exception twice
	MethodClash        Code = "method-clash"        // lengths by two methods side by side
	MisplacedMethod    Code = "misplaced-method"    // "by" after what no method measures
	MendFallsShort     Code = "mend-falls-short"    // a mend that may not be enough
	MisplacedValue     Code = "misplaced-value"     // a value in a rule about something else
	MissingBook        Code = "missing-book"        // a book that is not there
	MissingClause      Code = "missing-clause"      // a clause that a declaration must have
	NeverSure          Code = "never-sure"          // "is Q" on a length
	NoLieSet           Code = "no-lie-set"          // "lie-set" without "stop at lie"
	NoShape            Code = "no-shape"            // figures that make no head
	NotACondition      Code = "not-a-condition"     // a quantity where a condition belongs
	NotAQuantity       Code = "not-a-quantity"      // something else where a quantity belongs
	NotConstant        Code = "not-constant"        // a club's value where none is known
	OutOfRange         Code = "out-of-range"        // figures beyond all use
	OutsideFolder      Code = "outside-folder"      // a book outside of the folder
	RepeatedName       Code = "repeated-name"       // a name declared twice
	ReservedWord       Code = "reserved-word"       // a name that is a word of the language
	Ring               Code = "ring"                // names defined by each other
	RingOfBooks        Code = "ring-of-books"       // books that use each other
	RowsDiffer         Code = "rows-differ"         // two rows for the same clubs that differ
	RowsRepeat         Code = "rows-repeat"         // two rows for the same clubs that say the same
	SenselessFigure    Code = "senseless-figure"    // a figure that makes no sense in its place
	ShareOfOne         Code = "share-of-one"        // "share of" not of exactly one property
	TooManyBooks       Code = "too-many-books"      // over 64 books
	TooMuchWork        Code = "too-much-work"       // formulas that grow beyond bounds through their names
	UnitClash          Code = "unit-clash"          // two dimensions side by side
	UnknownName        Code = "unknown-name"        // a name that nothing declares
	UnknownPlaceholder Code = "unknown-placeholder" // a placeholder that a mend does not know
	UnknownSort        Code = "unknown-sort"        // not a sort of property
	UnlikeColumns      Code = "unlike-columns"      // a property declared in two ways
	UnlikeValues       Code = "unlike-values"       // values that cannot be compared
	UsedTwice          Code = "used-twice"          // the same use twice
	WhichClub          Code = "which-club"          // a property of a pair without first or second
	WrongArguments     Code = "wrong-arguments"     // abs of two values, min of one
	WrongItem          Code = "wrong-item"          // a list's member with a number where none fits
	ZeroDivision       Code = "zero-division"       // a division by 0
)

// bench is a method for the examples that need one.
const bench = `method bench "Flat on the bench"
  covers every club
  stop   at lie
  top    at cap edge
  reads  to 1/8 in
`

func checkEntries() []Entry {
	return append(valueEntries(), []Entry{
		{BookUnread, "a book that cannot be read",
			`The file is there, but it may not be read, or it is a folder. Look at the file with
the tools of your machine; the message says what they told.`, "", ""},
		{CaseClub, "a club of a case that cannot be",
			`In a case each club has a kind and an id of its own within its set, and each set has
an id of its own.`,
			"case \"One\"\n  club a: driver, lie 58 deg\n  club a: putter, lie 70 deg\n  expect flat on a: pass\n" +
				"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n",
			"case \"One\"\n  club a: driver, lie 58 deg\n  club b: putter, lie 70 deg\n  expect flat on a: pass\n" +
				"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n"},
		{CaseExpectation, "an expectation that cannot be met",
			`An expectation names a rule, the clubs that it is about by their ids in the case (one for
a rule about every club, two for neighbours, set for a whole set), and one of the
verdicts pass, fail, too-close, unmeasured, exempt. The rule must be in force on the day of the case.`,
			"case \"One\"\n  club a: driver, lie 58 deg\n  expect flat on a: passes\nrule flat \"F\"\n" +
				"  for every club\n  require lie at most 80 deg\n",
			"case \"One\"\n  club a: driver, lie 58 deg\n  expect flat on a: pass\nrule flat \"F\"\n" +
				"  for every club\n  require lie at most 80 deg\n"},
		{CaseReading, "a reading of a case that does not fit its property",
			`A reading in a case is written as a sheet would hold it: a quantity with its unit for
what is measured, left or right for the hand, yes or no, a day, or a text in quotation marks.
Only what is measured is repeated, and only a length is read by a method.`,
			"case \"One\"\n  club a: driver, lie 58 deg, hand \"left\"\n  expect flat on a: pass\nrule flat \"F\"\n" +
				"  for every club\n  require lie at most 80 deg\n",
			"case \"One\"\n  club a: driver, lie 58 deg, hand left\n  expect flat on a: pass\nrule flat \"F\"\n" +
				"  for every club\n  require lie at most 80 deg\n"},
		{EmptyPeriod, "a rule that ends before it begins",
			`A rule is in force from the day of from up to and with the day of until.`,
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  from 2026-05-01\n  until 2026-04-01\n",
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  from 2026-04-01\n  until 2026-05-01\n"},
		{MissingBook, "a book that is not there",
			`use takes the name of a shipped book, or in quotation marks the name of a file in the
folder of the book that uses it, or below. ferrule books lists the shipped ones.`,
			"use \"hous.ferrule\"\n",
			"use \"house.ferrule\"\n"},
		{MissingClause, "a declaration without a clause that it needs",
			`A rule needs for and require, a method covers, stop, top and reads, a head its six
figures, a chart a row, a case an expect.`,
			"rule flat \"F\"\n  for every club\n",
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n"},
		{OutsideFolder, "a book outside of the folder",
			`A book uses files of its own folder and of the folders below, so that a folder of books
can be copied and gives the same verdicts everywhere. Copy the file into the folder. A shipped book
uses shipped books only.`,
			"use \"../house.ferrule\"\n",
			"use \"house.ferrule\"\n"},
		{RepeatedName, "one name for two things",
			`Within a book each rule, each value (property, let or chart), each group and each method has a name
of its own, and so have those that use brings in. Of two rules of one name, a use may leave
one out by without.`,
			"group long = driver\ngroup long = fairway\n",
			"group long = driver\ngroup longish = fairway\n"},
		{ReservedWord, "a name that the language needs itself",
			`A rule may not be called like a word that starts a declaration or a clause. Groups,
properties, lets, charts and methods may be no word of the language, no kind of club, no unit, and no property
that the tool knows.`,
			"group putters = putter where loft > 4 deg\n",
			"group lofted-putters = putter where loft > 4 deg\n"},
		{Ring, "names that stand for each other",
			`A group, let or chart may need other names, but in the end not itself: nobody could work
it out. The message shows the whole ring.`,
			"let a = b + 1 deg\nlet b = a - 1 deg\n",
			"let a = b + 1 deg\nlet b = loft - 1 deg\n"},
		{RingOfBooks, "books that use each other",
			`A book may use others, but in the end not itself. Put what both need into a third
book.`,
			"use \"book.ferrule\"\n",
			"use \"house.ferrule\"\n"},
		{TooManyBooks, "too many books",
			`A book brings in 64 others at most, through all those that it uses.`, "", ""},
		{TooMuchWork, "a formula that grows beyond bounds",
			`Each name in a formula stands for a formula of its own. With all of them written out,
a formula has at most 10000 parts, and names need each other at most 64 deep.`, "", ""},
		{UnknownName, "a name that stands for nothing",
			`The name is declared neither in this book nor in one that it uses. What a used book itself
uses is not passed on. A misspelling is the common cause.`,
			"group long = driver, fairwy\n",
			"group long = driver, fairway\n"},
		{UnknownPlaceholder, "a word in braces that no mend has",
			`A mend may hold {club}, {value}, {limit}, {over}, {under}, {to-pass} and {margin}, which are replaced
by the club's name and its figures.`,
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  mend \"Bend it by {ovr}.\"\n",
			"rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n  mend \"Bend it by {over}.\"\n"},
		{UnknownSort, "a sort of property that is none",
			`Behind the name of a property stands what it holds: length (by METHOD at will), angle,
mass, time, frequency, area, volume, inertia, moment, line-mass, swingweight, count, ratio, date, yes-no or text.`,
			"property face-angle angel\n",
			"property face-angle angle\n"},
		{UnlikeColumns, "one column declared in two ways",
			`A property is a column of the sheet. Where two books declare the same name, they must mean
the same sort of values, by the same method.`,
			"use \"house.ferrule\"\nproperty made text\n",
			"use \"house.ferrule\"\nproperty made date\n"},
		{UsedTwice, "a book used twice",
			`A second use of a book that brings nothing new is likely a slip.`,
			"use \"house.ferrule\"\nuse \"house.ferrule\"\n",
			"use \"house.ferrule\"\n"},
		{WrongItem, "a member of a list that means nothing",
			`A kind may have a number, two numbers with to between them, the smaller first, or a mark in
quotation marks: iron 5, iron 5 to 9, wedge "PW". Groups and club have none.`,
			"group middle = iron 9 to 5\n",
			"group middle = iron 5 to 9\n"},
	}...)
}
