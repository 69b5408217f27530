package diag

// This file changes the text of a book where a mistake has one sure mend.

import (
	"cmp"
	"slices"
	"strings"

	"ferrule/lang/source"
)

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
