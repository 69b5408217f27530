package cli

// This file holds the options that every command with a report has, and what they come to.

import (
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// reporting is how a command is asked to report.
type reporting struct {
	format  *pflag.Flag
	outputs []string
	colour  colour
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

// flags adds the options. about is what --explain says more of; empty for a command
// without that option.
func (r *reporting) flags(cmd *cobra.Command, about string, formats []string) {
	r.formats = formats
	f := cmd.Flags()
	f.SortFlags = false
	if about != "" {
		f.StringVar(&r.explain, "explain", "", "how much to say of each "+about+": line, steps or full")
	}
	f.String("format", "text", choices(formats))
	r.format = f.Lookup("format")
	f.StringArrayVar(&r.outputs, "output", nil, "write to this file, in the format of its ending; repeatable")
	f.StringVar((*string)(&r.colour), "color", "auto", "colour: auto, always or never")
}

// settle checks the options and says which reports are to be written, and how.
func (s *Streams) settle(r *reporting) error {
	if err := r.colour.check(); err != nil {
		return err
	}
	depth, err := depthOf(r.explain)
	if err != nil {
		return err
	}
	asked := r.format.Value.String()
	if !slices.Contains(r.formats, asked) {
		return mistake("--format takes " + choices(r.formats) + " here, not " + diag.Quote(asked) +
			didYouMean(asked, r.formats))
	}
	if len(r.outputs) == 0 {
		r.papers = []paper{{Options: report.Options{Format: asked}}}
	}
	for i, name := range r.outputs {
		format, err := r.formatOf(name, asked)
		if err != nil {
			return err
		}
		if slices.Contains(r.outputs[:i], name) {
			return mistake("two reports cannot both go to " + diag.Quote(name))
		}
		r.papers = append(r.papers, paper{Options: report.Options{Format: format}, name: name})
	}
	for i := range r.papers {
		o := &r.papers[i].Options
		o.Depth, o.Colour = depth, o.Format == "text" && r.colour.on(s.outTerminal && r.papers[i].name == "")
		o.Tool, o.Scratch = data.Tool{Name: "ferrule", Version: s.Version}, s.scratch
	}
	return nil
}

// endings are the endings of the files of reports, the usual one of a format first.
var endings = []struct{ ending, format string }{
	{".txt", "text"}, {".txt", "short"}, {".html", "html"}, {".json", "json"}, {".jsonl", "jsonl"}, {".csv", "csv"},
	{".xml", "junit"},
}

// formatOf is the format of a report that goes to a file. An ending that says nothing leaves it to --format.
func (r *reporting) formatOf(name, asked string) (string, error) {
	ending, usual, right := strings.ToLower(filepath.Ext(name)), "", false
	for _, e := range endings {
		if e.ending == ending {
			if usual == "" {
				usual = e.format
			}
			right = right || e.format == asked
		}
	}
	switch {
	case name == "":
		return "", mistake("--output needs the name of a file")
	case usual == "":
		return asked, nil
	case r.format.Changed && !right:
		return "", mistake(diag.Quote(name) + " ends like a file of " + usual + ", and --format says " + asked +
			"; leave --format out or change the ending")
	case r.format.Changed:
		return asked, nil
	case !slices.Contains(r.formats, usual):
		return "", mistake(diag.Quote(name) + " ends like a file of " + usual + ", and this report can only be " +
			choices(r.formats))
	}
	return usual, nil
}

// asked is what the commands that judge, or read a sheet, may be asked for.
type asked struct {
	reporting
	rules []string
	on    string // the day; today where nothing is said
	by    string
	same  sameID
	narrowing
}

// today is the word for today where --on takes a day.
const today = "today"

// options adds those of the options that are named.
func (o *asked) options(cmd *cobra.Command, names ...string) {
	f := cmd.Flags()
	for _, name := range names {
		switch name {
		case "rules":
			f.StringArrayVar(&o.rules, name, nil, "a rule book: a file, or the name of a shipped one; repeatable")
		case "on":
			f.StringVar(&o.on, name, today, "the day of the rules, as in 2026-05-02 (today)")
		case "by":
			f.StringVar(&o.by, name, "", "the method of the lengths in rows that name none")
		case "same-id":
			f.Var(&o.same, name, "rows of one id: repeats (more readings) or latest (that one)")
		case "only":
			f.StringArrayVar(&o.only, name, nil, "only this rule; repeatable")
		case "set":
			f.StringArrayVar(&o.sets, name, nil, "only the set of this name; repeatable")
		case "club":
			f.StringArrayVar(&o.clubs, name, nil, "only the club of this id; repeatable")
		}
	}
}

// settleOn does the same for a command whose rules are those of a day, and returns that day.
func (s *Streams) settleOn(o *asked) (book.Day, error) {
	if err := s.settle(&o.reporting); err != nil {
		return 0, err
	}
	return s.dayOf(o.on)
}

// open opens the places of the reports, and says what the call left open and how that was taken.
func (s *Streams) open(r *reporting) ([]paper, error) {
	if r.chose != "" {
		s.note("ferrule: %s", r.chose)
		r.notes = append([]string{r.chose}, r.notes...)
	}
	for i := range r.papers {
		p := &r.papers[i]
		p.Notes = r.notes
		var err error
		if p.output, err = s.openOutput(p.name); err != nil {
			return nil, err
		}
		same := func(q paper) bool { return q.target == p.target }
		if p.target != "" && slices.ContainsFunc(r.papers[:i], same) {
			return nil, mistake("two reports cannot both go to " + diag.Quote(p.name))
		}
		if p.Format == "csv" && p.target != "" {
			p.WriteString("\ufeff") // so that a spreadsheet reads it as UTF-8
		}
	}
	return r.papers, nil
}

// keepAll completes reports.
func (s *Streams) keepAll(papers []paper) error {
	var outs []*output
	for _, p := range papers {
		outs = append(outs, p.output)
	}
	return s.keep(outs...)
}

// writers makes the writer of each report.
func writers[W any](papers []paper, of func(io.Writer, report.Options) W) []W {
	var out []W
	for _, p := range papers {
		out = append(out, of(p.output, p.Options))
	}
	return out
}

// report draws reports that are made at once.
func (s *Streams) report(r *reporting, done *outcome, draw func(io.Writer, report.Options) error) error {
	if _, err := s.open(r); err != nil {
		return err
	}
	return s.draw(r, done, draw)
}

// draw draws reports whose places are open.
func (s *Streams) draw(r *reporting, done *outcome, draw func(io.Writer, report.Options) error) error {
	for _, p := range r.papers {
		if err := draw(p.output, p.Options); err != nil {
			return err
		}
	}
	s.noteRefused(done.refused)
	return s.keepAll(r.papers)
}

// depthOf is how much to say of each result; an empty word is the usual.
func depthOf(word string) (report.Depth, error) {
	depth, ok := report.DepthOf(word)
	if word != "" && !ok {
		return 0, mistake("--explain takes " + choices(report.Depths()) + ", not " + diag.Quote(word) +
			didYouMean(word, report.Depths()))
	}
	return depth, nil
}
