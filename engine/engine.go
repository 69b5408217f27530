// Package engine names what judging clubs by rule books takes: the parts stand in engine/judge and engine/eval.
package engine

// This file gives the parts their names here, for those who import them from this package.

import (
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/lang/unit"
)

// What judging takes and gives.
type (
	Amount     = unit.Amount
	Component  = judge.Component
	Conflict   = judge.Conflict
	Difference = judge.Difference
	Glance     = judge.Glance
	Judge      = judge.Judge
	Length     = judge.Length
	Lift       = judge.Lift
	Member     = judge.Member
	Options    = judge.Options
	Pair       = judge.Pair
	Parts      = judge.Parts
	Probe      = judge.Probe
	Program    = judge.Program
	Result     = judge.Result
	Settle     = judge.Settle
	Sided      = judge.Sided
	Sink       = judge.Sink
	Step       = eval.Step
	Subject    = judge.Subject
	Tally      = judge.Tally
	Whole      = judge.Whole
)

// The facts of an explanation, and the method of a planned length.
const (
	Planned        = eval.Planned
	StepChart      = eval.StepChart
	StepCondition  = eval.StepCondition
	StepCorrection = eval.StepCorrection
	StepDifference = eval.StepDifference
	StepException  = eval.StepException
	StepLet        = eval.StepLet
	StepLimit      = eval.StepLimit
	StepMean       = eval.StepMean
	StepMissing    = eval.StepMissing
	StepReading    = eval.StepReading
	StepSet        = eval.StepSet
	StepSimulation = eval.StepSimulation
)

// What makes them.
var (
	Apart     = judge.Apart
	Compile   = judge.Compile
	Finer     = unit.Finer
	LackOf    = eval.LackOf
	OtherText = eval.OtherText
	Weigh     = judge.Weigh
)
