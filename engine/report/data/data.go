// Package data writes reports for other programs: JSON, JSON Lines, CSV, a line a finding, and JUnit. What a table
// for a spreadsheet shows too is a plain struct, which has its columns; any other object is its members in turn.
//
// data.go holds what is known of a check beside its results, and what a format of a check is; members.go the members
// of "ferrule.report/1", json.go, csv.go and short.go the formats; document.go writes JSON. readings.go, plans.go,
// risk.go, books.go and test.go write what the other commands give.
package data

import (
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// Head is what is known before the first club is judged.
type Head struct {
	Books      []*book.Book   // whose rules are judged, the named ones first
	On         string         // the day of the check, 2026-05-02
	NotInForce []*book.Rule   // that day
	Program    *judge.Program // that judges; nil: pages do not show how lengths are taken
	Waivers    []judge.Waived // of a plan of cuts, known at its end
	Order      string         // the file of the order; "" where none was given
}

// Totals is what is known at the end.
type Totals struct {
	RowsJudged     int
	RowsRefused    int
	RowsSuperseded int // of a club for which a later row counts
	RowsSkipped    int // above the headings; they are not among those read
	Tally          judge.Tally
	Order          club.Gaps    // what came of the order
	MetNothing     []*book.Rule // rules in force that met no subject
	Waivers        []judge.Waived
}

// RowsRead are all rows below the headings.
func (t *Totals) RowsRead() int { return t.RowsJudged + t.RowsRefused + t.RowsSuperseded }

// Count adds a set of which so many rows were refused that were not in a set before, and the verdicts on it.
func (t *Totals) Count(set *club.Set, refused int, verdicts judge.Tally) {
	t.RowsJudged += set.Rows
	t.RowsRefused += refused
	t.RowsSuperseded += set.Superseded
	t.RowsSkipped += set.Skipped
	t.Order.Add(set.Order.Gaps())
	t.Tally.Add(verdicts)
}

// Check is a format of a check. Each method appends what it says of one thing to dst; it may append nothing.
type Check interface {
	Result(dst []byte, r *judge.Result, bag *club.Set) []byte
	Conflict(dst []byte, c *judge.Conflict, bag *club.Set) []byte
	Remark(dst []byte, m Remark) []byte
	End(dst []byte, h *Head, t *Totals) []byte
}

// Remark is what is said of a row, a cell or a column of a sheet. Its hint is what to write, of an unused column the
// nearest known name.
type Remark struct {
	club.Refusal
	Of       RemarkKind
	Slip     bool          // what needs the reading says so
	Unpaired club.Unpaired // of a row that the sheet or the order alone has
}

// RemarkKind is what a Remark is about.
type RemarkKind int

// The kinds, in their order; behind them the mismatches of a sheet and its order, Mismatched and on.
const (
	DoubtfulReading RemarkKind = iota
	RefusedRow
	OrderRefused
	UnreadCell
	UnusedColumn
	Mismatched
	kinds = Mismatched + RemarkKind(club.Mismatches)
)

// entry is the word for the kind.
func (k RemarkKind) entry() string {
	if k >= Mismatched {
		return club.Mismatch(k - Mismatched).String()
	}
	return [...]string{"doubtful", "refused", "order_refused", "not_read", "column_unused"}[k]
}

// Remarks is all that is said of the rows and columns of a sheet.
func Remarks(doubtful []club.Doubt, refused []club.Refusal, aside club.Aside) (out []Remark) {
	for _, d := range doubtful {
		at := club.Refusal{Row: d.Row, Column: d.Column, Read: d.Read, Message: d.Message}
		out = append(out, Remark{Refusal: at, Slip: d.Slip})
	}
	for i, rows := range [][]club.Refusal{refused, aside.Order.Refused, aside.NotRead} {
		for _, f := range club.Cells(rows) {
			out = append(out, Remark{Refusal: f, Of: RefusedRow + RemarkKind(i)})
		}
	}
	for _, u := range aside.Unused {
		at := club.Refusal{Row: u.Row, Column: u.Column, Hint: u.Nearest}
		out = append(out, Remark{Refusal: at, Of: UnusedColumn})
	}
	for i, rows := range aside.Order.Unpaired {
		for _, u := range rows {
			at := club.Refusal{Row: u.Row, Set: u.Set, Message: wording.Unpaired(club.Mismatch(i), u)}
			out = append(out, Remark{Refusal: at, Of: Mismatched + RemarkKind(i), Unpaired: u})
		}
	}
	return out
}

// Notes are what is said of the sheet in a report that comes set by set.
type Notes struct {
	Rows     int // that became clubs
	Refused  []club.Refusal
	Doubtful Doubtful
	club.Aside
}

// Doubtful are doubtful readings in the order in which they came.
type Doubtful struct {
	List []club.Doubt
	told map[string]int // what was told once for its sheet, and by column how much that is
}

// mostTexts is how many unknown texts of one column are listed.
const mostTexts = 100

// Add takes doubtful readings in, those of which one note is enough once for each sheet.
func (n *Doubtful) Add(doubtful []club.Doubt) {
	for _, d := range doubtful {
		if d.Once {
			column := d.Row.File + "\x00" + d.Column
			text := column + "\x00" + catalogue.Key(d.Read)
			if n.told == nil {
				n.told = map[string]int{}
			}
			if n.told[text] > 0 || n.told[column] > mostTexts {
				continue
			}
			n.told[text]++
			if n.told[column]++; n.told[column] > mostTexts {
				d.Message = "this and further texts that no rule knows are not listed"
			}
		}
		n.List = append(n.List, d)
	}
}

// Note takes in what is to be said of the rows of a set.
func (n *Notes) Note(s *club.Set, doubtful []club.Doubt) {
	for _, f := range s.Refused {
		if !f.Again {
			f.Club = nil
			n.Refused = append(n.Refused, f)
		}
	}
	n.Rows += s.Rows
	n.Doubtful.Add(doubtful)
	n.Aside.Add(s.Aside)
}

// Remarks are what they say.
func (n *Notes) Remarks() []Remark { return Remarks(n.Doubtful.List, n.Refused, n.Aside) }

// members writes them as the last members of a document.
func (n *Notes) members(d *Document) {
	var all [kinds][]any
	for _, m := range n.Remarks() {
		all[m.Of] = append(all[m.Of], m.json(""))
	}
	list(d, "refused", all[RefusedRow])
	if n.Order.File != "" {
		d.Within("order", func() {
			d.Member("file", n.Order.File)
			list(d, "refused", all[OrderRefused])
			for k := Mismatched; k < kinds; k++ {
				list(d, k.entry(), all[k])
			}
		})
	}
	for _, k := range []RemarkKind{DoubtfulReading, UnreadCell, UnusedColumn} {
		if all[k] != nil {
			list(d, strings.Replace(k.entry(), "column_", "columns_", 1), all[k])
		}
	}
}
