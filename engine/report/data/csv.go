package data

// This file writes the report of a check as a table for a spreadsheet, a line a record, as RFC 4180 has
// it: fields divided by commas, quoted where they have to be, in UTF-8 without a byte order mark.
//
// The first line holds the headings; the members of "ferrule.report/1" keep their names. The
// first column says what a line is, so that a filter on it leaves a plain table:
//
//	result        a rule on a subject: passes too, the failures of each set first within the set
//	conflict      a subject that a rule gives no verdict on, as the books disagree
//	doubtful      a reading to look at again
//	refused       a row that could not be read
//	not_read      a bad cell that nothing looks at
//	order_refused a row of the order that could not be read
//	not_on_sheet  a club that was ordered; not_ordered one that was not; other_club one that the order has as another
//	column_unused a column that nothing was read from
//	book          a book whose rules were judged
//	not_in_force  a rule that rests that day
//	waiver        a waiver, and what became of it
//	met_nothing   a rule that no club, pair or set met
//	summary       the counts, the last line
//
// Amounts are plain numbers in full precision, in the unit of the column unit; value_text is the
// value as a bench reads it. Several clubs, rows, needs or reasons stand in one cell, divided by
// "; ". What has no place in a line is empty. Every text is shown on one line with hidden characters
// made visible, and where a spreadsheet would take it for a formula an apostrophe stands before it.

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/unit"
)

// column is a column of the table.
type column int

// The columns, in their order.
const (
	colRecord column = iota
	colRule
	colTitle
	colWeight
	colBook
	colLine
	colOf
	colSet
	colClubs
	colNames
	colFile
	colRows
	colVerdict
	colMessage
	colValue
	colValueText
	colUnit
	colUncertainty
	colLower
	colUpper
	colOpen
	colAcceptanceLower
	colAcceptanceUpper
	colRejectionLower
	colRejectionUpper
	colMargin
	colProbability
	colDecision
	colException
	colExceptionLine
	colNeeds
	colReasons
	colToSettle
	colMend
	colColumn
	colRead
	colHint
	colEdition
	colFrom
	colUntil
	colOn
	colRowsRead
	colRowsJudged
	colRowsRefused
	colRowsSuperseded
	colPass
	colFail
	colTooClose
	colUnmeasured
	colExempt
	colAdvised
	colConflicts
	columnCount
)

var headings = [columnCount]string{
	"record", "rule", "title", "weight", "book", "line", "of", "set", "clubs", "names", "file", "rows", "verdict", "message",
	"value", "value_text", "unit", "standard_uncertainty", "lower", "upper", "open",
	"acceptance_lower", "acceptance_upper", "rejection_lower", "rejection_upper", "margin", "conformance_probability", "decision",
	"exception", "exception_line", "needs", "reasons", "to_settle", "mend", "column", "read", "hint",
	"edition", "from", "until", "on", "rows_read", "rows_judged", "rows_refused", "rows_superseded",
	"pass", "fail", "too-close", "unmeasured", "exempt", "advised", "conflicts",
}

// divider stands between the parts of a cell that holds several.
const divider = "; "

// CSVHeadings are the first line of the table.
func CSVHeadings() []byte { return appendLine(nil, headings) }

// CSV writes a table, a line a record, the books and the summary last.
type CSV struct{}

func (CSV) Result(dst []byte, r *judge.Result, bag *club.Set) []byte {
	return appendLine(dst, resultLine(r, bag))
}

func (CSV) Conflict(dst []byte, c *judge.Conflict, bag *club.Set) []byte {
	one := ruleLine("conflict", c.Rule)
	one.subject(c.Subject, bag)
	one.text(colMessage, wording.Conflict(c))
	return appendLine(dst, one)
}

func (CSV) Doubt(dst []byte, d club.Doubt) []byte { return appendLine(dst, doubtfulLine(d)) }

func (CSV) Unpaired(dst []byte, m club.Mismatch, u club.Unpaired) []byte {
	one := line{colRecord: m.String()}
	one.text(colSet, u.Set)
	one.text(colClubs, u.ID)
	one.text(colNames, u.Called)
	one.text(colFile, u.File)
	one.count(colRows, u.Row.Row)
	one.text(colMessage, wording.Unpaired(m, u))
	return appendLine(dst, one)
}

func (CSV) Refusal(dst []byte, what string, f club.Refusal) []byte {
	return appendLine(dst, refusedLine(what, f))
}

func (CSV) Unused(dst []byte, u club.Unused) []byte {
	one := line{colRecord: "column_unused"}
	one.text(colFile, u.File)
	one.text(colColumn, u.Column)
	one.text(colHint, u.Nearest)
	return appendLine(dst, one)
}

func (CSV) End(dst []byte, h *Head, t *Totals) []byte {
	for _, b := range h.Books {
		one := line{colRecord: "book"}
		one.text(colTitle, b.Title)
		one.text(colBook, b.Name)
		one.text(colEdition, b.Edition)
		dst = appendLine(dst, one)
	}
	for _, r := range h.NotInForce {
		one := ruleLine("not_in_force", r)
		if r.Decl.From != nil {
			one.text(colFrom, r.Decl.From.Date.Value)
		}
		if r.Decl.Until != nil {
			one.text(colUntil, r.Decl.Until.Date.Value)
		}
		dst = appendLine(dst, one)
	}
	for _, w := range t.Waivers {
		one := ruleLine("waiver", w.Rule)
		one.text(colBook, w.Book.Name)
		one.count(colLine, w.Decl.Span.Line())
		one.text(colVerdict, w.State.String())
		one.text(colMessage, w.Decl.Text.Value)
		one.text(colFrom, w.From.String())
		one.text(colUntil, w.Until.String())
		dst = appendLine(dst, one)
	}
	for _, r := range t.MetNothing {
		dst = appendLine(dst, ruleLine("met_nothing", r))
	}
	last, n := line{colRecord: "summary"}, t.Tally.Verdicts
	last.text(colOn, h.On)
	for col, count := range map[column]int{
		colRowsRead: t.RowsRead(), colRowsJudged: t.RowsJudged, colRowsRefused: t.RowsRefused, colRowsSuperseded: t.RowsSuperseded,
		colPass: n[decide.Pass], colFail: n[decide.Fail], colTooClose: n[decide.TooClose], colUnmeasured: n[decide.Unmeasured],
		colExempt: n[decide.Exempt], colAdvised: t.Tally.Advised, colConflicts: t.Tally.Conflicts,
	} {
		last.count(col, count)
	}
	return appendLine(dst, last)
}

// appendLine appends a line of a table.
func appendLine(dst []byte, l line) []byte { return appendCells(dst, l[:]) }

func appendCells(dst []byte, cells []string) []byte {
	for i, cell := range cells {
		if i > 0 {
			dst = append(dst, ',')
		}
		if r, _ := utf8.DecodeRuneInString(cell); strings.ContainsAny(cell, ",\"\r\n") || unicode.IsSpace(r) {
			cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		}
		dst = append(dst, cell...)
	}
	return append(dst, '\n')
}

// line is a line of the table, a cell a column.
type line [columnCount]string

// text sets a cell to a text, made harmless.
func (l *line) text(c column, s string) { l[c] = harmless(wording.Visible(s)) }

// texts sets a cell to several texts, each made harmless.
func (l *line) texts(c column, all []string) {
	parts := make([]string, len(all))
	for i, s := range all {
		parts[i] = harmless(wording.Visible(s))
	}
	l[c] = strings.Join(parts, divider)
}

// count sets a cell to a whole number.
func (l *line) count(c column, n int) { l[c] = strconv.Itoa(n) }

// number sets a cell to a number in full precision, written as JSON writes it; it stays empty
// where there is none.
func (l *line) number(c column, f float64) {
	if Number(f) != nil {
		l[c] = numberText(f)
	}
}

// numberText is a number in full precision, written as JSON writes it.
func numberText(f float64) string {
	const small, large = 1e-6, 1e21
	form := byte('f')
	if size := math.Abs(f); size != 0 && (size < small || size >= large) {
		form = 'e'
	}
	return strconv.FormatFloat(f, form, -1, 64)
}

// harmless is a text that no spreadsheet takes for a formula: where one would, an apostrophe
// stands before it. The wide forms of the signs count, as some spreadsheets take them too.
func harmless(s string) string {
	switch r, _ := utf8.DecodeRuneInString(strings.TrimLeft(s, " ")); r {
	case '=', '+', '-', '@', '＝', '＋', '－', '＠':
		return "'" + s
	}
	return s
}

// ruleLine is a line about a rule.
func ruleLine(record string, r *book.Rule) line {
	one := line{colRecord: record}
	one.text(colRule, r.Decl.Name.Text)
	if r.Decl.Title != nil {
		one.text(colTitle, r.Decl.Title.Value)
	}
	one[colWeight] = weightOf(r)
	one.text(colBook, r.Book.Name)
	one.count(colLine, r.Decl.Span.Line())
	return one
}

// subject names what a line is about. The rows of a subject are all of one file.
func (l *line) subject(s judge.Subject, bag *club.Set) {
	about := subjectJSON(s, bag)
	l[colOf] = about.Of
	l.text(colSet, about.Set)
	l.texts(colClubs, about.Clubs)
	l.texts(colNames, about.Names)
	rows := make([]string, len(about.Rows))
	for i, r := range about.Rows {
		l.text(colFile, r.File)
		rows[i] = strconv.Itoa(r.Row)
	}
	l[colRows] = strings.Join(rows, divider)
}

func resultLine(r *judge.Result, bag *club.Set) line {
	one := ruleLine("result", r.Rule)
	one.subject(r.Subject, bag)
	one[colVerdict] = r.Verdict.String()
	if r.Waiver != nil || r.Verdict < decide.Pass {
		one.text(colMessage, string(wording.AppendMessage(nil, r)))
	}
	one.amounts(r)
	one.number(colProbability, r.Probability)
	one.text(colDecision, wording.Decision(r.Decision))
	if r.Exception != nil {
		one.text(colException, wording.OneLine(r.Exception.Span))
		one.count(colExceptionLine, r.Exception.Span.Line())
	}
	one.texts(colNeeds, value.Needs(r.Lacks))
	one.texts(colReasons, wording.Reasons(r.Lacks))
	one.text(colToSettle, wording.Settled(r))
	one.text(colMend, r.Mend)
	return one
}

// amounts fills in the value, its uncertainty, its limits and its margin, all in one unit.
func (l *line) amounts(r *judge.Result) {
	type cell struct {
		column
		unit.Amount
	}
	cells := []cell{
		{colValue, r.Value}, {colLower, r.Lower}, {colUpper, r.Upper}, {colUncertainty, r.Uncertainty},
		{colAcceptanceLower, r.PassFrom}, {colAcceptanceUpper, r.PassTo},
		{colRejectionLower, r.FailBelow}, {colRejectionUpper, r.FailAbove},
	}
	i := slices.IndexFunc(cells, func(c cell) bool { return c.Known() })
	if i < 0 {
		return
	}
	unit := cells[i].Unit
	l.text(colUnit, unit.Name)
	for _, c := range cells {
		if c.Known() {
			l.number(c.column, unit.Clean(c.Base, 0))
		}
	}
	if m := clearOf(r); m != nil {
		l.number(colMargin, m.Amount)
	}
	if r.Value.Known() {
		l.text(colValueText, r.Figure(r.Value))
	}
	if r.Open && (r.Lower.Known() || r.Upper.Known()) {
		l[colOpen] = "true"
	}
}

func refusedLine(record string, f club.Refusal) line {
	one := line{colRecord: record}
	one.text(colSet, f.Set)
	one.text(colFile, f.Row.File)
	one.count(colRows, f.Row.Row)
	one.text(colMessage, f.Message)
	one.text(colColumn, f.Column)
	one.text(colRead, f.Read)
	one.text(colHint, f.Hint)
	return one
}

func doubtfulLine(d club.Doubt) line {
	one := line{colRecord: "doubtful"}
	one.text(colFile, d.Row.File)
	one.count(colRows, d.Row.Row)
	one.text(colMessage, d.Message)
	one.text(colColumn, d.Column)
	one.text(colRead, d.Read)
	return one
}
