package load

// This file adds cases to the text of a book.

import (
	"strings"

	"ferrule/lang/format"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// Case formats the text of a case. It is "" where the text is not a case without a mistake.
func Case(text string) string {
	tree, mistakes := parser.Parse(source.NewFile("case", text))
	if mistakes.HasErrors() {
		return ""
	}
	return format.Format(tree)
}

// WithCases is the text of a book with cases behind it, laid out, in the line ends of the book.
func WithCases(old string, cases ...string) string {
	added := ""
	for _, c := range cases {
		added += "\n" + Case(c)
	}
	if old != "" && !strings.HasSuffix(old, "\n") {
		added = "\n" + added
	}
	if strings.Contains(old, "\r\n") {
		added = strings.ReplaceAll(added, "\n", "\r\n")
	}
	return old + added
}
