package sheet

// This file says what is wrong with a file, and with a damaged cell of a spreadsheet.

import (
	"strings"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/diag"
)

// trouble is what is wrong with the file of the sheet.
func (r *Reader) trouble(t *cells.Trouble) *Problem {
	p, said := &Problem{File: r.name, Row: t.Row}, *t
	said.Read = shown(t.Read)
	switch t.Kind {
	case cells.NoCells, cells.EmptySheet, cells.NoSuchSheet:
		said.Read = diag.Quote(t.Read)
	}
	if near, ok := diag.Nearest(t.Read, t.Names); ok && t.Kind == cells.NoSuchSheet {
		p.Hint = cells.FileOf(r.name) + "#" + diag.Visible(near)
	}
	p.Message = said.Error() + shown(strings.Join(t.Names, ", "))
	return p
}

// damages say why a cell of a spreadsheet has no value, and what to do about it.
var damages = [cells.Sorts]string{
	cells.Failed:   "is a spreadsheet's own error, not a value; expected the value (mend the formula of the cell)",
	cells.Unworked: "is a formula without its value; expected the value (calculate the sheet, then save it again)",
	cells.Shared: "is one merged cell over several rows; " +
		"expected a reading in each row (split the cells, and write what was read there)",
	cells.Covered:    "is hidden under a merged cell; expected nothing there (split the cells, and keep what is right)",
	cells.LostText:   "points to a text that the spreadsheet does not have" + lookAgain,
	cells.NotNumber:  "is stored as a number but is not one" + lookAgain,
	cells.NotTruth:   "is stored as a yes or no but is neither" + lookAgain,
	cells.NotDay:     "is stored as a day but is not one" + lookAgain,
	cells.NotError:   "is stored as an error but is not one" + lookAgain,
	cells.LostFormat: "has a number format that the spreadsheet does not have" + lookAgain,
	cells.LostSort:   "is stored in a way that no spreadsheet knows" + lookAgain,
}

const lookAgain = ": the spreadsheet is damaged; open it, look at the cell and save it again"

// damage is what is wrong with a cell that has no value.
func damage(sort cells.Sort, text string) string {
	cell := "the cell"
	if text != "" {
		cell = diag.Quote(text)
	}
	return cell + " " + damages[sort]
}
