package cli

import (
	"io"
	"slices"

	"github.com/spf13/cobra"

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
	asked
	sheet  string
	target string
}

func newBuildCmd(s *Streams, done *outcome) *cobra.Command {
	var o buildOptions
	cmd := command("build", takes{1, 1, "one cutting list", expanded}, func(args []string) error {
		o.sheet = args[0]
		return runBuild(s, &o, done)
	})
	o.options(cmd, "rules", "on", "by", "same-id", "only", "set", "club")
	f := cmd.Flags()
	f.StringVar(&o.target, "target", "", "the chart with the lengths of rows without a target-length")
	o.reporting.flags(cmd, "club", report.Formats("json", "csv"))
	return cmd
}

func runBuild(s *Streams, o *buildOptions, done *outcome) error {
	day, err := s.settleOn(&o.asked)
	if err != nil {
		return err
	}
	p, err := s.methodsOf(&o.asked, o.sheet)
	if err != nil {
		return err
	}
	asked := p.Asks(catalogue.Lie, catalogue.ButtMass, catalogue.TipMass) // and the columns of a cutting list, which are declared next
	columns, err := build.Declare(p.Schema)
	if err != nil {
		return mistake(err.Error(), "ferrule help build")
	}
	chart, err := targetChart(p, o.target)
	if err != nil {
		return err
	}
	options := o.sheetOptions(p, asked)
	options.Target = columns.Target
	o.narrowed()
	r, err := s.begin(o.sheet, options, &o.reporting, done)
	if err != nil {
		return err
	}
	defer r.Close()
	all := writers(r.papers, func(w io.Writer, shown report.Options) report.Builds {
		return report.NewBuilds(w, p.Books, day.String(), shown)
	})
	builder := build.New(p, build.Options{Columns: columns, Chart: chart, Day: day, Reason: wording.Reason,
		Rules: asksFor(o.only), About: o.about})
	j := p.NewJudge(judge.Options{})
	nothing := "club on " + diag.Quote(o.sheet) + ", so there is nothing to build"
	if err := r.sets(&o.narrowing, func(set *club.Set) {
		read := *set
		o.onlyClubs(&read)
		doubtful := j.Doubts(&read)
		plan := builder.Set(set)
		if o.onlyClubs(set); o.clubs != nil {
			plan.Only(set.Clubs)
		}
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
