// Package diag holds what can be said about a mistake: the catalogue of codes,
// the Diagnostic with its places and its mend, the list that gathers them, and
// the renderer that shows them to a person.
package diag

import (
	"cmp"
	"slices"
	"strings"

	"ferrule/lang/source"
)

// Severity is how serious a diagnostic is. The zero value is invalid.
type Severity int

// The severities. An error keeps a book or a row from being used; a warning
// does not.
const (
	Error Severity = iota + 1
	Warning
)

// String returns "error" or "warning".
func (s Severity) String() string {
	return [...]string{"unknown severity", "error", "warning"}[s]
}

// Code names a kind of mistake, as "ferrule help CODE" explains it. The
// catalogue in codes.go lists them all.
type Code string

// Label is a second place that a diagnostic shows, with a word on why.
type Label struct {
	Span source.Span
	Text string
}

// Mend is a change to a book's text that removes a mistake. The zero value changes nothing.
type Mend struct {
	Span source.Span // what is replaced
	Text string      // what comes in its place
	Safe bool        // the change cannot be wrong; otherwise it is the likeliest guess
}

// Diagnostic is one mistake in a rule book, said once.
type Diagnostic struct {
	Code     Code
	Severity Severity
	Message  string      // one line: what was found, and what is wrong with it
	Span     source.Span // where
	Expected string      // what would have been right there; may be empty
	Hint     string      // the nearest right thing, ready to be typed; may be empty
	Mend     Mend        // what a machine could change; zero where only a person can decide
	Related  []Label     // other places that belong to the mistake
	Notes    []string    // whole sentences that help
	Shown    []string    // lines of a sheet that show it; printed as they are
	Says     string      // and their verdicts
}

// List gathers diagnostics. The zero value is an empty list.
type List []Diagnostic

// Add appends d.
func (l *List) Add(d Diagnostic) { *l = append(*l, d) }

// HasErrors reports whether a diagnostic of the list is an error.
func (l List) HasErrors() bool { return l.Errors() > 0 }

// Errors counts the errors of the list.
func (l List) Errors() (n int) {
	for _, d := range l {
		if d.Severity == Error {
			n++
		}
	}
	return n
}

// Sort orders the list by file name, then place, then code, keeping the order
// of equals.
func (l List) Sort() { slices.SortStableFunc(l, Compare) }

// Compare is below 0, 0 or above 0 as a comes before b, beside it, or after it in a
// sorted List.
func Compare(a, b Diagnostic) int {
	file := func(d Diagnostic) string {
		if d.Span.File == nil {
			return ""
		}
		return d.Span.File.Name
	}
	return cmp.Or(cmp.Compare(file(a), file(b)), cmp.Compare(a.Span.Start, b.Span.Start), cmp.Compare(a.Code, b.Code))
}

// Fits reports whether a machine can make the mend in a file. One of another file, or one that would swallow a comment
// or the end of a line, is left to a person.
func (m Mend) Fits(file *source.File) bool {
	return file != nil && m.Span.File == file && m.Span.End <= len(file.Text) && m.Span.Start <= m.Span.End &&
		!strings.ContainsAny(m.Span.Text(), "#\r\n")
}

// Apply makes the safe mends of a list in the text of a file, and returns the text with the
// mistakes that were mended, in the order of the text. Of two mends that overlap the first is made.
func Apply(file *source.File, l List) (text string, mended List) {
	if file == nil {
		return "", nil
	}
	for _, d := range l {
		if d.Mend.Safe && d.Mend.Fits(file) {
			mended.Add(d)
		}
	}
	slices.SortStableFunc(mended, func(a, b Diagnostic) int {
		return cmp.Compare(a.Mend.Span.Start, b.Mend.Span.Start)
	})
	var b strings.Builder
	at, kept := 0, mended[:0]
	for _, d := range mended {
		if m := d.Mend; m.Span.Start >= at {
			b.WriteString(file.Text[at:m.Span.Start] + m.Text)
			at = m.Span.End
			kept = append(kept, d)
		}
	}
	b.WriteString(file.Text[at:])
	return b.String(), kept
}
