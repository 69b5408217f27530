package sheet

// This file says what is wrong with a cell, a row, a sheet or its file.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// fault is what is wrong with one cell.
type fault struct {
	column, read, message, hint string

	heading bool // the hint is one for the heading, and mends the whole column
}

// problem is a fault of the headings, or of what a call names.
func (f *fault) problem(row int) *Problem {
	return &Problem{Row: row, Column: f.column, Message: f.message, Hint: f.hint}
}

// fault notes what is wrong with a cell.
func (p *Parser) fault(col *column, read, message, hint string) {
	p.note(col, fault{column: col.heading, read: read, message: message, hint: hint})
}

// blame notes the fault of a cell, and reports whether there is one.
func (p *Parser) blame(col *column, read string, f *fault) bool {
	if f == nil {
		return false
	}
	f.column, f.read = col.heading, read
	p.note(col, *f)
	return true
}

// note notes a fault of a cell. Where nothing asks for the cell, its row is read without it.
func (p *Parser) note(col *column, f fault) {
	if p.opts.asks(col) {
		p.faults = append(p.faults, f)
	} else {
		p.unread = append(p.unread, f)
	}
}

// asks reports whether something asks for the cells of a column.
func (o *Options) asks(col *column) bool {
	asked := func(id catalogue.ID) bool { return o.Asked == nil || o.Asked(id) }
	switch col.role {
	case onColumn, whoColumn, noteColumn:
		return false
	case byColumn:
		return o.Target != 0 || asked(catalogue.LengthID)
	case propertyColumn:
		id := col.property.ID
		return id <= catalogue.Mark || o.Target != 0 && id == o.Target || asked(id)
	}
	return true
}

// notOneOf notes that a cell holds something else than one of some words.
func (p *Parser) notOneOf(col *column, s string, words ...string) {
	if p.blame(col, s, oddText(s)) {
		return
	}
	near, _ := diag.Nearest(s, words)
	p.fault(col, s, fmt.Sprintf("%s does not belong here; expected %s", diag.Quote(s), unit.Listed(words, "or")), near)
}

// quantityFault is what is wrong with the cell of a quantity, given what ParseCell says of it.
func quantityFault(col *column, s string, err *unit.Error) *fault {
	f := &fault{message: err.Message, hint: err.Hint}
	if odd := spreadsheetFault(s); odd != nil {
		f.message, f.hint = odd.message, odd.hint
		return f
	}
	if !utf8.ValidString(s) {
		f.message, f.hint = notUTF8(s).message, ""
		return f
	}
	holds := " but the column is for " + col.format.Dim.Article()
	if fraction, ok := dateFraction(s); ok {
		f.message, f.hint = diag.Quote(s)+" is a date,"+holds+
			". A spreadsheet makes a date of a fraction such as 3/4: set the column to text and type it again", fraction
		return f
	}
	if strings.HasSuffix(s, "%") && col.format.Dim != unit.Ratio {
		f.message, f.hint = diag.Quote(s)+" is a percentage,"+holds, ""
	}
	if err.Expected != "" {
		f.message += "; expected " + err.Expected
	}
	switch u := unit.Base(col.format.Dim).Name; {
	case !err.NoUnit:
	case col.format.Dim == unit.Swing:
		f.hint = "" // 2 is meant for D2, and 2 pts would be A2
	case u != "" && !col.member:
		f.hint, f.heading = col.heading+" ("+u+") in the heading", true
	}
	return f
}

// notUTF8 is the fault of a cell with bytes that are no UTF-8, as old programs write letters with accents and the
// sign for degrees.
func notUTF8(s string) *fault {
	return &fault{message: diag.Quote(s) + " has a character that is not in UTF-8; save the sheet as UTF-8 CSV"}
}

// bareErrors are the errors of spreadsheets that end in no mark, in several languages.
var bareErrors = []string{"#N/A", "#NV", "#N/D", "#GETTING_DATA"}

// spreadsheetFault returns what is wrong with a cell in which a spreadsheet left something
// other than a value; nil where it did not.
func spreadsheetFault(s string) *fault {
	switch {
	case strings.HasPrefix(s, "="):
		return &fault{message: damage(cells.Unworked, s)}
	case !strings.HasPrefix(s, "#"):
		return nil
	case slices.Contains(bareErrors, strings.ToUpper(s)),
		len(s) > 2 && s[1] >= 'A' && s[1] <= 'Z' && strings.ContainsAny(s[len(s)-1:], "!?"):
		return &fault{message: damage(cells.Failed, s)}
	case len(s) > 2 && strings.Trim(s, "#") == "":
		const narrow = " is what a spreadsheet shows in a column too narrow for its value; expected the value"
		return &fault{message: diag.Quote(s) + narrow}
	}
	return nil
}

// months are the months as spreadsheets shorten them, in English and in German, by their English names.
var months = map[string]string{"jan": "jan", "feb": "feb", "mar": "mar", "mär": "mar", "mrz": "mar", "apr": "apr",
	"may": "may", "mai": "may", "jun": "jun", "jul": "jul", "aug": "aug", "sep": "sep", "oct": "oct", "okt": "oct",
	"nov": "nov", "dec": "dec", "dez": "dec"}

// dateLayouts are how spreadsheets write dates, with a hyphen for each of their marks. Those of numbers alone are dates
// only where dots or strokes were between them.
var dateLayouts = []struct {
	layout string
	marks  string // which was in the text; "" for any
}{
	{"2-Jan", ""}, {"Jan-2", ""}, {"2-Jan-2006", ""}, {"2-Jan-06", ""}, {"Jan-2-2006", ""}, {"Jan-2-06", ""},
	{"Jan-2006", ""}, {"Jan-06", ""}, {"2006-1-2", ""},
	{"2-1-2006", "./"}, {"1-2-2006", "./"}, {"2-1-06", "./"}, {"1-2-06", "./"}, {"2-1-", "."}, {"1-2-", "."},
}

// dateFraction reports whether a cell is a date, and which fraction may have stood
// there before a spreadsheet took it for one; "" where none could.
func dateFraction(s string) (fraction string, ok bool) {
	if i := strings.IndexAny(s, "T "); i == len(time.DateOnly) {
		s = s[:i] // the time of day
	}
	parts := strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return strings.ContainsRune("-./ ", c) })
	if len(parts) == 2 && strings.Count(s, ".") == 2 && strings.HasSuffix(s, ".") { // 3.4.
		parts = append(parts, "")
	}
	for i, part := range parts {
		letters := []rune(part)
		if month, ok := months[string(letters[:min(3, len(letters))])]; ok {
			parts[i] = month
		}
	}
	for _, l := range dateLayouts {
		t, err := time.Parse(l.layout, strings.Join(parts, "-"))
		if err != nil || l.marks != "" && !strings.ContainsAny(s, l.marks) {
			continue
		}
		day, month := t.Day(), int(t.Month())
		low, high := min(day, month), max(day, month)
		if low < high && high&(high-1) == 0 && !strings.HasPrefix(l.layout, "Jan-0") && l.layout != "Jan-2006" {
			fraction = fmt.Sprintf("%d/%d", low, high)
		}
		return fraction, true
	}
	return "", false
}

// flaws are what is wrong with a row as a whole that is not cut as it should be.
var flaws = map[flaw]string{
	cells.Unclosed: "a cell starts with a quotation mark but does not end with one; " +
		"expected one at its end, or none at its start (45-3/4\" for inches is fine)",
	cells.AfterQuote: "there is text after the closing quotation mark of a cell; " +
		"expected the mark at the cell's end, and two of them for one inside",
	cells.TooLong: "the row is longer than 64 KiB; expected one club, and short notes",
	cells.NotObject: "the line is not an object; expected one club in braces, " +
		`as in {"club": "7i", "length": "37 1/2 in", "by": "soled"}`,
	cells.NotUTF8: "the line has a character that is not in UTF-8; save the sheet in UTF-8",
	manyNamed: "the line has one more name that the sheet did not have before, of more than 1,000; " +
		"expected the names id, set, club, by and those of properties",
}

// flaw is the fault of a row as a whole.
func (p *Parser) flaw(h *head, f flaw) fault {
	if message, ok := flaws[f]; ok {
		return fault{message: message}
	}
	const few = "; expected sets of a few clubs, told apart by a column set"
	out := fault{message: "the cell of the set is empty; expected the name of a set, as in the other rows"}
	if h.set >= 0 {
		out.column, out.read = h.columns[h.set].heading, p.cells[h.set]
	}
	most := grouped(p.opts.caps.names)
	switch set := out.read; f {
	case oddSetName:
		out.message = "the name of the set has a character that cannot be printed; expected plain text in UTF-8"
		if f := spreadsheetFault(set); f != nil {
			out.message = f.message
		} else if !utf8.ValidString(set) {
			out.message = notUTF8(set).message
		}
	case setAgain:
		out.message = fmt.Sprintf("the set %s is further up already; in a sheet of more than %s rows, "+
			"the rows of a set must be together", diag.Quote(set), grouped(p.opts.caps.gathered))
	case manySets:
		out.message = "the sheet has more than " + most + " sets; expected several sheets"
	case manyRows, tooHeavy:
		out.message = p.tooLarge(f == tooHeavy) + few
	case setting:
		out.message = p.tooLarge(p.heavy) + " and its settings laid together" + few
	case twice, manyIDs:
		out.column, out.read = h.first(idColumn, clubColumn, kindColumn).heading, p.cells[h.find(idColumn)]
		if out.message = "the set has more than " + most + " ids" + few; f == twice {
			out.message = "the id is in a row further up of the same set already; expected another id"
		}
	default:
		out.read = ""
	}
	return out
}

// tooLarge says why a set cannot be in hand as a whole: because of its bytes, or of its rows.
func (p *Parser) tooLarge(heavy bool) string {
	if heavy {
		most := p.opts.caps.setBytes >> 20
		return fmt.Sprintf("the rows of the set have more than %d MiB together, too much to be read as one set", most)
	}
	return fmt.Sprintf("the set has more than %s rows, too many to be read as one set", grouped(p.opts.caps.setRows))
}

// grouped is a large number as a person reads it: 50,000.
func grouped(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// refusal makes the refusal of a row out of p.faults, one for each of its bad cells. What was read is in it character
// for character; what is told of it is fit to be shown.
func (p *Parser) refusal(set string, c *club.Club) club.Refusal {
	c.Loose = true
	all := badCells(set, c, p.faults)
	all[0].More, all[0].Club = all[1:], c
	return all[0]
}

// badCells are the refusals of the cells of a row with these faults.
func badCells(set string, c *club.Club, faults []fault) []club.Refusal {
	var out []club.Refusal
	for i, f := range faults {
		if i > 0 && (f.column == "" || f.column == faults[0].column || faults[0].column == "") {
			continue // the first one says enough
		}
		out = append(out, club.Refusal{Row: c.Place(), Column: asRead(f.column), Read: asRead(f.read),
			Message: f.message, Hint: diag.Visible(f.hint), Heading: f.heading, Set: set})
	}
	return out
}

// asRead is what was in a cell, its first 1024 bytes. Only bytes that are not UTF-8 are written otherwise: "<byte B0>".
func asRead(s string) string {
	const most = 1024
	var b strings.Builder
	for i, c := range s {
		_, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case i+n > most:
			return b.String() + "…"
		case c == utf8.RuneError && n == 1:
			b.WriteString(diag.Visible(s[i : i+1]))
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// shown is text of a sheet as a message may carry it: nothing in it that cannot be printed, and not too long.
func shown(s string) string {
	const most = 120
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "…"
	}
	return diag.Visible(strings.ReplaceAll(s, "\t", " "))
}

// kindWords are the words that a cell of a club may be meant for.
func kindWords() []string {
	marks := strings.Fields(strings.ToLower(strings.Join(catalogue.Stamps, " ")))
	return slices.Concat(catalogue.KindNames(), []string{"wood"}, marks)
}

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
