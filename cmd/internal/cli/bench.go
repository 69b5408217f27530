package cli

// This file is the command "bench", which takes readings at the bench.

import (
	"bytes"
	"io/fs"
	"os"

	"ferrule/cmd/internal/bench"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/session"
	"ferrule/engine/sheet"
	"ferrule/engine/sheet/cells"
)

func runBench(c *call) error {
	l, err := c.booksFor("equipment-rules", c.args...)
	if err != nil {
		return err
	}
	if c.chose != "" {
		c.note("ferrule: %s", c.chose)
	}
	name := c.args[0]
	file := cells.FileOf(name)
	target, err := behind(file)
	if err != nil {
		return err
	}
	reading := c.sheetOptions(l.Measuring, nil)
	if err := c.readOrder(&reading, l); err != nil {
		return err
	}
	in, isFile := c.In.(*os.File)
	b := &bench.Bench{Sheet: file, Target: target, Unit: c.unit, In: c.In, Out: c.Out, Now: c.Now,
		Terminal: isFile && c.outTerminal && isTerminal(in)}
	judge := l.NewJudge(judge.Options{Day: c.day, All: true})
	b.Options = &session.Options{Program: l.Program, Judge: judge, Day: c.day, Sheet: reading, Name: name,
		Who: c.who}
	b.Options.Report = func(text []byte, rule, set, club string) string {
		to := &Streams{Now: c.Now, Version: c.Version, texts: map[string][]byte{file: text}}
		about := narrowing{named(rule), wanted{named: named(set)}, wanted{named: named(club)}}
		return (&call{Streams: to, done: new(outcome), args: c.args, order: c.order, day: c.day, narrowing: about}).
			checked(l, reading)
	}
	b.Ending = c.onSignal
	b.Writable = func(info fs.FileInfo) error { return writable(file, target, info) }
	b.Beside = c.replacing
	whole, err := b.Run()
	c.done.faulty = !whole
	return err
}

// checked is the report of a check, of one rule alone where one is named.
func (c *call) checked(l *rulebooks, reading sheet.Options) string {
	reading.Order = reading.Order.Anew()
	var out bytes.Buffer
	c.Out, c.Err = &out, &out
	shown := report.Options{Format: "text", Scratch: c.scratch}
	if c.only != nil {
		shown.Depth = report.Steps
	}
	w, err := report.New(&out, shown)
	if err == nil {
		err = (&judging{call: c, books: l, reading: reading, writers: []report.Writer{w}}).run()
	}
	if err != nil {
		c.say(err)
	}
	return out.String()
}
