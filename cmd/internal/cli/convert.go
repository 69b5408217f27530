package cli

// This file is the command "convert", which gives lengths by another method.

import (
	"io"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/wording"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

func runConvert(c *call) error {
	p, err := c.methodsOf()
	if err != nil {
		return err
	}
	if c.to == "" {
		return mistake("convert needs --to and the method to convert to"+
			known(p.Methods()), "ferrule help convert")
	}
	if err := knowsMethod(p, c.to); err != nil {
		return err
	}
	options := c.sheetOptions(p, p.Asks(catalogue.LengthID))
	options.Runs = true // each length is alone
	j := p.NewJudge(judge.Options{Day: c.day})
	nothing := "length on " + diag.Quote(c.args[0]) + ", so there is nothing to convert"
	return bySet(c, options, func(w io.Writer, shown report.Options) report.Conversions {
		return report.NewConversions(w, c.to, c.head(p), shown)
	}, func(set *club.Set, reports []report.Conversions) {
		c.onlyClubs(set)
		lengths := lengthsOf(j, set, p, c.to)
		for _, l := range lengths {
			if l.Club.Has(catalogue.LengthID) {
				nothing = ""
			}
			c.done.untold = c.done.untold || !l.Value.Known()
			c.done.faulty = c.fault(l) || c.done.faulty
		}
		doubtful := j.Doubts(set)
		for _, w := range reports {
			w.Add(set, lengths, doubtful)
		}
	}, func() string { return nothing })
}

// fault notes that two rows of the books disagree on a club, and reports whether they do.
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
