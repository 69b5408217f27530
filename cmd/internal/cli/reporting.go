package cli

// This file holds the options that every command with a report has, and what they come to.

import (
	"cmp"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
)

// reporting is how a command is asked to report.
type reporting struct {
	format  string
	chosen  bool // a format is named
	outputs []string
	colour  string
	explain string

	formats []string     // that the command has
	chose   string       // which book was taken where the call names none
	notes   []string     // for the head of the report
	ofBooks []*book.Book // that the head and the tail of a page are of
	papers  []paper      // settled; at least one
}

// paper is a report on its way to one place.
type paper struct {
	report.Options
	name    string // "-" for standard output
	*output        // nil until it is opened
}

// settle checks the options and says which reports are to be written, and how.
func (c *call) settle() error {
	for _, o := range []struct {
		name, word string
		words      []string
	}{
		{"--color", c.colour, colours}, {"--explain", cmp.Or(c.explain, report.Depths()[0]), report.Depths()},
		{"--format", c.format, c.formats},
		{"--same-id", cmp.Or(c.same, sameIDs[1]), sameIDs[1:]},
	} {
		if err := oneOf(o.name, o.word, o.words); err != nil {
			return err
		}
	}
	if c.formats == nil {
		return nil
	}
	if note := c.narrowing.sentence(); note != "" {
		c.notes = append(c.notes, note)
	}
	names := c.outputs
	if names == nil {
		names = []string{stdin} // which is also standard output
	}
	depth, _ := report.DepthOf(c.explain)
	c.papers = nil
	for _, name := range names {
		format, err := c.formatOf(name)
		if err != nil {
			return err
		}
		o := report.Options{Format: format, Depth: depth, Scratch: c.scratch}
		o.Tool = data.Tool{Name: "ferrule", Version: c.Version}
		o.Colour = format == "text" && coloured(c.colour, c.outTerminal && name == stdin)
		c.papers = append(c.papers, paper{Options: o, name: name})
	}
	return nil
}

// otherEndings are the endings of the files of formats that do not end in their own names.
var otherEndings = map[string]string{"text": ".txt", "short": ".txt", "junit": ".xml"}

func endingOf(format string) string { return cmp.Or(otherEndings[format], "."+format) }

// formatOf is the format of a report that goes to a file. A name without an ending leaves it to --format.
func (r *reporting) formatOf(name string) (string, error) {
	ending := strings.ToLower(filepath.Ext(name))
	all := report.Formats("short", "json", "jsonl", "csv", "junit")
	formats := slices.DeleteFunc(all, func(f string) bool { return endingOf(f) != ending })
	switch {
	case name == "":
		return "", mistake("--output needs the name of a file")
	case len(formats) == 0 && len(ending) > 1 && !r.chosen:
		return "", mistake(diag.Quote(name) + " does not say what to write: no report ends in " + ending +
			". End it in " + choices(r.endings()) + ", or say --format")
	case len(formats) == 0, r.chosen && slices.Contains(formats, r.format):
		return r.format, nil
	case r.chosen:
		return "", mistake(diag.Quote(name) + " ends like a file of " + formats[0] + ", and --format says " + r.format +
			"; leave --format out or change the ending")
	case !slices.Contains(r.formats, formats[0]):
		return "", mistake(diag.Quote(name) + " ends like a file of " + formats[0] + ", and this report can only be " +
			choices(r.formats))
	}
	return formats[0], nil
}

// endings are those of the files of its formats.
func (r *reporting) endings() (known []string) {
	known = lists.Each(r.formats, endingOf)
	slices.Sort(known)
	return slices.Compact(known)
}

// open opens the places of the reports, and says what the call left open and how that was taken.
func (c *call) open() error {
	if c.chose != "" {
		c.note("ferrule: %s", c.chose)
		c.notes = append([]string{c.chose}, c.notes...)
	}
	for i := range c.papers {
		p := &c.papers[i]
		p.Notes, p.Books = c.notes, c.ofBooks
		var err error
		if p.output, err = c.openOutput(p.name); err != nil {
			return err
		}
		same := func(q paper) bool { return q.target == p.target }
		if p.target != "" && slices.ContainsFunc(c.papers[:i], same) {
			return mistake("two reports cannot both go to " + diag.Quote(p.name))
		}
		if p.Format == "csv" && p.target != "" {
			p.WriteString("\ufeff") // so that a spreadsheet reads it as UTF-8
		}
	}
	return nil
}

// finish has the complete reports take their names, and says of which rows they are not.
func (c *call) finish() error {
	c.noteRefused()
	outs := lists.Each(c.papers, func(p paper) *output { return p.output })
	return c.keep(outs...)
}

// report draws reports that are made at once.
func (c *call) report(draw func(io.Writer, report.Options) error) error {
	if err := c.open(); err != nil {
		return err
	}
	return c.draw(draw)
}

// draw draws reports whose places are open.
func (c *call) draw(draw func(io.Writer, report.Options) error) error {
	for _, p := range c.papers {
		if err := draw(p.output, p.Options); err != nil {
			return err
		}
	}
	return c.finish()
}
