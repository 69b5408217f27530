package cli

// This file is the command "build", which works out a cutting list.

import (
	"io"
	"slices"

	"ferrule/engine/build"
	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

func runBuild(c *call) error {
	p, err := c.methodsOf()
	if err != nil {
		return err
	}
	// The columns of a cutting list, which are declared next, are asked for as well.
	asked := p.Asks(catalogue.Lie, catalogue.ButtMass, catalogue.TipMass)
	columns, err := build.Declare(p.Schema)
	if err != nil {
		return mistake(err.Error(), "ferrule help build")
	}
	chart, err := targetChart(p, c.target)
	if err != nil {
		return err
	}
	options := c.sheetOptions(p, asked)
	options.Target, options.DryBy = columns.Target, columns.DryBy
	if err := c.readOrder(&options, &rulebooks{Program: p, Measuring: p}); err != nil {
		return err
	}
	builder := build.New(p, build.Options{Columns: columns, Chart: chart, Day: c.day, Reason: wording.Reason,
		Rules: asksFor(c.only), About: c.about})
	j := p.NewJudge(judge.Options{Day: c.day})
	nothing := "club on " + diag.Quote(c.args[0]) + ", so there is nothing to build"
	return bySet(c, options, func(w io.Writer, shown report.Options) report.Builds {
		return report.NewBuilds(w, c.head(p), shown)
	}, func(set *club.Set, reports []report.Builds) {
		read := *set
		c.onlyClubs(&read)
		doubtful := j.Doubts(&read)
		plan := builder.Set(set)
		if c.onlyClubs(set); c.clubs.named != nil {
			plan.Only(set.Clubs)
		}
		if len(plan.Clubs) > 0 {
			nothing = ""
		}
		c.plan(plan)
		for _, w := range reports {
			w.Add(plan, doubtful)
		}
	}, func() string { return nothing })
}

// plan counts what came of a plan, and notes faults of the books that showed on it.
func (c *call) plan(plan *build.Plan) {
	c.done.apart = c.done.apart || plan.Wrong()
	c.done.untold = c.done.untold || plan.Open()
	c.done.faulty = c.done.faulty || len(plan.Faults)+len(plan.Conflicts) > 0
	for _, f := range plan.Faults {
		c.note("ferrule: %s", wording.Visible(wording.RowsDiffer(f)))
	}
	for _, k := range plan.Conflicts {
		c.note("ferrule: %s", wording.Conflict(k))
	}
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
	case names == nil:
		return nil, mistake("the books have no chart; --target takes the name of one of lengths", "ferrule help build")
	case len(charts) == 0:
		slices.Sort(names)
		names = slices.Compact(names)
		return nil, mistake("unknown chart " + diag.Quote(name) + didYouMean(name, names) + known(names))
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
