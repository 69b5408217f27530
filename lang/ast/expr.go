package ast

// This file holds the nodes of formulas.

import (
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// Expr is a formula: *Quantity, *DateLit, *TextLit, *Ref, *ItemRef, *Unary,
// *Binary, *If, *Call, *Has, *Paren, *CountOf, *SetValue, *ReadingsValue,
// *ShareOfReadings, *CountReadings, *Step, *Today or *Age.
type Expr interface {
	Place() source.Span
	expr()
}

// Formula is what each of them has: its place.
type Formula struct{ Span source.Span }

func (Formula) expr() {}

// Place returns where the formula is written.
func (f Formula) Place() source.Span { return f.Span }

// At returns the place itself, to be set.
func (f *Formula) At() *source.Span { return &f.Span }

// Quantity is a number with its unit, "45 3/4 in", or a bare number.
type Quantity struct {
	Formula
	Value unit.Quantity
}

// DateLit is a day in a formula, 2026-04-18.
type DateLit struct {
	Formula
	Date string
}

// TextLit is a text in a formula, "Corded".
type TextLit struct {
	Formula
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
// METHOD", "ordered lie" and "first number". After "kind =" or "hand =" it may
// be a kind, a group, left or right; the checker finds out which.
type Ref struct {
	Formula
	Pos     Position
	Ordered bool // of the order beside the sheet
	Name    Name
	By      *Name // the method of "length by METHOD"
}

// ItemRef is "iron 5" or `wedge "PW"` after "kind =".
type ItemRef struct {
	Formula
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
	Formula
	Op Op
	X  Expr
}

// Binary is "X OP Y".
type Binary struct {
	Formula
	Op     Op
	OpSpan source.Span
	X, Y   Expr
}

// If is "if COND then THEN else ELSE".
type If struct {
	Formula
	Cond, Then, Else Expr
}

// Call is "abs(X)", "min(X, ...)" or "max(X, ...)".
type Call struct {
	Formula
	Func Name
	Args []Expr
}

// Has is "has PROPERTY".
type Has struct {
	Formula
	Of *Ref
}

// Paren is "(X)", or with a List "P in (A, B)" and "P not in (A, B)", which say what X says:
// "P = A or P = B", and "not" of it.
type Paren struct {
	Formula
	X    Expr
	List *List // nil of plain parentheses
}

// List is what "in" compares: a value with each item of a list.
type List struct {
	Of    Expr
	Items []Expr
}

// CountOf is "count of SELECTOR".
type CountOf struct {
	Formula
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

// Plain returns the one aggregate for those that are one and the same computation: Highest for Longest,
// Lowest for Shortest.
func (a Aggregate) Plain() Aggregate {
	switch a {
	case Longest:
		return Highest
	case Shortest:
		return Lowest
	}
	return a
}

// SetValue is "longest of V among SELECTOR" and the like.
type SetValue struct {
	Formula
	How   Aggregate
	Of    Expr
	Among *Selector
}

// ReadingsValue is "highest of P among readings" and the like (highest, lowest,
// spread, mean).
type ReadingsValue struct {
	Formula
	How Aggregate
	Of  *Ref
}

// ShareOfReadings is "share of (CONDITION) among readings".
type ShareOfReadings struct {
	Formula
	Cond Expr
}

// CountReadings is "count of readings of P".
type CountReadings struct {
	Formula
	Of *Ref
}

// Step is "drop of V [per number]" or "rise of V [per number]".
type Step struct {
	Formula
	Rise      bool
	Of        Expr
	PerNumber bool
}

// Today is "today", the day of the check.
type Today struct{ Formula }

// Age is "age DATE", the whole years from a day to today.
type Age struct {
	Formula
	Of Expr
}
