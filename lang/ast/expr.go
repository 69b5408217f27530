package ast

// This file holds the nodes of formulas.

import (
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// Expr is a formula: *Quantity, *DateLit, *TextLit, *Ref, *ItemRef, *Unary,
// *Binary, *If, *Call, *Has, *Paren, *CountOf, *SetValue, *ReadingsValue,
// *ShareOfReadings, *CountReadings or *Step.
type Expr interface {
	Place() source.Span
	expr()
}

// Quantity is a number with its unit, "45 3/4 in", or a bare number.
type Quantity struct {
	Span  source.Span
	Value unit.Quantity
}

// DateLit is a day in a formula, 2026-04-18.
type DateLit struct {
	Span source.Span
	Date string
}

// TextLit is a text in a formula, "Corded".
type TextLit struct {
	Span  source.Span
	Value string
}

// Position is which club of a pair a Ref means.
type Position int

// The positions. Here is the club itself, or where the formula is about no
// pair, the only one there is.
const (
	Here Position = iota
	First
	Second
)

// Ref is a name in a formula: a property, a let or a chart, also "length by
// METHOD" and "first number". After "kind =" or "hand =" it may be a kind, a
// group, left or right; the checker finds out which.
type Ref struct {
	Span source.Span
	Pos  Position
	Name Name
	By   *Name // the method of "length by METHOD"
}

// ItemRef is "iron 5" or `wedge "PW"` after "kind =".
type ItemRef struct {
	Span source.Span
	Item *Item
}

// Op is an operator. The zero value is invalid.
type Op int

// The operators.
const (
	Add Op = iota + 1
	Sub
	Mul
	Div
	Eq
	Ne
	Lt
	Le
	Gt
	Ge
	And
	Or
	Not // unary
	Neg // unary
)

var opText = [...]string{"", "+", "-", "*", "/", "=", "!=", "<", "<=", ">", ">=", "and", "or", "not", "-"}

// String returns the operator as it is written.
func (o Op) String() string { return opText[o] }

// IsComparison reports whether o compares two values.
func (o Op) IsComparison() bool { return o >= Eq && o <= Ge }

// Unary is "not X" or "-X".
type Unary struct {
	Span source.Span
	Op   Op
	X    Expr
}

// Binary is "X OP Y".
type Binary struct {
	Span   source.Span
	Op     Op
	OpSpan source.Span
	X, Y   Expr
}

// If is "if COND then THEN else ELSE".
type If struct {
	Span             source.Span
	Cond, Then, Else Expr
}

// Call is "abs(X)", "min(X, ...)" or "max(X, ...)".
type Call struct {
	Span source.Span
	Func Name
	Args []Expr
}

// Has is "has PROPERTY".
type Has struct {
	Span source.Span
	Of   *Ref
}

// Paren is "(X)".
type Paren struct {
	Span source.Span
	X    Expr
}

// CountOf is "count of SELECTOR".
type CountOf struct {
	Span     source.Span
	Selector *Selector
}

// Aggregate is how several values become one. The zero value is invalid.
type Aggregate int

// The aggregates. Longest and Highest are one and the same computation, as are
// Shortest and Lowest; they are kept apart for the formatter.
const (
	Longest Aggregate = iota + 1
	Shortest
	Highest
	Lowest
	Spread
	Mean
	Total
)

var aggregateText = [...]string{"", "longest", "shortest", "highest", "lowest", "spread", "mean", "total"}

// String returns the word for the aggregate.
func (a Aggregate) String() string { return aggregateText[a] }

// SetValue is "longest of V among SELECTOR" and the like.
type SetValue struct {
	Span  source.Span
	How   Aggregate
	Of    Expr
	Among *Selector
}

// ReadingsValue is "highest of P among readings" and the like (highest, lowest,
// spread, mean).
type ReadingsValue struct {
	Span source.Span
	How  Aggregate
	Of   *Ref
}

// ShareOfReadings is "share of (CONDITION) among readings".
type ShareOfReadings struct {
	Span source.Span
	Cond Expr
}

// CountReadings is "count of readings of P".
type CountReadings struct {
	Span source.Span
	Of   *Ref
}

// Step is "drop of V [per number]" or "rise of V [per number]".
type Step struct {
	Span      source.Span
	Rise      bool
	Of        Expr
	PerNumber bool
}

func (*Quantity) expr()        {}
func (*DateLit) expr()         {}
func (*TextLit) expr()         {}
func (*Ref) expr()             {}
func (*ItemRef) expr()         {}
func (*Unary) expr()           {}
func (*Binary) expr()          {}
func (*If) expr()              {}
func (*Call) expr()            {}
func (*Has) expr()             {}
func (*Paren) expr()           {}
func (*CountOf) expr()         {}
func (*SetValue) expr()        {}
func (*ReadingsValue) expr()   {}
func (*ShareOfReadings) expr() {}
func (*CountReadings) expr()   {}
func (*Step) expr()            {}

// Place returns the place of the formula.
func (e *Quantity) Place() source.Span        { return e.Span }
func (e *DateLit) Place() source.Span         { return e.Span }
func (e *TextLit) Place() source.Span         { return e.Span }
func (e *Ref) Place() source.Span             { return e.Span }
func (e *ItemRef) Place() source.Span         { return e.Span }
func (e *Unary) Place() source.Span           { return e.Span }
func (e *Binary) Place() source.Span          { return e.Span }
func (e *If) Place() source.Span              { return e.Span }
func (e *Call) Place() source.Span            { return e.Span }
func (e *Has) Place() source.Span             { return e.Span }
func (e *Paren) Place() source.Span           { return e.Span }
func (e *CountOf) Place() source.Span         { return e.Span }
func (e *SetValue) Place() source.Span        { return e.Span }
func (e *ReadingsValue) Place() source.Span   { return e.Span }
func (e *ShareOfReadings) Place() source.Span { return e.Span }
func (e *CountReadings) Place() source.Span   { return e.Span }
func (e *Step) Place() source.Span            { return e.Span }
