package cli

import (
	"io"

	"github.com/spf13/cobra"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/trim"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// trimOptions is what "trim" was asked for.
type trimOptions struct {
	asked
	sheet  string
	grid   string
	extend string
}

func newTrimCmd(s *Streams, done *outcome) *cobra.Command {
	var o trimOptions
	cmd := command("trim", takes{1, 1, "one sheet of clubs", expanded}, func(args []string) error {
		o.sheet = args[0]
		return runTrim(s, &o, done)
	})
	o.options(cmd, "rules", "on", "by", "same-id", "only", "set")
	f := cmd.Flags()
	f.StringVar(&o.grid, "grid", "1/16 in", "cut by whole multiples of this length (1/16 in)")
	f.StringVar(&o.extend, "extend", "", "how much longer a club may be made, at most")
	o.reporting.flags(cmd, "cut", report.Formats("json", "csv"))
	return cmd
}

func runTrim(s *Streams, o *trimOptions, done *outcome) error {
	day, err := s.settleOn(&o.asked)
	if err != nil {
		return err
	}
	grid, err := gridOf(o.grid)
	if err != nil {
		return err
	}
	l, err := s.lawsOf(&o.asked, "equipment-rules", o.sheet)
	if err != nil {
		return err
	}
	extend, err := l.extension(o.extend)
	if err != nil {
		return err
	}
	o.narrowed()
	options := o.sheetOptions(l.Measuring, l.Asks(catalogue.LengthID, catalogue.MassID, catalogue.Balance,
		catalogue.SwingWeightID, catalogue.ButtMass))
	r, err := s.begin(o.sheet, options, &o.reporting, done)
	if err != nil {
		return err
	}
	defer r.Close()
	how := trim.Options{Grid: grid.Base, Extend: extend.Base}
	if q, differ := book.ButtMass(l.Books); differ {
		s.note("ferrule: the books state different butt-masses, so none of them counts; a column butt-mass of the sheet does")
	} else if q != nil {
		how.ButtMass = q.Base
	}
	head := &data.Head{Books: l.Judging(), On: day.String(), NotInForce: l.NotInForce(day)}
	all := writers(r.papers, func(w io.Writer, shown report.Options) report.Trims {
		return report.NewTrims(w, head, grid, extend, shown)
	})
	j := l.NewJudge(judge.Options{Day: day, Rules: asksFor(o.only)})
	if err := r.sets(&o.narrowing, func(set *club.Set) {
		done.count(set)
		p := &trim.Plan{Set: set} // of refused rows alone
		if len(set.Clubs) > 0 {
			p = trim.Make(j, set, how)
			done.apart = done.apart || !p.Feasible || len(p.Broken) > 0
			done.faulty = done.faulty || p.TooLarge
		}
		doubtful := j.Doubts(set)
		for _, w := range all {
			w.Add(p, doubtful)
		}
		done.tally.Conflicts += len(p.Conflicts)
		done.untold = done.untold || len(p.Open) > 0
	}); err != nil {
		return err
	}
	head.Waivers = l.Waived(day, false, j)
	return finish(r, all, "")
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

// positive reads a length above 0 that an option takes.
func positive(option, text string) (unit.Amount, error) {
	q, n, err := unit.Scan(text)
	switch {
	case err != nil:
		return unit.Amount{}, mistake(option + " " + diag.Quote(text) + ": " + err.Message)
	case n != len(text) || !q.HasUnit || q.Unit.Dim != unit.Length:
		return unit.Amount{}, mistake(option + " takes a length such as 1/16 in, not " + diag.Quote(text))
	case q.Base() <= 0:
		return unit.Amount{}, mistake(option + " takes a length above 0, not " + diag.Quote(text))
	}
	return unit.Amount{Base: q.Base(), Unit: q.Unit}, nil
}

// extension reads how far clubs may be extended, which must be within what the books allow; no amount
// where nobody asks.
func (l *laws) extension(text string) (unit.Amount, error) {
	if text == "" {
		return unit.Amount{}, nil
	}
	asked, err := positive("--extend", text)
	if err != nil {
		return asked, err
	}
	switch allowed := book.Extension(l.Books); {
	case allowed == nil:
		return asked, mistake("no book says how far a shaft may be extended; expected a line such as \"extension at most 1 in\" below a book's title")
	case unit.Compare(asked.Base, allowed.Base) > 0:
		most := unit.Amount{Base: allowed.Base, Unit: allowed.Unit}
		return asked, mistake("--extend " + asked.String() +
			" is more than the books allow, which is an extension of at most " + most.String())
	}
	return asked, nil
}
