package editor

// This file reads about.txt, what hovers and completion say of properties and words.

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed about.txt
var aboutText string

// aboutTables are the tables of about.txt, by word: what each property is that ferrule knows and how it is measured
// (common practice), and the forms that words have inside clauses. Any other word belongs to the form of its clause.
var aboutTables = sync.OnceValue(func() (tables [2]map[string]string) {
	for i, table := range strings.SplitN(aboutText, "\n\n", 2) {
		tables[i] = map[string]string{}
		for line := range strings.Lines(table) {
			word, says, _ := strings.Cut(strings.TrimSpace(line), ": ")
			tables[i][word] = says
		}
	}
	return tables
})

func aboutProperty(name string) string { return aboutTables()[0][name] }
func wordForm(word string) string      { return aboutTables()[1][word] }
