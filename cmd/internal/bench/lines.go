package bench

// This file reads the lines of a session: of a terminal with editing, history and completion, else as they come.

import (
	"bufio"
	"errors"
	"io"
	"strings"

	"github.com/peterh/liner"

	"ferrule/lang/diag"
)

// lines gives line after line. End gives the terminal back.
func (b *Bench) lines() (next func() (string, error), end func()) {
	if b.Terminal && liner.TerminalSupported() {
		return b.typed()
	}
	in := bufio.NewReader(b.In)
	return func() (string, error) {
		io.WriteString(b.Out, b.now.Prompt())
		line, err := in.ReadString('\n')
		if err == io.EOF && line != "" {
			err = nil
		}
		line = strings.TrimRight(line, "\r\n")
		io.WriteString(b.Out, diag.Visible(line)+"\n") // so that what was said reads as at a terminal
		return line, err
	}, func() {}
}

// typed gives the lines of a terminal.
func (b *Bench) typed() (next func() (string, error), end func()) {
	t := liner.NewLiner()
	t.SetCtrlCAborts(true)
	t.SetTabCompletionStyle(liner.TabPrints)
	t.SetCompleter(func(line string) (found []string) {
		for _, w := range b.now.Words() {
			if strings.HasPrefix(strings.ToLower(w), strings.ToLower(line)) {
				found = append(found, w)
			}
		}
		return found
	})
	return func() (string, error) {
		for {
			line, err := t.PromptWithSuggestion(b.now.Prompt(), b.again, -1)
			b.again = ""
			switch {
			case errors.Is(err, liner.ErrPromptAborted):
				b.say("Type done to write the sheet, or press Ctrl-D to leave with the readings kept.")
				continue
			case err == nil && strings.TrimSpace(line) != "":
				t.AppendHistory(line)
			}
			return line, err
		}
	}, func() { t.Close() }
}
