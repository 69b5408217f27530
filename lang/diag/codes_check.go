package diag

// This file holds the codes of mistakes in the meaning of a book.

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
	MisplacedMethod    Code = "misplaced-method"    // "by" behind what no method measures
	MisplacedValue     Code = "misplaced-value"     // a value in a rule about something else
	MissingBook        Code = "missing-book"        // a book that is not there
	MissingClause      Code = "missing-clause"      // a clause that a declaration must have
	NeverSure          Code = "never-sure"          // "is Q" on a length
	NoLieSet           Code = "no-lie-set"          // "lie-set" without "stop at lie"
	NoShape            Code = "no-shape"            // figures that make no head
	NotACondition      Code = "not-a-condition"     // a quantity where a condition stands
	NotAQuantity       Code = "not-a-quantity"      // something else where a quantity stands
	NotConstant        Code = "not-constant"        // a club's value where none is known
	OutOfRange         Code = "out-of-range"        // figures beyond all use
	OutsideFolder      Code = "outside-folder"      // a book outside of the folder
	ReservedWord       Code = "reserved-word"       // a name that is a word of the language
	RepeatedName       Code = "repeated-name"       // a name declared twice
	Ring               Code = "ring"                // names that stand for each other
	RingOfBooks        Code = "ring-of-books"       // books that use each other
	RowsDiffer         Code = "rows-differ"         // two rows for the same clubs that differ
	RowsRepeat         Code = "rows-repeat"         // two rows for the same clubs that say the same
	SenselessFigure    Code = "senseless-figure"    // a figure that makes no sense where it stands
	ShareOfOne         Code = "share-of-one"        // "share of" not of exactly one property
	TooManyBooks       Code = "too-many-books"      // over 64 books
	TooMuchWork        Code = "too-much-work"       // formulas that grow beyond bounds through their names
	UnitClash          Code = "unit-clash"          // two dimensions side by side
	UnknownName        Code = "unknown-name"        // a name that stands for nothing
	UnknownPlaceholder Code = "unknown-placeholder" // braces of a mend that stand for nothing
	UnknownSort        Code = "unknown-sort"        // a sort of property that is none
	UnlikeColumns      Code = "unlike-columns"      // a property declared in two ways
	UnlikeValues       Code = "unlike-values"       // values that cannot be compared
	UsedTwice          Code = "used-twice"          // the same use twice
	WhichClub          Code = "which-club"          // a property of a pair without first or second
	WrongArguments     Code = "wrong-arguments"     // abs of two values, min of one
	WrongItem          Code = "wrong-item"          // a list's member with a number where none fits
	ZeroDivision       Code = "zero-division"       // a division by 0
)

func checkEntries() []Entry { return nil }
