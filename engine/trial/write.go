package trial

import "ferrule/lang/check"

// Made is a case that was worked out for what no case of a book showed.
type Made struct {
	Rule  *check.Rule
	Shows []Gap
	Text  string // the case with its mark, as it may stand in the book; not laid out
}

// Left is something that no case was found for.
type Left struct {
	Rule   *check.Rule
	Gap    Gap
	Reason string // a part of a sentence, without full stop
}

// Mark is the comment line above a case that was worked out, until a person has looked
// at it and takes the line away.
const Mark = "# worked out by ferrule; to be confirmed by a person"
