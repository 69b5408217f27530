package cli

import (
	"io"

	"github.com/spf13/cobra"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/wording"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// convertOptions is what "convert" was asked for.
type convertOptions struct {
	reporting
	sheet string
	to    string
	rules []string
	by    string
}

func newConvertCmd(s *Streams, done *outcome) *cobra.Command {
	var o convertOptions
	cmd := &cobra.Command{
		Use:   "convert SHEET --to METHOD [--rules BOOK]...",
		Short: "gives every length by another method, with its +/-",
		Long: `Reads a sheet of clubs and brings the length of each to another method, as the
books declare methods, allowances and the shapes of heads. +/- is the expanded
uncertainty at 95 %.

Exit codes: 0 all were converted, 2 some could not be, for want of a measurement,
3 a row could not be read, or nothing could be done.`,
		Example: `ferrule convert bags.csv --to plane-60
ferrule convert bags.csv --to wall --explain full`,
		RunE: files(1, 1, "one sheet of clubs", func(_ *cobra.Command, args []string) error {
			o.sheet = args[0]
			return runConvert(s, &o, done)
		}),
	}
	f := cmd.Flags()
	f.StringVar(&o.to, "to", "", "the method that the lengths are wanted by")
	f.StringArrayVar(&o.rules, "rules", nil, "a file or a shipped book, repeatable (methods)")
	f.StringVar(&o.by, "by", "", "the method of the lengths in rows that name none")
	o.reporting.flags(cmd, "length", report.LengthFormats())
	return cmd
}

func runConvert(s *Streams, o *convertOptions, done *outcome) error {
	if err := s.settle(&o.reporting); err != nil {
		return err
	}
	books, err := s.chosen(&o.reporting, o.rules, "methods", o.sheet)
	if err != nil {
		return err
	}
	p, err := s.loadMethods(books, o.colour, o.by)
	if err != nil {
		return err
	}
	if o.to == "" {
		return mistake("convert needs --to and the method that the lengths are wanted by"+
			known(p.Methods()), "ferrule help convert")
	}
	if err := knowsMethod(p, o.to); err != nil {
		return err
	}
	options := engine.SheetOptions(o.by, p)
	options.Runs = true // each length stands alone
	r, err := s.begin(o.sheet, options, &o.reporting, done)
	if err != nil {
		return err
	}
	defer r.Close()
	all := writers(r.papers, func(w io.Writer, shown report.Options) report.Conversions {
		return report.NewConversions(w, o.to, shown)
	})
	j := p.NewJudge(judge.Options{})
	nothing := "length on " + diag.Quote(o.sheet) + ", so there is nothing to convert"
	r.sets("", func(set *club.Set) {
		lengths := lengthsOf(j, set, p, o.to)
		for _, l := range lengths {
			if l.Club.Has(catalogue.LengthID) {
				nothing = ""
			}
			done.untold = done.untold || !l.Value.Known()
			done.faulty = s.fault(l) || done.faulty
		}
		done.count(set)
		doubtful := j.Doubts(set)
		for _, w := range all {
			w.Add(set, lengths, doubtful)
		}
	})
	return finish(r, all, nothing)
}

// fault tells of two rows of the books that disagree on a club, if there are.
func (s *Streams) fault(l judge.Length) bool {
	if l.Fault != nil {
		s.note("ferrule: %s", wording.Visible(wording.RowsDiffer(*l.Fault)))
	}
	return l.Fault != nil
}

// lengthsOf brings the length of each club of a set, at each of its settings, to a method.
func lengthsOf(j *judge.Judge, s *club.Set, p *judge.Program, to string) []judge.Length {
	var lengths []judge.Length
	for _, c := range s.Clubs {
		for ; c != nil; c = c.Next {
			lengths = append(lengths, j.Length(c, nil, p.Method(to)))
		}
	}
	return lengths
}
