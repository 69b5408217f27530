package diag

// This file holds the codes and their catalogue, which is written in codes.txt. Each code has a line "=== CODE",
// followed by "analysis" where only the analysis of a book finds it. Below it are its title on a line, why it is a
// mistake, and its examples.

import (
	"cmp"
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"ferrule/lang/lists"
)

// The codes of form: what is wrong before names are looked up.
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
	NewerLanguage      Code = "newer-language"      // a book in an edition of the language that is not known
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

// The codes of meaning.
const (
	AlikeTexts         Code = "alike-texts"         // two texts of a list that are one on a sheet
	BareLength         Code = "bare-length"         // a length without its method
	BareSetValue       Code = "bare-set-value"      // a value of a set, or a drop, without its parentheses
	BookUnread         Code = "book-unread"         // a book that cannot be read
	BoundForFormula    Code = "bound-for-formula"   // "unless ...: BOUND" in a rule that requires a condition
	CaseClub           Code = "case-club"           // a club or set of a case
	CaseExpectation    Code = "case-expectation"    // what a case expects
	CaseReading        Code = "case-reading"        // a reading of a case
	EmptyPeriod        Code = "empty-period"        // "until" before "from"
	ExceptionOrder     Code = "exception-order"     // "else unless" before "unless"
	ExceptionsDiffer   Code = "exceptions-differ"   // two exceptions of one condition that differ
	ExceptionsRepeat   Code = "exceptions-repeat"   // the same exception twice
	MethodClash        Code = "method-clash"        // lengths by two methods side by side
	MisplacedDefault   Code = "misplaced-default"   // a default or a list where there can be none
	MisplacedMethod    Code = "misplaced-method"    // "by" after what no method measures
	MendFallsShort     Code = "mend-falls-short"    // a mend that may not be enough
	MisplacedValue     Code = "misplaced-value"     // a value in a rule about something else
	MissingBook        Code = "missing-book"        // a book that is not there
	MissingClause      Code = "missing-clause"      // a clause that a declaration must have
	NeverReached       Code = "never-reached"       // an exception behind one of the same condition
	NoLieSet           Code = "no-lie-set"          // "lie-set" without "stop at lie"
	NoShape            Code = "no-shape"            // figures that make no head
	NotACondition      Code = "not-a-condition"     // a quantity where a condition belongs
	NotAQuantity       Code = "not-a-quantity"      // something else where a quantity belongs
	NotConstant        Code = "not-constant"        // a club's value where none is known
	NotOrdered         Code = "not-ordered"         // ordered before what no order holds
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
	UnlistedText       Code = "unlisted-text"       // a text that is not on the list of its property
	UnlikeColumns      Code = "unlike-columns"      // a property declared in two ways
	UnlikeValues       Code = "unlike-values"       // values that cannot be compared
	UsedTwice          Code = "used-twice"          // the same use twice
	WaivedAdvice       Code = "waived-advice"       // a waiver of an advice
	WaivedTwice        Code = "waived-twice"        // two waivers of one rule and subject on one day
	EndlessWaiver      Code = "endless-waiver"      // a waiver without its last day
	IdleWaiver         Code = "idle-waiver"         // a waiver that can never lift its rule
	WhichClub          Code = "which-club"          // a property of a pair without first or second
	WrongArguments     Code = "wrong-arguments"     // abs of two values, min of one
	WrongItem          Code = "wrong-item"          // a list's member with a number where none fits
	ZeroDivision       Code = "zero-division"       // a division by 0
)

// Entry explains a code to a clubmaker. Failing is a small book that has just
// this mistake, Mended the same book without it. For the codes of sizes, whose
// examples would fill pages, both are only the beginning of one.
type Entry struct {
	Code    Code
	Title   string // a few words
	Why     string // what the rule is and why it is one, in two to five lines
	Failing string
	Mended  string

	Analysed bool // only the analysis of a book finds it
}

//go:embed codes.txt
var catalogueText string

// catalogue holds every entry, sorted by code.
var catalogue = sync.OnceValue(func() []Entry {
	var all []Entry
	for _, text := range strings.Split("\n"+strings.TrimSpace(catalogueText), "\n=== ")[1:] {
		head, text, _ := strings.Cut(text+"\n", "\n")
		code, finder, _ := strings.Cut(head, " ")
		text, examples, _ := strings.Cut(text, "--- failing\n")
		failing, mended, _ := strings.Cut(examples, "--- mended\n")
		title, why, _ := strings.Cut(text, "\n")
		all = append(all, Entry{Code: Code(code), Title: title, Why: strings.TrimSuffix(why, "\n"), Failing: failing,
			Mended: mended, Analysed: finder == "analysis"})
	}
	slices.SortFunc(all, func(a, b Entry) int { return cmp.Compare(a.Code, b.Code) })
	return all
})

// Explain returns the entry of a code; false if there is no such code.
func Explain(code Code) (Entry, bool) {
	i, ok := slices.BinarySearchFunc(catalogue(), code, func(e Entry, c Code) int { return cmp.Compare(e.Code, c) })
	if !ok {
		return Entry{}, false
	}
	return catalogue()[i], true
}

// Codes lists every code of the catalogue, sorted.
func Codes() []Code {
	return lists.Each(catalogue(), func(e Entry) Code { return e.Code })
}

// Page is the entry as a page of text.
func (e Entry) Page() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n\n%s\n", e.Code, e.Title, strings.TrimSpace(e.Why))
	if e.Failing != "" {
		b.WriteString("\nFor example, this is wrong:\n\n" + Indented(e.Failing))
	}
	if e.Mended != "" {
		b.WriteString("\nand this is right:\n\n" + Indented(e.Mended))
	}
	return b.String()
}

// Indented sets a text in by four blanks.
func Indented(text string) string {
	var b strings.Builder
	for line := range strings.Lines(strings.Trim(text, "\n")) {
		line = strings.TrimRight(line, "\n")
		if line != "" {
			line = "    " + Visible(line)
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}
