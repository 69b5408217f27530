package contrast

// This file says what a comparison came to: which part of a rule changed, and a subject that shows it.

import (
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/lang/ast"
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

var whatWords = [...]string{"", "added", "removed", "dates", "scope", "exception", "limit", "decision", "property", "waiver", "weight"}

// String returns the word for the part.
func (w What) String() string { return whatWords[w] }

// Contrast is a subject that two editions judge differently; of a change of weight, alike.
type Contrast struct {
	On       book.Day // NoDay: the day does not matter
	Rows     []space.Row
	Of       ast.SubjectKind
	Set      string   // its name; "" where the rows are of no named set
	Clubs    []string // ids of the subject; none of a set
	Old, New Said

	Bag space.Bag
}

// Said is what an edition says of a subject. The zero value says nothing: no rule of it is about the subject, or it
// disagrees with itself.
type Said struct {
	Verdict decide.Verdict
	Result  *judge.Result // nil without a verdict
}

// SaidOf is what an edition says.
func SaidOf(s space.Saying) Said { return Said{s.Verdict(true), s.Result} }

// Pair is a rule in both editions; either is nil where the edition has none.
type Pair struct{ Old, New *book.Rule }

// Name is the name of the rule in the newer edition that has it.
func (p Pair) Name() string {
	if p.New != nil {
		return p.New.Decl.Name.Text
	}
	return p.Old.Decl.Name.Text
}
