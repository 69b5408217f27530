package picture

// This file finds out which words of a page may have to be explained to its reader.

import (
	"bytes"
	_ "embed"
	"slices"
	"strings"

	"ferrule/engine/report/doc"
	"ferrule/lang/book"
)

// The glossary has an entry for each word: the word, what it means, and the marks by which it shows on a page.
//
//go:embed glossary.txt
var glossary string

// Words are words that a page may have to explain, those of the glossary and the names of methods.
type Words []word

type word struct {
	doc.Fact
	marks  []string
	method bool
	used   bool
}

// NewWords returns the words of pages by books.
func NewWords(books []*book.Book) (out Words) {
	for entry := range strings.SplitSeq(strings.TrimSpace(glossary), "\n\n") {
		lines := strings.Split(entry, "\n")
		last := len(lines) - 1
		means := doc.Fact{Label: lines[0], Note: strings.Join(lines[1:last], " ")}
		out = append(out, word{Fact: means, marks: strings.Split(lines[last], " | ")})
	}
	for _, m := range methods(books) {
		out = append(out, word{Fact: m, marks: []string{"by " + m.Label}, method: true})
	}
	return out
}

// See notes which of them are in a part of a page.
func (w Words) See(drawn []byte) {
	for i := range w {
		shown := func(mark string) bool { return bytes.Contains(drawn, []byte(mark)) }
		w[i].used = w[i].used || slices.ContainsFunc(w[i].marks, shown)
	}
}

// Explained are what the words mean that were seen, and what the methods are.
func (w Words) Explained() (means, methods []doc.Fact) {
	for _, one := range w {
		switch {
		case one.used && one.method:
			methods = append(methods, one.Fact)
		case one.used:
			means = append(means, one.Fact)
		}
	}
	return means, methods
}
