// Package report writes what judging gave: for a person at the bench (text), one line a finding
// (short), for a customer or a committee (html), for a spreadsheet (csv), and for other programs
// (json, jsonl). It writes to an io.Writer and decides nothing: every number and reason comes with
// the results.
//
// report.go holds what a report is made of and picks the writer; words.go the wording that all of
// them share; gather.go what a report for a reader is made of; text.go, ladder.go and layout.go the
// report for the bench, html.go, page.html and taken.go the page; stepchart.go, scale.go and width.go
// the chart of a set in it, limits.go and budget.go what it says of uncertainty; convert.go lengths by
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
	"ferrule/lang/check"
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
}

// Head is what is known before the first club is judged.
type Head struct {
	Books      []*check.Book // whose rules are judged, the named ones first
	On         string        // the day of the check, 2026-05-02
	NotInForce []*check.Rule // that day
}

// Set is one bag with all that was found out about it.
type Set struct {
	Bag       *club.Set
	Results   []*engine.Result // in the order of the rules, then of the clubs; writers that stream need no passes
	Conflicts []*engine.Conflict
	Doubtful  []club.Doubt
	Refused   []club.Refusal // each refused row of a sheet stands in one Set only
}

// Totals is what is known at the end. Rows read are those judged and those refused.
type Totals struct {
	RowsJudged  int
	RowsRefused int
	Tally       engine.Tally
	Doubtful    Doubtful // of which one note a sheet is enough; the others are with their sets
}

// Writer writes one report. Begin comes first and End last. For each set Render
// is called once, on any goroutine and in any order; then Add, in the order of the
// sheets, with what Render gave.
type Writer interface {
	Begin(*Head) error
	// Render appends to dst what can be said of a set by itself, and returns dst.
	Render(dst []byte, s *Set) []byte
	// Add takes the rendered text of one or more sets and, where the writer gathers, the sets.
	Add(rendered []byte, sets []*Set) error
	// End writes what is left.
	End(*Totals) error
	// Gathers reports whether the writer keeps sets until the end, so that their memory may not be used again.
	Gathers() bool
	// WantsPasses reports whether results that pass are to be in the sets.
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
		return &gatheredJSON{w: bufio.NewWriter(w)}, nil
	case "jsonl":
		return &jsonLines{w: w}, nil
	case "csv":
		return &csvTable{w: w}, nil
	case "html":
		return newPage(w, o), nil
	}
	return nil, fmt.Errorf("there is no format %q for this report; there are %s", Visible(format), strings.Join(formats, ", "))
}
