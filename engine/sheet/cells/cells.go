// Package cells cuts sheets into rows of cells of text, and says what is wrong with a row or a file: CSV, JSON Lines and
// .xlsx and .ods spreadsheets. It knows nothing of clubs, and says what is wrong as data: whoever reads the cells words it.
//
// open.go recognises the format, lines.go reads text line by line, csv.go and jsonl.go cut it. zip.go unpacks the parts
// of a spreadsheet. xlsx.go reads what an .xlsx holds beside its cells, xlsxcells.go its cells, ods.go the cells of an
// .ods, and formats.go says what a format makes of a number.
package cells

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
	Cells  []Cell // of CSV the empty ones, too
	Flaw   Flaw

	text []byte // of CSV
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
	Shared          // a merged cell over several rows, where each row must have its own; readers of cells do not give it
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

// Trouble is why a file cannot be read as a sheet, or not to its end.
type Trouble struct {
	Kind  Kind
	Row   int      // 0 where no row is to blame
	After int      // of RowOrder: the row before it
	Read  string   // what was read, or asked for, or of NotSpreadsheet the ending of the name; may be empty
	Names []string // of NoSuchSheet and AllHidden: the sheets that there are
	Most  int64    // of TooMuch: the bytes that may be unpacked
	Err   error    // of Unreadable
}

// Kind is a kind of trouble.
type Kind uint8

// The kinds of trouble. None is the zero value.
const (
	_              Kind = iota
	Unreadable          // reading failed
	OldSpreadsheet      // an .xls file, or a spreadsheet with a password
	UTF16               // text in UTF-16
	NotSpreadsheet      // named like a spreadsheet, and not one
	NotPlainText        // named like text, and a spreadsheet or an archive
	Binary              // no text at all
	Bracketed           // a list in brackets in the place of JSON Lines
	Damaged             // a spreadsheet that breaks off or contradicts itself
	NotBook             // an archive that holds no spreadsheet
	TooLarge            // a spreadsheet of more bytes than may be read
	TooMuch             // a spreadsheet that unpacks to more than Most bytes
	LargeCell           // a cell of more bytes than may be read
	NoSuchSheet         // the spreadsheet has no sheet of the name Read
	AllHidden           // every sheet is hidden, and none was asked for
	NoCells             // the sheet of the name Read is not there, or no sheet of cells
	EmptySheet          // the sheet of the name Read has no cells
	RowOrder            // the row Read comes after a row further down
	CellOrder           // the cell Read is not where it belongs
	ManyRows            // more rows than a spreadsheet can have
	ManyCells           // more cells in a row than a spreadsheet can have
	FarCell             // a cell beyond the columns that are read
	Kinds               // how many there are
)
