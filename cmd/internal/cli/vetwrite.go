package cli

// This file adds the clubs that show what "vet" found to the files of the books, as cases.

import (
	"strings"

	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/trial"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/load"
)

// addWitnesses adds the witnesses of each book that was named at the end of its file, those that
// it does not hold already. A book with mistakes is left as it is.
func (c *call) addWitnesses(v *data.Vetting, books []*book.Book) error {
	for _, b := range books {
		if c.done.faulty {
			c.note("ferrule: nothing was written into %s: the books have mistakes", diag.Quote(b.Name))
			continue
		}
		made, unsaid := casesOf(v, b)
		if unsaid > 0 {
			c.note("ferrule: %s of %s cannot be a case, where each rule has to give a verdict",
				wording.Counted(unsaid, "finding", "findings"), diag.Quote(b.Name))
		}
		if len(made) == 0 {
			continue
		}
		if _, err := c.writeCases(b, made); err != nil {
			return err
		}
		c.note("ferrule: %s added to %s", wording.Counted(len(made), "case", "cases"), diag.Quote(b.Name))
	}
	return nil
}

// casesOf are the witnesses of a book as cases, without those that it holds, and how many no case can say.
func casesOf(v *data.Vetting, b *book.Book) (made []trial.Made, unsaid int) {
	laid := format.Format(b.Tree)
	for i := range v.Findings {
		f := &v.Findings[i]
		if f.Witness == nil || f.Span.File != b.File {
			continue
		}
		switch text := load.Case(f.Case()); {
		case text == "":
			unsaid++
		case !strings.Contains(laid, strings.TrimSpace(text)):
			laid += "\n" + text
			made = append(made, trial.Made{Text: trial.Mark + "\n" + text})
		}
	}
	return made, unsaid
}
