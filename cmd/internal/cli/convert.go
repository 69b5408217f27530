package cli

import (
	"github.com/spf13/cobra"

	"ferrule/engine"
	"ferrule/engine/club"
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
		Args: exactly(1, "one sheet of clubs"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.sheet = args[0]
			return runConvert(s, &o, done)
		},
	}
	f := cmd.Flags()
	f.SortFlags = false
	f.StringVar(&o.to, "to", "", "the method that the lengths are wanted by")
	f.StringArrayVar(&o.rules, "rules", nil, "a file or a shipped book, repeatable (methods)")
	f.StringVar(&o.by, "by", "", "the method of the lengths in rows that name none")
	o.reporting.flags(cmd, "length", report.LengthFormats())
	return cmd
}

// exactly asks for a number of arguments, saying what they are.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if err := atLeast(n, what)(cmd, args); err != nil {
			return err
		}
		return atMost(n, what)(cmd, args)
	}
}

func runConvert(s *Streams, o *convertOptions, done *outcome) error {
	shown, err := s.settle(&o.reporting)
	if err != nil {
		return err
	}
	p, err := s.loadMethods(&o.rules, o.colour, o.by)
	if err != nil {
		return err
	}
	if o.to == "" {
		return mistake("convert needs --to and the method that the lengths are wanted by"+known(p.Methods()), "ferrule help convert")
	}
	if err := knowsMethod(p, o.to); err != nil {
		return err
	}
	options := sheetOptions(o.by, p, p.Schema)
	options.Runs = true // each length stands alone
	reader, in, err := s.openAs(o.sheet, options)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := s.openOutput(o.output)
	if err != nil {
		return err
	}
	w := report.NewConversions(out, o.to, shown)
	judge := p.NewJudge(engine.Options{})
	seen := false // a length that was read
	for set, ok := reader.Next(); ok; set, ok = reader.Next() {
		lengths := lengthsOf(judge, set, p, o.to)
		for _, l := range lengths {
			seen = seen || l.Club.Has(catalogue.LengthID)
			done.untold = done.untold || !l.Value.Known()
			done.faulty = s.fault(l) || done.faulty
		}
		for _, f := range set.Refused {
			if !f.Again {
				done.refused++
			}
		}
		w.Add(set, lengths, judge.Doubts(set))
		reader.Recycle(set)
	}
	done.faulty = s.readWhole(reader) != nil || !seen || done.faulty
	if err := w.End(); err != nil {
		return err
	}
	s.noteRefused(done.refused)
	if !seen && done.refused == 0 {
		s.note("ferrule: there is no length on %s, so there is nothing to convert", diag.Quote(o.sheet))
	}
	return out.keep()
}

// fault tells of two rows of the books that disagree on a club, if there are.
func (s *Streams) fault(l engine.Length) bool {
	if l.Fault != nil {
		s.note("ferrule: %s", wording.Visible(wording.RowsDiffer(*l.Fault)))
	}
	return l.Fault != nil
}

// lengthsOf brings the length of each club of a set, at each of its settings, to a method.
func lengthsOf(j *engine.Judge, s *club.Set, p *engine.Program, to string) []engine.Length {
	var lengths []engine.Length
	for _, c := range s.Clubs {
		for ; c != nil; c = c.Next {
			lengths = append(lengths, j.Length(c, nil, p.Method(to)))
		}
	}
	return lengths
}

// loadMethods loads the books that say how clubs are measured: the shipped methods where
// none is named. by is the method of rows that name none; empty where nobody said.
func (s *Streams) loadMethods(rules *[]string, c colour, by string) (*engine.Program, error) {
	if len(*rules) == 0 {
		*rules = []string{"methods"}
	}
	loaded, list, err := s.loadBooks(*rules)
	if err != nil {
		return nil, err
	}
	if s.diagnose(list, c) {
		return nil, errTold
	}
	p := compile(loaded.Roots, loaded.Schema)
	if len(p.Methods()) == 0 {
		return nil, mistake("the books know no way of measuring a length; add --rules methods", "ferrule books")
	}
	return p, knowsMethod(p, by)
}
