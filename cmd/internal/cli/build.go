package cli

import (
	"io"
	"slices"

	"github.com/spf13/cobra"

	"ferrule/engine"
	"ferrule/engine/build"
	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// buildOptions is what "build" was asked for.
type buildOptions struct {
	reporting
	sheet  string
	rules  []string
	target string
	by     string
	on     string
	narrowing
}

func newBuildCmd(s *Streams, done *outcome) *cobra.Command {
	var o buildOptions
	cmd := &cobra.Command{
		Use:   "build SHEET [--rules BOOK]...",
		Short: "says where to cut each raw shaft, and whether a dry fit is as planned",
		Long: `Reads a cutting list and says, before anything is glued, where to cut each raw
shaft so that the finished club plays to its target. Rules of the books are judged
on the clubs as planned.

The columns of a cutting list, beside set, id and club:
  shaft               the mark on the raw shaft, each once in a set
  raw-length          the raw shaft, from butt to tip
  tip-trim            what comes off the tip first; write 0 in for nothing
  bore                from where the tip stops in the head to the ground, along the
                      axis. It is NOT how deep the shaft goes in. The heading
                      ground-to-tip means the same.
  target-length, by   the length to build to, and its method (or --target CHART)
  lie                 the lie of the finished club
  dry-length, dry-by  a reading of the club put together dry, and its method
For the swing weight:
  head-mass, shaft-mass, grip-mass
  shaft-balance       from the butt of the raw shaft to where it balances
  grip-balance        from the very end of the grip to where the grip balances
  butt-mass, tip-mass what an inch of the shaft weighs near that end, as in
                      1.6 g/in; a book can say it once for all
  target-swingweight  what the finished club should swing, as in D2

The sum: target-length, brought to the edge of the cap at the club's own lie, less
the cap, less the bore, is the finished shaft, measured from the trimmed tip. What
raw-length has beyond tip-trim and the finished shaft comes off the butt. The swing
weight is taken 14 in from the very end of the grip (common practice), cap and crown
counted, without epoxy and ferrule. --explain steps shows the sum of each club.

Exit codes: 0 each club can be built, 1 a shaft is too short, a dry fit is out or
a rule fails, 2 something is not measured, 3 a row could not be read, or nothing
could be done.`,
		Example: `ferrule build cutting.csv
ferrule build cutting.csv --rules house.ferrule --target house-lengths`,
		RunE: files(1, 1, "one cutting list", func(cmd *cobra.Command, args []string) error {
			o.sheet = args[0]
			if o.on == "" && cmd.Flags().Changed("on") {
				return mistake("--on takes a day such as 2026-05-02; nothing stands there")
			}
			return runBuild(s, &o, done)
		}),
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.rules, "rules", nil, "a file or a shipped book, repeatable (methods)")
	f.StringVar(&o.target, "target", "", "the chart with the lengths of rows without a target-length")
	f.StringVar(&o.by, "by", "", "the method of the targets in rows that name none")
	f.StringVar(&o.on, "on", "", "the day of the rules, as 2026-05-02 (today)")
	f.StringVar(&o.set, "set", "", "plan only the set of this name")
	o.reporting.flags(cmd, "club", report.LengthFormats())
	return cmd
}

func runBuild(s *Streams, o *buildOptions, done *outcome) error {
	day, err := s.settleOn(&o.reporting, o.on)
	if err != nil {
		return err
	}
	books, err := s.chosen(&o.reporting, o.rules, "methods", o.sheet)
	if err != nil {
		return err
	}
	p, err := s.loadMethods(books, o.colour, o.by)
	if err != nil {
		return err
	}
	columns, err := build.Declare(p.Schema)
	if err != nil {
		return mistake(err.Error(), "ferrule help build")
	}
	chart, err := targetChart(p, o.target)
	if err != nil {
		return err
	}
	options := engine.SheetOptions(o.by, p)
	options.Target = columns.Target
	o.narrowed(o.narrowing)
	r, err := s.begin(o.sheet, options, &o.reporting, done)
	if err != nil {
		return err
	}
	defer r.Close()
	all := writers(r.papers, func(w io.Writer, shown report.Options) report.Builds {
		return report.NewBuilds(w, p.Books, day.String(), shown)
	})
	builder := build.New(p, build.Options{Columns: columns, Chart: chart, Day: day, Reason: wording.Reason})
	j := p.NewJudge(judge.Options{})
	nothing := "club on " + diag.Quote(o.sheet) + ", so there is nothing to build"
	if err := r.sets(o.set, func(set *club.Set) {
		doubtful := j.Doubts(set)
		plan := builder.Set(set)
		if len(plan.Clubs) > 0 {
			nothing = ""
		}
		done.plan(s, plan)
		for _, w := range all {
			w.Add(plan, doubtful)
		}
	}); err != nil {
		return err
	}
	return finish(r, all, nothing)
}

// plan counts what a plan comes to, and tells of faults of the books that showed on it.
func (done *outcome) plan(s *Streams, plan *build.Plan) {
	done.apart = done.apart || plan.Wrong()
	done.untold = done.untold || plan.Open()
	done.faulty = done.faulty || len(plan.Faults)+len(plan.Conflicts) > 0
	for _, f := range plan.Faults {
		s.note("ferrule: %s", wording.Visible(wording.RowsDiffer(f)))
	}
	for _, k := range plan.Conflicts {
		s.note("ferrule: %s", wording.Conflict(k))
	}
	done.count(plan.Set)
}

// targetChart finds the chart that targets are taken from; nil where none is named.
func targetChart(p *judge.Program, name string) (*book.Chart, error) {
	if name == "" {
		return nil, nil
	}
	var charts []*book.Chart
	var names []string
	for _, h := range book.Charts(p.Books) {
		names = append(names, h.Decl.Name.Text)
		if h.Decl.Name.Text == name {
			charts = append(charts, h)
		}
	}
	switch {
	case len(charts) == 0:
		slices.Sort(names)
		names = slices.Compact(names)
		if len(names) == 0 {
			return nil, mistake("no chart "+diag.Quote(name)+
				" is in the books, and no other; --target takes the name of a chart of lengths", "ferrule help build")
		}
		return nil, mistake("no chart " + diag.Quote(name) + " is in the books" + didYouMean(name, names) + known(names))
	case len(charts) > 1:
		return nil, mistake("two books have a chart " + diag.Quote(name) + ", " + charts[0].Book.Name + " and " +
			charts[1].Book.Name + "; name the books so that one is left")
	}
	of := charts[0].Of
	if of == nil || of.Property.Sort != catalogue.Length || of.Method == nil {
		what := "something else"
		if of != nil {
			what = of.Property.Name
		}
		return nil, mistake("the chart " + diag.Quote(name) + " is of " + what +
			"; --target takes a chart of length by a method")
	}
	return charts[0], nil
}
