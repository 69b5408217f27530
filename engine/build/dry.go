package build

// This file holds the dry fit, a reading of the assembled and unglued club, against the
// plan.

import (
	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/value"
	"ferrule/lang/unit"
)

// Fit is the outcome of a dry fit. The zero value is invalid.
type Fit uint8

// The outcomes of a dry fit.
const (
	AsPlanned  Fit = iota + 1 // the reading is within U of the plan
	Out                       // it is further from it than U
	Unmeasured                // something is missing
)

// String returns "as-planned", "out" or "unmeasured".
func (f Fit) String() string { return [...]string{"", "as-planned", "out", "unmeasured"}[f] }

// DryFit compares a reading of an assembled, unglued club with the plan.
type DryFit struct {
	Reading  unit.Amount // the mean of repeats
	By       string      // its method
	Expected unit.Amount // what the method would read on the club as planned
	Fit      Fit
	Lacks    []value.Lack // of Unmeasured

	judge.Difference // the reading less what is expected
}

// dryFit works out the dry fit of a club of a set that was fitted dry.
func (b *Builder) dryFit(k *Club, p *Plan) *fault {
	cols, c := &b.o.Columns, k.Club
	d := &DryFit{Reading: amount(c, cols.DryLength), Fit: Unmeasured}
	word, _ := c.Text(cols.DryBy)
	if f := b.dryMethod(d, k, word); f != nil {
		return f
	}
	k.Dry = d
	if !d.Reading.Known() {
		d.lacks(eval.LackOf(c, cols.DryLength, "dry-length"))
		return nil
	}
	if !k.placed {
		d.lacks(k.Lacks...)
		return nil
	}
	method := b.program.Method(d.By)
	r := c.Reading(cols.DryLength)
	setLength(c, d.By, d.Reading.Base, club.Reading{Values: r.Values, Half: r.Half, HasHalf: r.HasHalf})
	read := b.judge.Length(c, nil, method)
	expected := b.planned(c, k.bare, k.half, method)
	p.fault(read.Fault)
	p.fault(expected.Fault)
	d.lacks(read.Lacks...)
	d.lacks(expected.Lacks...)
	if !read.Value.Known() || !expected.Value.Known() {
		return nil
	}
	d.Expected, d.Difference = expected.Value, b.judge.Less(read, expected)
	switch {
	case !d.Expanded.Known():
	case d.Within():
		d.Fit = AsPlanned
	default:
		d.Fit = Out
	}
	return nil
}

func (d *DryFit) lacks(lacks ...value.Lack) { d.Lacks = value.Merge(d.Lacks, lacks) }

// dryMethod takes the method that a row names for its dry fit.
func (b *Builder) dryMethod(d *DryFit, k *Club, word string) *fault {
	cols := &b.o.Columns
	if word == "" {
		if !d.Reading.Known() {
			return nil
		}
		return &fault{column: cols.DryLength, read: unit.Exact(d.Reading.Base, inch),
			message: "a length without a method; expected the method in the column dry-by of its row"}
	}
	d.By = word
	if why := b.program.Covers(word, k.Club); why != nil {
		return &fault{column: cols.DryBy, read: word,
			message: b.o.Reason(*why) + "; expected a length by a method that covers the club"}
	}
	return nil
}
