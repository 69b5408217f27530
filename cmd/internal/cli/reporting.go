package cli

// This file holds the options that every command with a report has, and what they come to.

import (
	"slices"

	"github.com/spf13/cobra"

	"ferrule/engine/report"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// reporting is how a command is asked to report.
type reporting struct {
	format  string
	outputs []string
	output  string // the one of them; empty for standard output
	colour  colour
	explain string

	formats []string // that the command has
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
	f.StringVar(&r.format, "format", "text", choices(formats))
	f.StringArrayVar(&r.outputs, "output", nil, "write the report to this file")
	f.StringVar((*string)(&r.colour), "color", "auto", "colour: auto, always or never")
}

// settle checks the options and returns what the report is to be like.
func (s *Streams) settle(r *reporting) (report.Options, error) {
	if err := r.colour.check(); err != nil {
		return report.Options{}, err
	}
	depth, err := depthOf(r.explain)
	if err != nil {
		return report.Options{}, err
	}
	if !slices.Contains(r.formats, r.format) {
		return report.Options{}, mistake("--format takes "+choices(r.formats)+" here, not "+diag.Quote(r.format)+didYouMean(r.format, r.formats), "")
	}
	switch {
	case slices.Contains(r.outputs, ""):
		return report.Options{}, mistake("--output needs the name of a file", "")
	case len(r.outputs) > 1:
		return report.Options{}, mistake("--output takes one file, not "+diag.Quote(r.outputs[1])+" as well", "")
	case len(r.outputs) == 1:
		r.output = r.outputs[0]
	}
	return report.Options{Format: r.format, Depth: depth, Colour: r.format == "text" && r.colour.on(s.outTerminal && r.output == "")}, nil
}

// settleOn does the same for a command whose rules are those of a day, and returns that too.
func (s *Streams) settleOn(r *reporting, on string) (report.Options, book.Day, error) {
	shown, err := s.settle(r)
	if err != nil {
		return report.Options{}, 0, err
	}
	day, err := s.dayOf(on)
	return shown, day, err
}

// depthOf is how much to say of each result; an empty word is the usual.
func depthOf(word string) (report.Depth, error) {
	depth, ok := report.DepthOf(word)
	if word != "" && !ok {
		return 0, mistake("--explain takes "+choices(report.Depths())+", not "+diag.Quote(word)+didYouMean(word, report.Depths()), "")
	}
	return depth, nil
}
