package cli

import (
	"os"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// checkOptions is what "check" was asked for.
type checkOptions struct {
	reporting
	sheets []string
	rules  []string
	narrowing
	on    string
	by    string
	like  string
	watch bool
}

func newCheckCmd(s *Streams, done *outcome) *cobra.Command {
	var o checkOptions
	cmd := &cobra.Command{
		Use:   "check SHEET... [--rules BOOK]...",
		Short: "judges every club, pair and set on the sheets",
		Long: `Reads sheets of clubs (CSV, JSON Lines, .xlsx, .ods; - is standard input) and judges
every club, every pair of neighbours and every set by the rule books. What fails
comes first, with its numbers, the reason and the mend.

Exit codes: 0 everything passes, 1 something fails, 2 something is too close to
call or not measured, 3 it could not be checked or a row could not be read.`,
		Example: `ferrule check bags.csv
ferrule check bags.csv --rules house.ferrule --rules methods --on 2026-05-02`,
		RunE: files(0, many, "sheets of clubs", func(cmd *cobra.Command, args []string) error {
			o.sheets = args
			if o.on == "" && cmd.Flags().Changed("on") {
				return mistake("--on takes a day such as 2026-05-02; nothing stands there")
			}
			if wrong := o.wrong(); wrong != "" {
				return mistake(wrong, "ferrule help check")
			}
			if o.watch {
				return s.watch(done, func() error { one := o; return runCheck(s, &one, done) })
			}
			return runCheck(s, &o, done)
		}),
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.rules, "rules", nil, "a file or a shipped book, repeatable (equipment-rules)")
	f.StringVar(&o.on, "on", "", "the day of the check, as 2026-05-02 (today)")
	f.StringArrayVar(&o.only, "only", nil, "judge by this rule only, repeatable")
	f.StringVar(&o.club, "club", "", "judge only the club of this id")
	f.StringVar(&o.set, "set", "", "judge only the set of this name")
	f.StringVar(&o.by, "by", "", "the method of the lengths in rows that name none")
	f.StringVar(&o.like, "like", "", `judge one club without a sheet, as in "driver, length 45 3/4 in by soled"`)
	f.BoolVar(&o.watch, "watch", false, "judge again whenever a sheet or a book changes")
	o.reporting.flags(cmd, "result", report.CheckFormats())
	return cmd
}

// wrong says what is wrong with the sheets that are asked for; "" where nothing is.
func (o *checkOptions) wrong() string {
	switch {
	case len(o.sheets) == 0 && o.like == "":
		return "check needs a sheet of clubs"
	case len(o.sheets) > 0 && o.like != "":
		return "--like judges one club without a sheet; leave out " + diag.Quote(o.sheets[0]) + ", or --like"
	case o.watch && (o.like != "" || slices.Contains(o.sheets, stdin)):
		return "--watch judges again when a sheet changes; name the file of a sheet"
	}
	return ""
}

func runCheck(s *Streams, o *checkOptions, done *outcome) error {
	day, err := s.settleOn(&o.reporting, o.on)
	if err != nil {
		return err
	}
	beside := o.sheets
	if o.like != "" {
		beside = []string{stdin}
	}
	books, err := s.chosen(&o.reporting, o.rules, "equipment-rules", beside...)
	if err != nil {
		return err
	}
	l, err := s.loadLaws(books, o.colour, o.by, o.only...)
	if err != nil {
		return err
	}
	for _, name := range o.sheets {
		info, err := os.Stat(cells.FileOf(name))
		s.reads(cells.FileOf(name), info, err)
	}
	j := &judging{streams: s, options: o, laws: l, day: day}
	if o.like != "" {
		if j.like, err = l.likeOf(o.like); err != nil {
			return err
		}
	}
	o.narrowed(o.narrowing)
	papers, err := s.open(&o.reporting)
	if err != nil {
		return err
	}
	for _, p := range papers {
		w, err := report.New(p.output, p.Options)
		if err != nil {
			return err
		}
		j.writers = append(j.writers, w)
	}
	if err := j.run(done); err != nil {
		return err
	}
	return s.keepAll(papers)
}

// knowsMethod is an error where the books know no method of that name; an empty name
// asks for none.
func knowsMethod(p *judge.Program, name string) error {
	names := p.Methods()
	if name == "" || slices.Contains(names, name) {
		return nil
	}
	if len(names) == 0 {
		return mistake("the books know no way of measuring, so no " + diag.Quote(name) + "; add --rules methods")
	}
	return mistake("no method " + diag.Quote(name) + " is known to the books" + didYouMean(name, names) + known(names))
}

// dayOf is the day of the check: today where none is named.
func (s *Streams) dayOf(on string) (book.Day, error) {
	if on == "" {
		y, m, d := s.Now().Date()
		return book.Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400), nil
	}
	day, ok := book.ParseDay(on)
	if !ok {
		return 0, mistake("--on takes a day such as 2026-05-02, not " + diag.Quote(on))
	}
	return day, nil
}

// knowsRules is an error where one of the names is no rule of the books.
func knowsRules(only []string, programs ...*judge.Program) error {
	var names []string
	for _, p := range programs {
		for _, r := range p.Rules() {
			names = append(names, r.Decl.Name.Text)
		}
	}
	for _, name := range only {
		if !slices.Contains(names, name) {
			return mistake("no rule " + diag.Quote(name) + " is in the books" + didYouMean(name, names))
		}
	}
	return nil
}

// known is "; known are a, b or c".
func known(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return "; known are " + choices(names)
}
