package cli

import (
	"github.com/spf13/cobra"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/compare"
	"ferrule/engine/report"
	"ferrule/lang/diag"
)

// agreeOptions is what "agree" was asked for.
type agreeOptions struct {
	reporting
	sheets []string
	rules  []string
	by     string
}

func newAgreeCmd(s *Streams, done *outcome) *cobra.Command {
	var o agreeOptions
	cmd := &cobra.Command{
		Use:   "agree SHEET SHEET [--rules BOOK]...",
		Short: "tells whether two people's readings are the same lengths",
		Long: `Pairs the rows of two sheets by set and id, brings the second's length to the
method of the first's row, and divides the difference by its expanded uncertainty,
in which what both share cancels. Where the quotient, En, is between -1 and 1 the
two agree; where not, it says what would have to be wrong, and by how much.

Exit codes: 0 all agree, 1 some disagree, 2 some cannot be told, 3 a row could not
be read, or nothing could be done.`,
		Example: "ferrule agree ada.csv ben.csv",
		Args:    exactly(2, "two sheets of clubs"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.sheets = args
			return runAgree(s, &o, done)
		},
	}
	f := cmd.Flags()
	f.SortFlags = false
	f.StringArrayVar(&o.rules, "rules", nil, "a file or a shipped book, repeatable (methods)")
	f.StringVar(&o.by, "by", "", "the method of the lengths in rows that name none")
	o.reporting.flags(cmd, "pair", report.LengthFormats())
	return cmd
}

func runAgree(s *Streams, o *agreeOptions, done *outcome) error {
	shown, err := s.settle(&o.reporting)
	if err != nil {
		return err
	}
	p, err := s.loadMethods(&o.rules, o.colour, o.by)
	if err != nil {
		return err
	}
	found := report.Agreements{Sheets: [2]string{o.sheets[0], o.sheets[1]}}
	var sets [2][]*club.Set
	for i, name := range o.sheets {
		if sets[i], err = s.wholeSheet(name, o.by, p); err != nil {
			return err
		}
		for _, set := range sets[i] {
			found.Rows += set.Rows
			for _, f := range set.Refused {
				if !f.Again {
					found.Refused = append(found.Refused, f)
				}
			}
		}
	}
	judge := p.NewJudge(engine.Options{})
	both := false
	for _, pair := range compare.Pairs(sets[0], sets[1]) {
		both = both || pair.First != nil && pair.Second != nil
		a := compare.Agree(judge, p, pair)
		done.untold = done.untold || !a.Told
		done.apart = done.apart || a.Told && !a.Same
		for _, l := range a.Lengths {
			done.faulty = s.fault(l) || done.faulty
		}
		if o.format == "json" || a.Same && shown.Depth < report.Steps {
			a.Forget()
		}
		found.Pairs = append(found.Pairs, a)
	}
	done.refused, done.faulty = len(found.Refused), !both || done.faulty
	out, err := s.openOutput(o.output, append([]string{sheetFile(o.sheets[0]), sheetFile(o.sheets[1])}, o.rules...))
	if err != nil {
		return err
	}
	if o.format == "json" {
		err = report.AgreementsJSON(out, &found)
	} else {
		err = report.AgreementsText(out, &found, shown)
	}
	if err != nil {
		out.drop()
		return err
	}
	s.noteRefused(done.refused)
	if !both {
		s.note("ferrule: no club is on both %s and %s, by set and id, so there is nothing to hold against each other", diag.Quote(o.sheets[0]), diag.Quote(o.sheets[1]))
	}
	return out.keep()
}
