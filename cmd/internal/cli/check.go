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
	asked
	sheets []string
	like   string
	watch  bool
}

func newCheckCmd(s *Streams, done *outcome) *cobra.Command {
	var o checkOptions
	cmd := command("check", takes{0, many, "sheets of clubs", expanded}, func(args []string) error {
		o.sheets = args
		if wrong := o.wrong(); wrong != "" {
			return mistake(wrong, "ferrule help check")
		}
		if o.watch {
			return s.watch(done, func() error { one := o; return runCheck(s, &one, done) })
		}
		return runCheck(s, &o, done)
	})
	o.options(cmd, "rules", "on", "by", "same-id", "only", "set", "club")
	f := cmd.Flags()
	f.StringVar(&o.like, "like", "", "judge one club without a sheet")
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
	day, err := s.settleOn(&o.asked)
	if err != nil {
		return err
	}
	beside := o.sheets
	if o.like != "" {
		beside = []string{stdin}
	}
	l, err := s.lawsOf(&o.asked, "equipment-rules", beside...)
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
	o.narrowed()
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
		return mistake("the books do not say how a length is measured by " + diag.Quote(name) + "; add --rules methods")
	}
	return mistake("unknown method " + diag.Quote(name) + didYouMean(name, names) + known(names))
}

// dayOf is the day of the check: today where none is named.
func (s *Streams) dayOf(on string) (book.Day, error) {
	if on == today {
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

// known is " (known: a, b or c)".
func known(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return " (known: " + choices(names) + ")"
}
