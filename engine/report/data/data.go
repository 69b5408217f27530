// Package data writes reports for other programs: JSON, JSON Lines, CSV, a line a finding, and JUnit, from plain
// structs.
//
// data.go holds what is known of a check beside its results, and what a format of a check is; members.go the members
// of "ferrule.report/1", json.go, csv.go and short.go the formats; document.go writes JSON. convert.go, agree.go,
// trim.go, build.go, risk.go, diff.go, vet.go and test.go write what the other commands give.
package data

// Head is what is known before the first club is judged.

import (
	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

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

// Check is a format of a check. Each method appends what it says of one thing to dst; it may append nothing.
type Check interface {
	Result(dst []byte, r *judge.Result, bag *club.Set) []byte
	Conflict(dst []byte, c *judge.Conflict, bag *club.Set) []byte
	Doubt(dst []byte, d club.Doubt) []byte
	Unpaired(dst []byte, m club.Mismatch, u club.Unpaired) []byte
	// Refusal says what is wrong with a row; what is the list it is in: refused, not_read or order_refused.
	Refusal(dst []byte, what string, f club.Refusal) []byte
	Unused(dst []byte, u club.Unused) []byte
	End(dst []byte, h *Head, t *Totals) []byte
}

// Notes are what is said of the sheet in a report that comes set by set.
type Notes struct {
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
	n.Doubtful.Add(doubtful)
	n.Aside.Add(s.Aside)
}

// members writes them as the last members of a document.
func (n *Notes) members(d *Document) {
	d.list("refused", all(club.Cells(n.Refused), refusedOf))
	if of := &n.Order; of.File != "" {
		d.Within("order", func() {
			d.Member("file", of.File)
			d.list("refused", all(club.Cells(of.Refused), refusedOf))
			for m, rows := range of.Unpaired {
				d.list(club.Mismatch(m).String(), all(rows, unpairedOf))
			}
		})
	}
	some(d, "doubtful", n.Doubtful.List, doubtfulOf)
	some(d, "not_read", club.Cells(n.NotRead), refusedOf)
	some(d, "columns_unused", n.Unused, unusedOf)
}

// some writes a list as a member, where there is something in it.
func some[T, J any](d *Document, name string, from []T, of func(T) J) {
	if len(from) > 0 {
		d.list(name, all(from, of))
	}
}

// all are the elements of a list as JSON has them.
func all[T, J any](from []T, of func(T) J) []any {
	out := []any{}
	for _, one := range from {
		out = append(out, of(one))
	}
	return out
}
