package contrast

// This file says what a comparison came to: which part of a rule changed, and a subject that shows it.

import (
	"cmp"

	"ferrule/engine/space"
	"ferrule/lang/book"
)

// What says which part of a rule changed. The zero value is invalid.
type What uint8

// The parts of a rule that may change, in the order in which they are told.
const (
	Added What = iota + 1
	Removed
	Dates
	Scope
	Exception
	Limit
	Decides
	Property
	Waiver
	Weight
)

var whatWords = [...]string{"", "added", "removed", "dates", "scope", "exception", "limit", "decision", "property",
	"waiver", "weight"}

// String returns the word for the part.
func (w What) String() string { return whatWords[w] }

// Contrast is a subject that two editions judge differently; of a change of weight, alike. An edition says nothing
// where no rule of it is about the subject, or it disagrees with itself.
type Contrast struct {
	space.Example
	Old, New space.Saying
}

// Pair is a rule in both editions; either is nil where the edition has none.
type Pair struct{ Old, New *book.Rule }

// Rule is the rule in the newer edition that has it.
func (p Pair) Rule() *book.Rule {
	return cmp.Or(p.New, p.Old)
}

// Name is its name.
func (p Pair) Name() string { return p.Rule().Decl.Name.Text }
