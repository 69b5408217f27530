// Package cells cuts sheets into rows of cells of text, and says what is wrong with a row or a file: CSV, JSON Lines
// and .xlsx and .ods spreadsheets. It knows nothing of clubs. What is wrong with a row or a cell it says as data, for
// whoever reads the cells to word; what is wrong with a file in a sentence.
//
// open.go recognises the format, lines.go reads text line by line, csv.go and jsonl.go cut it. zip.go unpacks the parts
// of a spreadsheet, page.go goes through the rows of one. xlsx.go reads what an .xlsx holds beside its cells,
// xlsxcells.go its cells, ods.go the cells of an .ods, and formats.go says what a format makes of a number. write.go
// and writexlsx.go begin sheets, and write them with changes.
package cells

import "strings"

// MaxRow is how many bytes a row may have.
const MaxRow = 64 << 10

// Source cuts a sheet into rows.
type Source interface {
	// Next returns the next row that is not blank, valid until the one after it is cut; nil at the end of the sheet, or
	// where it cannot be read on.
	Next() *Row
	// Trouble returns what kept the sheet from being read to its end; nil where nothing did.
	Trouble() *Trouble
}

// Row is one row of a sheet.
type Row struct {
	Number int    // as the sheet counts it, from 1
	Text   string // of CSV
	Cells  []Cell // of CSV the empty ones, too; of a row that breaks off those before
	Flaw   Flaw
}

// Cell is a cell of a row.
type Cell struct {
	Column   int    // from 0; 0 in JSON Lines
	Name     string // of JSON Lines: the name that the line gives it
	Sort     Sort
	Merged   bool   // it is one cell with that of the row above or below
	Text     string // without blanks around it
	Readings string // of a List: its members, with a stroke between them
}

// Sort is what a cell holds. The zero value is text.
type Sort uint8

// The sorts of cells. Those from LostText on are of a damaged spreadsheet.
const (
	Text       Sort = iota
	List            // JSON Lines: a list of texts and numbers
	Nested          // JSON Lines: an object, or a list of such values
	Failed          // a formula that came to an error, which is the text
	Unworked        // a formula without its value; the text is the formula
	Shared          // a merged cell over rows that must each have their own; readers of cells do not give it
	Covered         // it has a value of its own, and a merged cell covers it
	LostText        // its text is not there
	NotNumber       // stored as a number, which it is not
	NotTruth        // stored as a yes or no, which it is not
	NotDay          // stored as a day that does not exist
	NotError        // stored as an error, which it is not
	LostFormat      // a number whose format is not there
	LostSort        // stored in an unknown way
	Sorts           // how many there are
)

// Flaw is what is wrong with a row as a whole. The zero value is a sound row.
type Flaw uint8

// The flaws of rows.
const (
	Sound      Flaw = iota
	Unclosed        // a quote is opened and never closed
	AfterQuote      // text follows a closing quote
	TooLong         // more than MaxRow bytes
	NotObject       // a JSON line that is not an object
	NotUTF8         // a JSON line that is not in UTF-8
	Flaws           // how many there are
)

// Broken reports whether a row could not be cut to its end. Flaws beyond those here are not of its cutting.
func (f Flaw) Broken() bool { return f != Sound && f < Flaws }

// Trouble is why a file cannot be read as a sheet, or not to its end.
type Trouble struct {
	Kind  Kind
	Row   int      // 0 where no row is to blame
	Read  string   // what was read, or asked for; may be empty
	Names []string // of NoSuchSheet and AllHidden: the sheets that there are
}

// Error is the sentence of the trouble.
func (t *Trouble) Error() string { return strings.Replace(string(t.Kind), "%s", t.Read, 1) }

// Kind is a kind of trouble: the sentence for it. In one that holds %s it is what was read; behind one that ends in a
// blank come the names of the sheets.
type Kind string

const (
	saveAgain = "the spreadsheet is damaged; open it and save it again, or save it as CSV"
	smaller   = "expected a smaller one, or CSV, which may be of any size"
)

// The kinds of trouble.
const (
	Unreadable     Kind = "the sheet cannot be read any further: %s"
	OldSpreadsheet Kind = "the file is a spreadsheet of an old kind, or one with a password; " +
		"expected .xlsx or .ods without a password, CSV or JSON Lines"
	UTF16          Kind = "the text is in UTF-16; expected UTF-8 (save it as CSV in UTF-8)"
	NotSpreadsheet Kind = "the file is not an %s spreadsheet, whatever its name says; expected one, or another ending"
	NotPlainText   Kind = "the file is a spreadsheet or an archive, whatever its name says; expected text"
	Binary         Kind = "the file is not text; expected CSV, JSON Lines, .xlsx or .ods"
	Bracketed      Kind = "the file is a list in brackets; " +
		"expected JSON Lines, which have one object a line and nothing between them"
	Damaged Kind = saveAgain
	NotBook Kind = "the file is not an .xlsx or .ods spreadsheet, or is damaged; " +
		"expected one that a spreadsheet program saved, without a password"
	TooLarge    Kind = "the spreadsheet is larger than 32 MiB; " + smaller
	TooMuch     Kind = "the spreadsheet unpacks to more than %s MiB; " + smaller
	LargeCell   Kind = "a cell is larger than 1 MiB; expected a sheet of clubs"
	NoSuchSheet Kind = "the spreadsheet has no sheet %s; expected one of "
	AllHidden   Kind = "every sheet of the spreadsheet is hidden; " +
		"show the one with the clubs, or name it, as in FILE#Sheet: the sheets are "
	NoCells    Kind = "the sheet %s of the spreadsheet has no cells, or is damaged; expected one club a row"
	EmptySheet Kind = "the sheet %s of the spreadsheet is empty; " +
		"expected a row that names the columns, then one club a row"
	RowOrder  Kind = "row %s; " + saveAgain
	CellOrder Kind = "the cell %s is not where it belongs; " + saveAgain
	ManyRows  Kind = "the sheet has more than 1,048,576 rows; " + smaller
	ManyCells Kind = "the row has more than 16,384 cells, more than a spreadsheet can have"
	FarCell   Kind = "row %s has cells beyond the 256th column; expected a sheet of clubs with a few columns"
)
