package diag

// This file holds the catalogue of codes and the codes of a book's form. Those
// of its meaning are in codes_check.go, those of its analysis in codes_analysis.go.

import (
	"cmp"
	"slices"
	"sync"
)

// Entry explains a code to a clubmaker. Failing is a small book that has just
// this mistake, Mended the same book without it; both are empty for the codes
// of sizes, whose examples would fill pages.
type Entry struct {
	Code    Code
	Title   string // a few words
	Why     string // what the rule is and why it is one, in two to five lines
	Failing string
	Mended  string
}

// catalogue holds every entry, sorted by code.
var catalogue = sync.OnceValue(func() []Entry {
	all := slices.Concat(formEntries(), checkEntries(), analysisEntries())
	slices.SortFunc(all, func(a, b Entry) int { return cmp.Compare(a.Code, b.Code) })
	return all
})

// Explain returns the entry of a code; false where there is no such code.
func Explain(code Code) (Entry, bool) {
	i, ok := slices.BinarySearchFunc(catalogue(), code, func(e Entry, c Code) int { return cmp.Compare(e.Code, c) })
	if !ok {
		return Entry{}, false
	}
	return catalogue()[i], true
}

// Codes lists every code of the catalogue, sorted.
func Codes() []Code {
	codes := make([]Code, 0, len(catalogue()))
	for _, e := range catalogue() {
		codes = append(codes, e.Code)
	}
	return codes
}
