package eval

import (
	"ferrule/engine/club"
	"ferrule/engine/value"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// StepKind says what a Step records. The zero value is invalid.
type StepKind uint8

// The facts of an explanation.
const (
	StepReading    StepKind = iota + 1 // a value off the sheet
	StepToday                          // the day of the check
	StepDefault                        // what an empty cell means, as a book says
	StepMean                           // the mean of repeated readings; Sub holds them
	StepLet                            // a named formula; Sub holds what went into it
	StepChart                          // a row of a chart
	StepSet                            // a value of the whole set; Sub holds the clubs'
	StepDifference                     // a drop or a rise; Sub holds the two values
	StepCondition                      // a condition and whether it holds
	StepLimit                          // a limit with its allowance
	StepException                      // an exception looked at and whether it holds
	StepMissing                        // a measurement that is not there
	StepCorrection                     // what brings a length to another method
	StepSimulation                     // the distribution of the value was drawn
)

var stepNames = [...]string{
	"", "reading", "today", "default", "mean", "let", "chart", "set", "difference", "condition", "limit", "exception",
	"missing", "correction", "simulation",
}

// String returns the word for the kind of step.
func (k StepKind) String() string { return stepNames[k] }

// Step is one recorded fact. Members that a fact does not have are zero.
type Step struct {
	What   StepKind
	Name   string // the property, let, chart or, for a formula or condition, its text in the book
	Method string // of a length
	Amount unit.Amount
	Half   unit.Amount // a half-width stated with the reading
	U      unit.Amount // standard uncertainty of the reading or the correction
	Text   string      // a value that is not an amount: a text, a day, a kind
	Truth  value.Truth // of a condition or an exception
	Club   string      // the id of the club that it belongs to
	Place  club.Row
	Column string
	Line   source.Span // the place in the book
	Note   string      // what an exception gives
	Lack   *value.Lack // why it is missing
	Sub    []Step
}
