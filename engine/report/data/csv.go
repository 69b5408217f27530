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
// value as a bench reads it. Several clubs, rows, needs or reasons are in one cell, divided by
// "; ". What has no place in a line is empty. Every text is shown on one line with hidden characters
// made visible, and where a spreadsheet would take it for a formula it begins with an apostrophe.

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

// columns are the columns of the table, in their order.
var columns = [...]string{
	"record", "rule", "title", "weight", "book", "line", "of", "set", "clubs", "names", "file", "rows", "verdict",
	"message", "value", "value_text", "unit", "standard_uncertainty", "lower", "upper", "open", "acceptance_lower",
	"acceptance_upper", "rejection_lower", "rejection_upper", "margin", "conformance_probability", "decision",
	"exception", "exception_line", "needs", "reasons", "to_settle", "mend", "column", "read", "hint",
	"measured_on", "who", "note", "edition", "from", "until", "on", "rows_read", "rows_judged", "rows_refused",
	"rows_superseded", "pass", "fail", "too-close", "unmeasured", "exempt", "advised", "conflicts",
}

// divider comes between the parts of a cell that holds several.
const divider = "; "

// CSVHeadings are the first line of the table.
func CSVHeadings() []byte { return appendCells(nil, columns[:]) }

// CSV writes a table, a line a record, the books and the summary last.
type CSV struct{}

func (CSV) Result(dst []byte, r *judge.Result, bag *club.Set) []byte {
	one := resultLine(r, bag)
	return one.append(dst)
}

func (CSV) Conflict(dst []byte, c *judge.Conflict, bag *club.Set) []byte {
	one := ruleLine("conflict", c.Rule)
	one.subject(c.Subject, bag)
	one.set("message", wording.Conflict(c))
	return one.append(dst)
}

func (CSV) Remark(dst []byte, m Remark) []byte {
	var one line
	one.set("record", m.Of.entry(), "set", m.Set, "clubs", m.Unpaired.ID, "names", m.Unpaired.Called,
		"file", m.Row.File, "message", m.Message, "column", m.Column, "read", m.Read, "hint", m.Hint)
	if m.Of != UnusedColumn {
		one.set("rows", m.Row.Row)
	}
	return one.append(dst)
}

func (CSV) End(dst []byte, h *Head, t *Totals) []byte {
	for _, b := range h.Books {
		var one line
		one.set("record", "book", "title", b.Title, "book", b.Name, "edition", b.Edition)
		dst = one.append(dst)
	}
	for _, r := range h.NotInForce {
		one := ruleLine("not_in_force", r)
		one.set("from", r.From.String(), "until", r.Until.String())
		dst = one.append(dst)
	}
	for _, w := range t.Waivers {
		one := ruleLine("waiver", w.Rule)
		one.set("book", w.Book.Name, "line", w.Decl.Span.Line(), "verdict", w.State.String(),
			"message", w.Decl.Text.Value, "from", w.From.String(), "until", w.Until.String())
		dst = one.append(dst)
	}
	for _, r := range t.MetNothing {
		one := ruleLine("met_nothing", r)
		dst = one.append(dst)
	}
	n := t.Tally.Verdicts
	var one line
	one.set("record", "summary", "on", h.On, "rows_read", t.RowsRead(), "rows_judged", t.RowsJudged,
		"rows_refused", t.RowsRefused, "rows_superseded", t.RowsSuperseded, "pass", n[decide.Pass],
		"fail", n[decide.Fail], "too-close", n[decide.TooClose], "unmeasured", n[decide.Unmeasured],
		"exempt", n[decide.Exempt], "advised", t.Tally.Advised, "conflicts", t.Tally.Conflicts)
	return one.append(dst)
}

// line is a line of the table: its cells, in the order of the columns.
type line [len(columns)]string

// set fills in cells: each a column and a text, a number, a truth or several texts.
func (l *line) set(cells ...any) {
	for i := 0; i < len(cells); i += 2 {
		l[slices.Index(columns[:], cells[i].(string))] = cellText(cells[i+1])
	}
}

// append appends the line to a table.
func (l *line) append(dst []byte) []byte { return appendCells(dst, l[:]) }

// appendCells appends a line. The text of a cell is on one line.
func appendCells(dst []byte, cells []string) []byte {
	for i, cell := range cells {
		if i > 0 {
			dst = append(dst, ',')
		}
		if cell == "" {
			continue
		}
		first, _ := utf8.DecodeRuneInString(cell)
		if unicode.IsSpace(first) || strings.Contains(cell, ",") || strings.Contains(cell, `"`) {
			cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		}
		dst = append(dst, cell...)
	}
	return append(dst, '\n')
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

// harmless is a text on one line that no spreadsheet takes for a formula: where one would, it begins with an
// apostrophe. The wide forms of the signs count, as some spreadsheets take them too. A number below 0 is no
// formula, so the id -5 stays as it is; +5 would become 5.
func harmless(s string) string {
	s = wording.Visible(s)
	first, n := utf8.DecodeRuneInString(strings.TrimLeft(s, " "))
	number := first == '-' && n < len(s) && strings.Trim(s[n:], ".0123456789") == ""
	if strings.ContainsRune("=+-@＝＋－＠", first) && !number {
		return "'" + s
	}
	return s
}

// ruleLine is a line about a rule.
func ruleLine(record string, r *book.Rule) (one line) {
	one.set("record", record, "rule", r.Decl.Name.Text, "weight", weightOf(r), "book", r.Book.Name,
		"line", r.Decl.Span.Line())
	if r.Decl.Title != nil {
		one.set("title", r.Decl.Title.Value)
	}
	return one
}

// subject names what a line is about. The rows of a subject are all of one file.
func (l *line) subject(s judge.Subject, bag *club.Set) {
	about := subjectJSON(s, bag)
	l.set("of", about.Of, "set", about.Set, "clubs", about.Clubs, "names", about.Names)
	l.set(rowCells(about.Rows)...)
}

func resultLine(r *judge.Result, bag *club.Set) line {
	one := ruleLine("result", r.Rule)
	one.subject(r.Subject, bag)
	one.set("verdict", r.Verdict.String(), "decision", wording.Decision(r.Decision), "mend", r.Mend,
		"needs", value.Needs(r.Lacks), "reasons", wording.Reasons(r.Lacks), "to_settle", wording.Settled(r))
	if r.Waiver != nil || r.Verdict < decide.Pass {
		one.set("message", wording.Message(r))
	}
	if p := Number(r.Probability); p != nil {
		one.set("conformance_probability", *p)
	}
	if r.Exception != nil {
		one.set("exception", wording.OneLine(r.Exception.Span), "exception_line", r.Exception.Span.Line())
	}
	// The value, its limits and its margin are all in one unit.
	for _, a := range []struct {
		column string
		unit.Amount
	}{
		{"value", r.Value}, {"lower", r.Lower}, {"upper", r.Upper}, {"standard_uncertainty", r.Uncertainty},
		{"acceptance_lower", r.PassFrom}, {"acceptance_upper", r.PassTo},
		{"rejection_lower", r.FailBelow}, {"rejection_upper", r.FailAbove},
	} {
		if n := amountOf(a.Amount, false); n != nil {
			one.set("unit", n.Unit, a.column, n.Amount)
		}
	}
	if m := clearOf(r); m != nil {
		one.set("margin", m.Amount)
	}
	if r.Value.Known() {
		one.set("value_text", r.Figure(r.Value))
	}
	if r.Open && (r.Lower.Known() || r.Upper.Known()) {
		one.set("open", true)
	}
	return one
}
