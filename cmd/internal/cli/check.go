package cli

// This file is the command "check", which judges sheets of clubs by rule books.

import (
	"os"
	"slices"
	"time"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// wrong says what is wrong with the sheets that are asked for; "" where nothing is.
func (c *call) wrong() string {
	switch {
	case len(c.args) == 0 && c.like == "":
		return "check needs a sheet of clubs"
	case len(c.args) > 0 && c.like != "":
		return "--like judges one club without a sheet; leave out " + diag.Quote(c.args[0]) + ", or --like"
	case c.like != "" && c.order != "":
		return "--like judges one club without a sheet, so there is nothing to hold against an order; leave out --order"
	case c.again && (c.like != "" || slices.Contains(c.args, stdin) || c.order == stdin):
		return "--watch judges again when a sheet changes; name the file of a sheet"
	}
	return ""
}

func runCheck(c *call) error {
	if wrong := c.wrong(); wrong != "" {
		return mistake(wrong, "ferrule help check")
	}
	beside := c.args
	if c.like != "" {
		beside = []string{stdin}
	}
	l, err := c.booksFor("equipment-rules", beside...)
	if err != nil {
		return err
	}
	for _, name := range c.args {
		info, err := os.Stat(cells.FileOf(name))
		c.reads(cells.FileOf(name), info, err)
	}
	j := &judging{call: c, books: l, reading: c.sheetOptions(l.Measuring, nil)}
	if err := c.readOrder(&j.reading, l); err != nil {
		return err
	}
	if c.like != "" {
		if j.like, err = likeOf(l, c.like); err != nil {
			return err
		}
	}
	if err := c.open(); err != nil {
		return err
	}
	for _, p := range c.papers {
		w, err := report.New(p.output, p.Options)
		if err != nil {
			return err
		}
		j.writers = append(j.writers, w)
	}
	if err := j.run(); err != nil {
		return err
	}
	return c.finish()
}

// knowsMethod is an error where the books know no method of that name; an empty name
// asks for none.
func knowsMethod(p *judge.Program, name string) error {
	names := p.Methods()
	if name == "" || slices.Contains(names, name) {
		return nil
	}
	if len(names) == 0 {
		return mistake("the books do not say how a length is measured by " + diag.Quote(name) + "; add --rules methods")
	}
	return mistake("unknown method " + diag.Quote(name) + didYouMean(name, names) + known(names))
}

// dayOf is the day of the check: today where none is named.
func (c *call) dayOf() (book.Day, error) {
	on := c.on
	if on == today {
		on = c.Now().Format(time.DateOnly)
	}
	day, ok := book.ParseDay(on)
	if !ok {
		return 0, mistake("--on takes a day such as 2026-05-02, not " + diag.Quote(c.on))
	}
	return day, nil
}

// knowsRules is an error where one of the names is not that of a rule of the books.
func knowsRules(only []string, programs ...*judge.Program) error {
	var names []string
	for _, p := range programs {
		for _, r := range p.Rules() {
			names = append(names, r.Decl.Name.Text)
		}
	}
	for _, name := range only {
		if !slices.Contains(names, name) {
			return mistake("no rule " + diag.Quote(name) + " is in the books" + didYouMean(name, names))
		}
	}
	return nil
}

// known is " (known: a, b or c)".
func known(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return " (known: " + choices(names) + ")"
}
