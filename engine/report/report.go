// Package report writes what judging gave: for a person at the bench (text), one line a finding
// (short), for a customer or a committee (html), for a spreadsheet (csv), and for other programs
// (json, jsonl). It writes to an io.Writer and decides nothing: every number and reason comes with
// the results.
//
// report.go holds what a report is made of and picks the writer; sheaf.go holds what is said of sets until it
// is written; words.go the wording that all of them share; gather.go what a report for a reader is made of; text.go,
// ladder.go and layout.go the report for the bench, html.go, page.html and taken.go the page; charting.go,
// stepchart.go, scale.go and width.go the chart of a set in it, limits.go and budget.go what it says of uncertainty; convert.go lengths by
// another method, agree.go two readings of the same clubs; short.go, csv.go, document.go and jsonl.go
// the others, json.go their members; vet.go the mistakes of rule books for other programs, test.go and
// testjson.go what came of their cases, diff.go what two editions judge differently.
package report

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/spool"
	"ferrule/lang/book"
)

// Depth tells how much is said of a result. The zero value is the usual one: a
// line for what passes, steps for what does not.
type Depth int

// The depths, in the words of the option.
const (
	Usual Depth = iota
	Line
	Steps
	Full
)

var depthNames = [...]string{"", "line", "steps", "full"}

// String returns the word for the depth; "" for the usual one.
func (d Depth) String() string { return depthNames[d] }

// Depths lists the words for depths.
func Depths() []string { return slices.Clone(depthNames[1:]) }

// DepthOf returns the depth of that word; false where there is none.
func DepthOf(word string) (Depth, bool) {
	i := slices.Index(depthNames[1:], word)
	return Depth(i + 1), i >= 0
}

// Options says how a report is written.
type Options struct {
	Depth  Depth // of text
	Colour bool  // of text: verdicts may be coloured; they are never told by colour alone

	Scratch func() (spool.File, error) // opens a file for a report that is too large for memory; nil: none is
}

// Head is what is known before the first club is judged.
type Head struct {
	Books      []*book.Book // whose rules are judged, the named ones first
	On         string       // the day of the check, 2026-05-02
	NotInForce []*book.Rule // that day
}

// Totals is what is known at the end. Rows read are those judged and those refused.
type Totals struct {
	RowsJudged  int
	RowsRefused int
	Tally       engine.Tally
}

// Writer writes one report. Begin comes first and End last. In between it is told of sets, each in a Sheaf that has
// begun it: of its results in the order of the rules, then of the clubs, of its conflicts, and last of what is to be said
// of its rows. That may be on any goroutine, for each Sheaf on one; Add, in the order of the sheets, is not.
type Writer interface {
	Begin(*Head) error
	Result(*Sheaf, *engine.Result)
	Conflict(*Sheaf, *engine.Conflict)
	// Close ends the set. Each refused row of a sheet is told of with one set only.
	Close(s *Sheaf, doubtful []club.Doubt, refused []club.Refusal)
	// Add takes what was said of sets, after which the Sheaf may be used for others.
	Add(*Sheaf) error
	// End writes what is left.
	End(*Totals) error
	// WantsPasses reports whether it is to be told of results that pass.
	WantsPasses() bool
}

var formats = []string{"text", "short", "json", "jsonl", "csv", "html"}

// Formats lists the names of the formats.
func Formats() []string { return slices.Clone(formats) }

// New returns the writer of a format. The error, one line for a person, says which
// formats there are.
func New(format string, w io.Writer, o Options) (Writer, error) {
	switch format {
	case "text":
		return newText(w, o), nil
	case "short":
		return &short{w: w}, nil
	case "json":
		return &gatheredJSON{w: bufio.NewWriter(w), doc: newDocument(o)}, nil
	case "jsonl":
		return &jsonLines{w: w}, nil
	case "csv":
		return &csvTable{w: w}, nil
	case "html":
		return newPage(w, o), nil
	}
	return nil, fmt.Errorf("there is no format %q for this report; there are %s", Visible(format), strings.Join(formats, ", "))
}
