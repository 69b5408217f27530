package cli

// This file is the command "diff", which compares two editions of a rule book.

import (
	"context"
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/contrast"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
)

func runDiff(c *call) error {
	if c.beside == "" && (c.on != today || c.by+c.order+c.same != "" || c.narrowed()) {
		return mistake("--on, --by, --same-id, --order, --set and --club are about the clubs of a sheet; "+
			"add --clubs and the sheet", "ferrule help diff")
	}
	var both [2]*rulebooks
	for i, name := range c.args {
		l, err := c.openBooks([]string{name}, c.by)
		if err != nil && (err != errReported || i == 1) { // of mistakes in the first those of the other are told too
			return err
		}
		both[i] = l
	}
	if both[0] == nil {
		return errReported
	}
	if err := knowsRules(c.only, both[0].Program, both[1].Program); err != nil {
		return err
	}
	d := editions.Compare(context.Background(), both[0].Program, both[1].Program)
	asked := asksFor(c.only)
	d.Only(func(p contrast.Pair) bool { return p.Old != nil && asked(p.Old) || p.New != nil && asked(p.New) })
	found := &data.Editions{Old: both[0].Books[0], New: both[1].Books[0], Difference: &d}
	c.done.apart, c.ofBooks = !d.Same(), append(c.ofBooks, both[0].Judging()...)
	if c.beside != "" {
		found.Stock = &data.Stock{Sheet: c.beside, On: c.day}
		if err := c.judgeStock(found.Stock, both, d.Pairs); err != nil {
			return err
		}
	}
	return c.report(func(w io.Writer, shown report.Options) error { return report.Diff(w, found, shown) })
}

// judgeStock has a sheet judged by both editions. It is read for each by itself, since each has its own
// properties and methods.
func (c *call) judgeStock(stock *data.Stock, both [2]*rulebooks, pairs []contrast.Pair) error {
	file := cells.FileOf(c.beside)
	in, err := c.openInput(file)
	if err != nil {
		return err
	}
	defer in.Close()
	text, err := io.ReadAll(in)
	if err != nil {
		return err
	}
	c.texts = map[string][]byte{file: text} // which may be standard input
	var readers [2]*sheet.Reader
	for i, l := range both {
		options := c.sheetOptions(l.Measuring, l.Asks())
		if err := c.readOrder(&options, l); err != nil {
			return err
		}
		if readers[i], _, err = c.openSheet(c.beside, options); err != nil {
			return err
		}
	}
	j := editions.NewStock(both[0].Program, both[1].Program, pairs, stock.On)
	asked := asksFor(c.only)
	j.Conflict = func(k *judge.Conflict) {
		if asked(k.Rule) && c.about(k.Subject) {
			c.note("ferrule: %s", wording.Conflict(k))
			c.done.faulty = true
		}
	}
	for {
		old, more := readers[0].Next()
		new, _ := readers[1].Next()
		if !more || new == nil {
			break
		}
		about := func(e editions.Effect) bool { return c.about(e.Subject) }
		stock.Effects = append(stock.Effects, lists.Kept(j.Set(old, new), about)...)
		for _, set := range []*club.Set{old, new} {
			c.onlySets(set)
			c.onlyClubs(set)
		}
		stock.Note(old, new, j.Doubts(old, new))
	}
	c.done.refused, c.done.order = len(stock.Refused), stock.Order.Gaps()
	if err := c.readWhole(readers[0]); err != nil {
		return err
	}
	told := func(w sheet.Problem) bool { return slices.Contains(readers[0].Warnings(), w) }
	c.warn(slices.DeleteFunc(slices.Clone(readers[1].Warnings()), told))
	if err := c.missing("sheet"); err != nil {
		return err
	}
	if stock.Rows == 0 && c.done.refused == 0 {
		c.done.faulty = true
		c.note("ferrule: there is no club on %s, so there is nothing to judge", diag.Quote(c.beside))
	}
	return nil
}
