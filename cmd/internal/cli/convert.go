package cli

import (
	"io"

	"github.com/spf13/cobra"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/wording"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// convertOptions is what "convert" was asked for.
type convertOptions struct {
	asked
	sheet string
	to    string
}

func newConvertCmd(s *Streams, done *outcome) *cobra.Command {
	var o convertOptions
	cmd := command("convert", takes{1, 1, "one sheet of clubs", expanded}, func(args []string) error {
		o.sheet = args[0]
		return runConvert(s, &o, done)
	})
	o.options(cmd, "rules", "by", "same-id", "set", "club")
	f := cmd.Flags()
	f.StringVar(&o.to, "to", "", "the method to convert to")
	o.reporting.flags(cmd, "length", report.Formats("json", "csv"))
	return cmd
}

func runConvert(s *Streams, o *convertOptions, done *outcome) error {
	if err := s.settle(&o.reporting); err != nil {
		return err
	}
	p, err := s.methodsOf(&o.asked, o.sheet)
	if err != nil {
		return err
	}
	if o.to == "" {
		return mistake("convert needs --to and the method to convert to"+
			known(p.Methods()), "ferrule help convert")
	}
	if err := knowsMethod(p, o.to); err != nil {
		return err
	}
	options := o.sheetOptions(p, p.Asks(catalogue.LengthID))
	o.narrowed()
	options.Runs = true // each length is alone
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
	if err := r.sets(&o.narrowing, func(set *club.Set) {
		o.onlyClubs(set)
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
	}); err != nil {
		return err
	}
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
