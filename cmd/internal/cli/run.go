package cli

// This file takes a sheet through a command set by set, and the report of it to where it goes.

import (
	"io"

	"ferrule/engine/club"
	"ferrule/engine/report"
	"ferrule/engine/sheet"
	"ferrule/lang/lists"
)

// bySet opens the sheet of a call, and then the places of its reports, each of which has a writer. It gives one set
// after the other to do. A set that was not asked for has no clubs; which clubs are asked for is
// for do to heed. End, before the reports end, says that there was nothing to do, where there was not.
func bySet[W interface{ End() error }](c *call, o sheet.Options, writer func(io.Writer, report.Options) W,
	do func(set *club.Set, reports []W), end func() (nothing string)) error {
	reader, in, err := c.openSheet(c.args[0], o)
	if err != nil {
		return err
	}
	defer in.Close()
	if err := c.open(); err != nil {
		return err
	}
	reports := lists.Each(c.papers, func(p paper) W { return writer(p.output, p.Options) })
	for set, ok := reader.Next(); ok; set, ok = reader.Next() {
		c.onlySets(set)
		do(set, reports)
		for range set.NewlyRefused() {
			c.done.refused++
		}
		c.done.order.Add(set.Order.Gaps())
	}
	c.done.faulty = c.readWhole(reader) != nil || c.done.faulty
	if err := c.missing("sheet"); err != nil {
		return err
	}
	nothing := end()
	for _, w := range reports {
		if err := w.End(); err != nil {
			return err
		}
	}
	if nothing != "" && c.done.refused == 0 {
		c.done.faulty = true
		c.note("ferrule: there is no %s", nothing)
	}
	return c.finish()
}
