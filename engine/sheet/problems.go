package sheet

// This file says what is wrong with a file, and with a damaged cell of a spreadsheet.

import (
	"errors"
	"fmt"
	"strings"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/diag"
)

const (
	saveAgain = "the spreadsheet is damaged; open it and save it again, or save it as CSV"
	smaller   = "expected a smaller one, or CSV, which may be of any size"
)

// troubles are the sentences for what can be wrong with a file. In one that holds %s it is what was read.
var troubles = [cells.Kinds]string{
	cells.Unreadable:     "the sheet cannot be read any further: %s",
	cells.OldSpreadsheet: "the file is a spreadsheet of an old kind, or one with a password; expected .xlsx or .ods without a password, CSV or JSON Lines",
	cells.UTF16:          "the text is in UTF-16; expected UTF-8 (save it as CSV in UTF-8)",
	cells.NotSpreadsheet: "the file is not an %s spreadsheet, whatever its name says; expected one, or another ending",
	cells.NotPlainText:   "the file is a spreadsheet or an archive, whatever its name says; expected text",
	cells.Binary:         "the file is not text; expected CSV, JSON Lines, .xlsx or .ods",
	cells.Bracketed:      "the file is a list in brackets; expected JSON Lines, which have one object a line and nothing between them",
	cells.Damaged:        saveAgain,
	cells.NotBook:        "the file is not an .xlsx or .ods spreadsheet, or is damaged; expected one that a spreadsheet program saved, without a password",
	cells.TooLarge:       "the spreadsheet is larger than 32 MiB; " + smaller,
	cells.TooMuch:        "the spreadsheet unpacks to more than %s MiB; " + smaller,
	cells.LargeCell:      "a cell is larger than 1 MiB; expected a sheet of clubs",
	cells.NoSuchSheet:    "the spreadsheet has no sheet %s; expected one of ",
	cells.AllHidden:      "every sheet of the spreadsheet is hidden; show the one with the clubs, or name it, as in FILE#Sheet: the sheets are ",
	cells.NoCells:        "the sheet %s of the spreadsheet has no cells, or is damaged; expected one club a row",
	cells.EmptySheet:     "the sheet %s of the spreadsheet is empty; expected a row that names the columns, then one club a row",
	cells.RowOrder:       "row %s; " + saveAgain,
	cells.CellOrder:      "the cell %s is not where it belongs; " + saveAgain,
	cells.ManyRows:       "the sheet has more than 1,048,576 rows; " + smaller,
	cells.ManyCells:      "the row has more than 16,384 cells, more than a spreadsheet can have",
	cells.FarCell:        "row %s has cells beyond the 256th column; expected a sheet of clubs with a few columns",
}

// trouble is what is wrong with the file of the sheet.
func (r *Reader) trouble(t *cells.Trouble) *Problem {
	p := &Problem{File: r.name, Row: t.Row, Read: shown(t.Read)}
	said := p.Read
	switch t.Kind {
	case cells.Unreadable:
		err := t.Err
		var cause interface{ Unwrap() error }
		if errors.As(err, &cause) && cause.Unwrap() != nil {
			err = cause.Unwrap()
		}
		said = diag.Visible(err.Error())
	case cells.TooMuch:
		said = fmt.Sprint(t.Most >> 20)
	case cells.FarCell:
		said = fmt.Sprint(t.Row)
	case cells.RowOrder:
		said = fmt.Sprintf("%s comes after row %d", p.Read, t.After)
	case cells.NotSpreadsheet:
		p.Read = ""
	case cells.NoCells, cells.EmptySheet:
		p.Read, said = "", diag.Quote(t.Read)
	case cells.NoSuchSheet:
		said = diag.Quote(t.Read)
		if near, ok := diag.Nearest(t.Read, t.Names); ok {
			p.Hint = cells.FileOf(r.name) + "#" + diag.Visible(near)
		}
	}
	p.Message = strings.Replace(troubles[t.Kind], "%s", said, 1)
	if t.Names != nil {
		p.Message += shown(strings.Join(t.Names, ", "))
	}
	return p
}

// damages say why a cell of a spreadsheet has no value, and what to do about it.
var damages = [cells.Sorts]string{
	cells.Failed:     "is a spreadsheet's own error, not a value; expected the value (mend the formula of the cell)",
	cells.Unworked:   "is a formula without its value; expected the value (calculate the sheet, then save it again)",
	cells.Shared:     "is one merged cell over several rows; expected a reading in each row (split the cells, and write what was read there)",
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
