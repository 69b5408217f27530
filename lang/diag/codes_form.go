package diag

// This file holds the codes of mistakes in the form of a book: what is wrong
// before anybody asks what a name means.

// The codes of form.
const (
	BookTooLarge       Code = "book-too-large"
	FormulaTooLong     Code = "formula-too-long"
	TooDeep            Code = "too-deep"
	TooManyMistakes    Code = "too-many-mistakes"
	StrayCharacter     Code = "stray-character"
	OpenText           Code = "open-text"
	FaultyNumber       Code = "faulty-number"
	NoSuchDay          Code = "no-such-day"
	CapitalLetter      Code = "capital-letter"
	NameForm           Code = "name-form"
	OutsideDeclaration Code = "outside-declaration"
	UnknownClause      Code = "unknown-clause"
	RepeatedClause     Code = "repeated-clause"
	MisplacedHeader    Code = "misplaced-header"
	OutOfPlace         Code = "out-of-place"
	CutShort           Code = "cut-short"
	TightMinus         Code = "tight-minus"
	TightStroke        Code = "tight-stroke"
	MixedAndOr         Code = "mixed-and-or"
	ChainedComparison  Code = "chained-comparison"
	BareIf             Code = "bare-if"
	OpenParenthesis    Code = "open-parenthesis"
)

func formEntries() []Entry {
	return nil
}
