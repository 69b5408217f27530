package cli

// This file holds the options that every command with a report has, and what they come to.

import (
	"io"
	"path/filepath"
	"slices"
	"strings"

	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/lang/diag"
)

// reporting is how a command is asked to report.
type reporting struct {
	format  string
	chosen  bool // a format is named
	outputs []string
	colour  string
	explain string

	formats []string // that the command has
	chose   string   // which book was taken where the call names none
	notes   []string // for the head of the report
	papers  []paper  // settled; at least one
}

// paper is a report on its way to one place.
type paper struct {
	report.Options
	name    string // "" for standard output
	*output        // nil until it is opened
}

// settle checks the options and says which reports are to be written, and how.
func (c *call) settle() error {
	for _, o := range []struct {
		name, word string
		words      []string
	}{
		{"--color", c.colour, colours}, {"--explain", c.explain, report.Depths()}, {"--format", c.format, c.formats},
		{"--same-id", c.same, sameIDs[1:]},
	} {
		if err := oneOf(o.name, o.word, o.words); err != nil {
			return err
		}
	}
	if c.formats == nil {
		return nil
	}
	depth, _ := report.DepthOf(c.explain)
	if note := c.narrowing.sentence(); note != "" {
		c.notes = append(c.notes, note)
	}
	c.papers = nil
	if len(c.outputs) == 0 {
		c.papers = []paper{{Options: report.Options{Format: c.format}}}
	}
	for i, name := range c.outputs {
		format, err := c.formatOf(name)
		if err != nil {
			return err
		}
		if slices.Contains(c.outputs[:i], name) {
			return mistake("two reports cannot both go to " + diag.Quote(name))
		}
		c.papers = append(c.papers, paper{Options: report.Options{Format: format}, name: name})
	}
	for i := range c.papers {
		o := &c.papers[i].Options
		o.Depth, o.Colour = depth, o.Format == "text" && coloured(c.colour, c.outTerminal && c.papers[i].name == "")
		o.Tool, o.Scratch = data.Tool{Name: "ferrule", Version: c.Version}, c.scratch
	}
	return nil
}

// endings are the endings of the files of reports, the usual one of a format first.
var endings = []struct{ ending, format string }{
	{".txt", "text"}, {".txt", "short"}, {".html", "html"}, {".json", "json"}, {".jsonl", "jsonl"}, {".csv", "csv"},
	{".xml", "junit"},
}

// formatOf is the format of a report that goes to a file. A name without an ending leaves it to --format.
func (r *reporting) formatOf(name string) (string, error) {
	ending, usual, right := strings.ToLower(filepath.Ext(name)), "", false
	var known []string
	for _, e := range endings {
		if slices.Contains(r.formats, e.format) && !slices.Contains(known, e.ending) {
			known = append(known, e.ending)
		}
		if e.ending == ending {
			if usual == "" {
				usual = e.format
			}
			right = right || e.format == r.format
		}
	}
	switch {
	case name == "":
		return "", mistake("--output needs the name of a file")
	case usual == "" && len(ending) > 1 && !r.chosen:
		return "", mistake(diag.Quote(name) + " does not say what to write: no report ends in " + ending +
			". End it in " + choices(known) + ", or say --format")
	case usual == "":
		return r.format, nil
	case r.chosen && !right:
		return "", mistake(diag.Quote(name) + " ends like a file of " + usual + ", and --format says " + r.format +
			"; leave --format out or change the ending")
	case r.chosen:
		return r.format, nil
	case !slices.Contains(r.formats, usual):
		return "", mistake(diag.Quote(name) + " ends like a file of " + usual + ", and this report can only be " +
			choices(r.formats))
	}
	return usual, nil
}

// open opens the places of the reports, and says what the call left open and how that was taken.
func (c *call) open() error {
	if c.chose != "" {
		c.note("ferrule: %s", c.chose)
		c.notes = append([]string{c.chose}, c.notes...)
	}
	for i := range c.papers {
		p := &c.papers[i]
		p.Notes = c.notes
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

// finish completes the reports.
func (c *call) finish() error {
	c.noteRefused()
	return c.keepAll()
}

// keepAll has the reports take their names.
func (c *call) keepAll() error {
	var outs []*output
	for _, p := range c.papers {
		outs = append(outs, p.output)
	}
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
