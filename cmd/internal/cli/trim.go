package cli

// This file is the command "trim", which plans the least cutting.

import (
	"io"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

func runTrim(c *call) error {
	grid, err := gridOf(c.grid)
	if err != nil {
		return err
	}
	l, err := c.booksFor("equipment-rules", c.args...)
	if err != nil {
		return err
	}
	extend, err := extension(l, c.extend)
	if err != nil {
		return err
	}
	by := data.Cutting{Grid: grid, Extend: extend}
	if c.inside != "" {
		if by.Inside, err = positive("--inside", c.inside); err != nil {
			return err
		}
	}
	options := c.sheetOptions(l.Measuring, l.Asks(catalogue.LengthID, catalogue.MassID, catalogue.Balance,
		catalogue.SwingWeightID, catalogue.ButtMass))
	if err := c.readOrder(&options, l); err != nil {
		return err
	}
	how := trim.Options{Grid: grid.Base, Extend: extend.Base, Inside: by.Inside.Base}
	if q, differ := book.ButtMass(l.Books); differ {
		c.note("ferrule: the books state different butt-masses, so none of them counts; " +
			"a column butt-mass of the sheet does")
	} else if q != nil {
		how.ButtMass = q.Base
	}
	head := &data.Head{Books: l.Judging(), On: c.day.String(), NotInForce: l.NotInForce(c.day), Program: l.Program}
	j := l.NewJudge(judge.Options{Day: c.day, Rules: asksFor(c.only)})
	return bySet(c, options, func(w io.Writer, shown report.Options) report.Trims {
		return report.NewTrims(w, head, by, shown)
	}, func(set *club.Set, reports []report.Trims) {
		p := &trim.Plan{Set: set} // of refused rows alone
		if len(set.Clubs) > 0 {
			p = trim.Make(j, set, how)
			c.done.apart = c.done.apart || !p.Feasible || p.Lengths == decide.Fail
			c.done.faulty = c.done.faulty || p.TooLarge
		}
		doubtful := j.Doubts(set)
		for _, w := range reports {
			w.Add(p, doubtful)
		}
		c.done.tally.Conflicts += len(p.Conflicts)
		c.done.untold = c.done.untold || p.Lengths != 0
	}, func() string {
		head.Waivers = l.Waived(c.day, false, j)
		return ""
	})
}

// gridOf reads the step that cuts are whole multiples of.
func gridOf(text string) (unit.Amount, error) {
	grid, err := positive("--grid", text)
	switch {
	case err != nil:
	case grid.Base > unit.Lookup("in").ToBase(1):
		err = mistake("--grid takes at most 1 in, and is " + grid.String())
	case grid.Base < unit.Lookup("mm").ToBase(0.001):
		err = mistake("--grid takes at least 0.001 mm, which no saw can hold, not " + diag.Quote(text))
	}
	return grid, err
}

// lengthOf reads a length that an option takes.
func lengthOf(option, text string) (unit.Amount, error) {
	q, n, err := unit.Scan(text)
	switch {
	case err != nil:
		return unit.Amount{}, mistake(option + " " + diag.Quote(text) + ": " + err.Message)
	case n != len(text) || !q.HasUnit || q.Unit.Dim != unit.Length:
		return unit.Amount{}, mistake(option + " takes a length such as 1/16 in, not " + diag.Quote(text))
	}
	return unit.Amount{Base: q.Base(), Unit: q.Unit}, nil
}

// positive reads a length above 0 that an option takes.
func positive(option, text string) (unit.Amount, error) {
	a, err := lengthOf(option, text)
	if err == nil && a.Base <= 0 {
		err = mistake(option + " takes a length above 0, not " + diag.Quote(text))
	}
	return a, err
}

// extension reads how far clubs may be extended, which must be within what the books allow; no amount
// where nobody asks.
func extension(l *rulebooks, text string) (unit.Amount, error) {
	if text == "" {
		return unit.Amount{}, nil
	}
	asked, err := positive("--extend", text)
	if err != nil {
		return asked, err
	}
	switch allowed := book.Extension(l.Books); {
	case allowed == nil:
		return asked, mistake("no book says how far a shaft may be extended; expected a line such as " +
			"\"extension at most 1 in\" below a book's title")
	case unit.Compare(asked.Base, allowed.Base) > 0:
		most := unit.Amount{Base: allowed.Base, Unit: allowed.Unit}
		return asked, mistake("--extend " + asked.String() +
			" is more than the books allow, which is an extension of at most " + most.String())
	}
	return asked, nil
}
