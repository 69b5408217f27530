package cli

// This file is the command "agree", which compares two people's readings of the same clubs.

import (
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
)

func runAgree(c *call) error {
	p, err := c.methodsOf()
	if err != nil {
		return err
	}
	properties, err := measuredOf(p, c.of)
	if err != nil {
		return err
	}
	found := data.Agreements{Head: c.head(p), Sheets: [2]string{c.args[0], c.args[1]}}
	j := p.NewJudge(judge.Options{Day: c.day})
	var sets [2][]*club.Set
	ids := lists.Each(properties, func(q catalogue.Property) catalogue.ID { return q.ID })
	options := c.sheetOptions(p, p.Asks(ids...))
	for i, name := range c.args {
		if sets[i], err = c.wholeSheet(name, options); err != nil {
			return err
		}
		for _, set := range sets[i] {
			found.Note(set, j.Doubts(set))
		}
	}
	both := false
	for _, pair := range compare.Pairs(sets[0], sets[1]) {
		both = both || pair.First != nil && pair.Second != nil
		for _, property := range properties {
			a := compare.Agree(j, p, pair, property)
			c.done.untold = c.done.untold || !a.Told
			c.done.apart = c.done.apart || a.Told && !a.Same
			for _, l := range a.Readings {
				c.done.faulty = c.fault(l) || c.done.faulty
			}
			shows := func(p paper) bool { return p.Format != "json" && (!a.Same || p.Depth >= report.Steps) }
			if !slices.ContainsFunc(c.papers, shows) {
				a.Forget()
			}
			found.Pairs = append(found.Pairs, a)
		}
	}
	c.done.refused, c.done.faulty = len(found.Refused), !both || c.done.faulty
	draw := func(w io.Writer, shown report.Options) error { return report.Agree(w, &found, shown) }
	if err := c.report(draw); err != nil {
		return err
	}
	if !both {
		c.note("ferrule: no club is on both %s and %s; rows pair by set and id, "+
			"or by set and club where a sheet has no ids", diag.Quote(c.args[0]), diag.Quote(c.args[1]))
	}
	return nil
}

// measuredOf finds the properties that are to be compared; length where none is named.
func measuredOf(p *judge.Program, names []string) ([]catalogue.Property, error) {
	if len(names) == 0 {
		names = []string{"length"}
	}
	var out []catalogue.Property
	for _, name := range names {
		q, ok := p.Schema.Lookup(name)
		switch {
		case !ok:
			return nil, mistake("--of: unknown property " + diag.Quote(name) + didYouMean(name, p.Schema.Names()))
		case !q.Sort.Numeric() || q.ID == catalogue.Number:
			return nil, mistake("--of takes what is measured, such as length, lie or swingweight, not " + name)
		case !slices.ContainsFunc(out, func(o catalogue.Property) bool { return o.ID == q.ID }):
			out = append(out, q)
		}
	}
	return out, nil
}
