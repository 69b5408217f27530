package ast

import (
	"slices"
	"testing"
)

// TestWords checks what the parser and the checker count on.
func TestWords(t *testing.T) {
	reserved := ReservedWords()
	if !slices.IsSorted(reserved) || len(slices.Compact(slices.Clone(reserved))) != len(reserved) {
		t.Errorf("reserved words are out of order or stand twice: %v", reserved)
	}
	for _, d := range DeclarationWords() {
		if !slices.Contains(reserved, d) || !IsDeclarationWord(d) || IsClauseWord(d) {
			t.Errorf("%s is not told apart as the word of a declaration", d)
		}
		for _, c := range ClauseWords(d) {
			open := slices.Contains(openWords, c)
			if slices.Contains(reserved, c) == open || IsClauseWord(c) == open || IsDeclarationWord(c) {
				t.Errorf("%s is not told apart as the word of a clause", c)
			}
		}
	}
	if got := ClauseWords("let"); len(got) > 0 {
		t.Errorf("a let has clauses: %v", got)
	}
	ClauseWords("rule")[0] = "changed"
	if ClauseWords("rule")[0] != "for" {
		t.Error("a caller can change the words")
	}
	// The words that the language's page lists by name.
	for _, w := range []string{"by", "of", "per", "at", "is", "in", "to", "among", "between", "within", "allowing", "where", "except", "and", "or", "not", "if",
		"then", "else", "first", "second", "readings", "set", "club"} {
		if !slices.Contains(reserved, w) {
			t.Errorf("%s is not reserved", w)
		}
	}
}
