package cli

import (
	"bytes"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"ferrule/engine/club"
	"ferrule/engine/contrast"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/diag"
)

// diffOptions is what "diff" was asked for.
type diffOptions struct {
	asked
	old, new string
	stock    string // the sheet of clubs
}

func newDiffCmd(s *Streams, done *outcome) *cobra.Command {
	var o diffOptions
	cmd := command("diff", takes{2, 2, "two rule books, the older one first", expanded}, func(args []string) error {
		o.old, o.new = args[0], args[1]
		if o.stock == "" && (o.on != today || o.by != "" || o.same != 0 || o.sets != nil || o.clubs != nil) {
			return mistake("--on, --by, --same-id, --set and --club are about the clubs of a sheet; add --clubs and the sheet",
				"ferrule help diff")
		}
		return runDiff(s, &o, done)
	})
	o.options(cmd, "on", "by", "same-id", "only", "set", "club")
	f := cmd.Flags()
	f.StringVar(&o.stock, "clubs", "", "a sheet of clubs for both editions to judge")
	o.reporting.flags(cmd, "", report.Formats("json"))
	return cmd
}

func runDiff(s *Streams, o *diffOptions, done *outcome) error {
	day, err := s.settleOn(&o.asked)
	if err != nil {
		return err
	}
	var both [2]*laws
	for i, name := range []string{o.old, o.new} {
		l, err := s.loadLaws([]string{name}, o.colour, "")
		switch {
		case err == errTold && i == 0: // the mistakes of the other are told too
			both[i] = nil
		case err != nil:
			return err
		default:
			both[i] = l
		}
	}
	if both[0] == nil {
		return errTold
	}
	for _, l := range both {
		if err := knowsMethod(l.Measuring, o.by); err != nil {
			return err
		}
	}
	if err := knowsRules(o.only, both[0].Program, both[1].Program); err != nil {
		return err
	}
	o.narrowed()
	d := editions.Compare(both[0].Program, both[1].Program)
	asked := asksFor(o.only)
	d.Only(func(p contrast.Pair) bool { return p.Old != nil && asked(p.Old) || p.New != nil && asked(p.New) })
	found := &data.Editions{Old: both[0].Books[0], New: both[1].Books[0], Difference: &d}
	done.apart = !d.Same()
	if o.stock != "" {
		found.Stock = &data.Stock{Sheet: o.stock, On: day}
		if err := s.judgeStock(found.Stock, o, both, d.Pairs, done); err != nil {
			return err
		}
	}
	return s.report(&o.reporting, done, func(w io.Writer, shown report.Options) error {
		return report.Diff(w, found, shown)
	})
}

// judgeStock has a sheet judged by both editions. It is read for each by itself, since each has its own
// properties and methods.
func (s *Streams) judgeStock(stock *data.Stock, o *diffOptions, both [2]*laws, pairs []contrast.Pair, done *outcome) error {
	in, err := s.openInput(cells.FileOf(o.stock))
	if err != nil {
		return err
	}
	defer in.Close()
	text, err := io.ReadAll(in)
	if err != nil {
		return err
	}
	var readers [2]*sheet.Reader
	for i, l := range both {
		r, problem := sheet.Open(o.stock, bytes.NewReader(text), o.sheetOptions(l.Measuring, l.Asks()))
		if problem != nil {
			s.tell(problem)
			return errTold
		}
		readers[i] = r
	}
	j := editions.NewStock(both[0].Program, both[1].Program, pairs, stock.On)
	asked := asksFor(o.only)
	j.Conflict = func(c *judge.Conflict) {
		if asked(c.Rule) && o.about(c.Subject) {
			s.note("ferrule: %s", wording.Conflict(c))
			done.faulty = true
		}
	}
	var met seen
	for {
		old, more := readers[0].Next()
		new, _ := readers[1].Next()
		if !more || new == nil {
			break
		}
		about := func(e editions.Effect) bool { return o.about(e.Subject) }
		stock.Effects = append(stock.Effects, kept(j.Set(old, new), about)...)
		for _, set := range []*club.Set{old, new} {
			name := set.Name
			met.add(&o.narrowing, []string{name}, o.onlySets(set))
			o.onlyClubs(set)
		}
		stock.Note(old, new)
	}
	done.refused = len(stock.Refused)
	if err := s.readBoth(readers); err != nil {
		return err
	}
	if err := met.missing(&o.narrowing, "sheet"); err != nil {
		return err
	}
	if stock.Rows == 0 && done.refused == 0 {
		done.faulty = true
		s.note("ferrule: there is no club on %s, so there is nothing to judge", diag.Quote(o.stock))
	}
	return nil
}

// readBoth says of a sheet that was read for each edition what readWhole says of one, each warning once.
func (s *Streams) readBoth(readers [2]*sheet.Reader) error {
	var told []string
	for _, r := range readers {
		for _, w := range r.Warnings() {
			if line := warning(w); !slices.Contains(told, line) {
				told = append(told, line)
				s.note("%s", line)
			}
		}
	}
	for _, r := range readers {
		if p := r.Problem(); p != nil {
			s.tell(p)
			return errTold
		}
	}
	return nil
}
