package cli

// This file is the command "vet", which finds mistakes in rule books.

import (
	"context"
	"io"

	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/vet"
	"ferrule/lang/diag"
	"ferrule/lang/load"
)

func runVet(c *call) error {
	load := c.loadBooks
	if c.fix {
		load = c.mendBooks
	}
	loaded, list, err := load(c.args)
	if err != nil {
		return err
	}
	if err := c.open(); err != nil {
		return err
	}
	c.done.faulty = list.HasErrors()
	v := vetting(loaded, list)
	if c.write {
		if err := c.addWitnesses(v, loaded.Roots); err != nil {
			return err
		}
	}
	return c.draw(func(w io.Writer, shown report.Options) error { return report.Vet(w, v, shown) })
}

// vetting is what is to be said of books: their mistakes, and what the analysis of each that was named
// finds in its sound rules.
func vetting(loaded *load.Loaded, list diag.List) *data.Vetting {
	v := &data.Vetting{Books: len(loaded.All)}
	v.Add(list)
	for _, b := range loaded.Roots {
		found := vet.Sound(context.Background(), b, loaded.Schema, list)
		v.Findings = append(v.Findings, found.List...)
		v.LeftOut = append(v.LeftOut, found.LeftOut...)
	}
	v.Sort()
	return v
}
