package cli

import (
	"bytes"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"ferrule/cmd/internal/bench"
	"ferrule/engine"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/session"
	"ferrule/engine/sheet/cells"
)

// benchOptions is what "bench" was asked for.
type benchOptions struct {
	asked
	sheet, unit, who string
}

func newBenchCmd(s *Streams, done *outcome) *cobra.Command {
	var o benchOptions
	cmd := command("bench", takes{1, 1, "a sheet of clubs", nil}, func(args []string) error {
		o.sheet = args[0]
		return runBench(s, &o, done)
	})
	o.options(cmd, "rules", "on", "by")
	cmd.Flags().StringVar(&o.unit, "unit", "", "the unit of lengths that are typed without one (in)")
	cmd.Flags().StringVar(&o.who, "who", "", "who measures, for the column who")
	return cmd
}

func runBench(s *Streams, o *benchOptions, done *outcome) error {
	day, err := s.dayOf(o.on)
	if err != nil {
		return err
	}
	l, err := s.lawsOf(&o.asked, "equipment-rules", o.sheet)
	if err != nil {
		return err
	}
	if o.chose != "" {
		s.note("ferrule: %s", o.chose)
	}
	file := cells.FileOf(o.sheet)
	target, err := behind(file)
	if err != nil {
		return err
	}
	in, isFile := s.In.(*os.File)
	b := &bench.Bench{Sheet: file, Target: target, Unit: o.unit, In: s.In, Out: s.Out, Now: s.Now,
		Terminal: isFile && s.outTerminal && isTerminal(in)}
	b.Options = &session.Options{Program: l.Program, Judge: l.NewJudge(judge.Options{Day: day, All: true}), Day: day,
		On: day.String(), Sheet: engine.SheetOptions(o.by, l.Measuring), Name: o.sheet, Who: o.who}
	b.Options.Report = func(text []byte, rule, set, club string) string {
		c := &checkOptions{sheets: []string{o.sheet}}
		c.by, c.sets, c.clubs = o.by, named(set), named(club)
		to := &Streams{Now: s.Now, Version: s.Version, texts: map[string][]byte{file: text}}
		return to.checked(&judging{streams: to, options: c, laws: l, day: day}, rule)
	}
	b.Writable = func(info fs.FileInfo) error { return writable(file, target, info) }
	b.Beside = func(name string, text []byte) (func() error, error) {
		out, err := s.beside(&output{name: name, mended: true})
		if err == nil {
			out.Write(text)
			if err = out.complete(); err != nil {
				err = unwritten(name, err)
			}
		}
		return func() error { return s.named(out) }, err
	}
	whole, err := b.Run()
	done.faulty = !whole
	return err
}

// checked is the report of a check, of one rule alone where one is named.
func (s *Streams) checked(j *judging, rule string) string {
	var out bytes.Buffer
	s.Out, s.Err = &out, &out
	shown := report.Options{Format: "text", Scratch: s.scratch}
	if rule != "" {
		j.options.only, shown.Depth = []string{rule}, report.Steps
	}
	w, err := report.New(&out, shown)
	if err == nil {
		j.writers = []report.Writer{w}
		err = j.run(new(outcome))
	}
	if err != nil {
		s.say(err)
	}
	return out.String()
}
