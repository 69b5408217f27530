package load_test

import (
	"strings"
	"testing"

	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/load"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
	"ferrule/rulesets"
)

// Every word of the shipped books that is not one of the language is a name whose declaration is known, but for the ids
// and the verdicts of cases.
func TestNamedKnowsEveryName(t *testing.T) {
	words := map[string]bool{"edge": true, "end": true, "axis": true, "crown": true, "cap": true, "butt": true, "over": true,
		"under": true}
	for _, w := range append(ast.ReservedWords(), append(catalogue.NewSchema().Names(), catalogue.SortNames()...)...) {
		words[w] = true
	}
	for _, d := range ast.DeclarationWords() {
		for _, w := range ast.ClauseWords(d) {
			words[w] = true
		}
	}
	seen := 0
	for _, name := range rulesets.Names() {
		loaded, list := load.Load(rulesets.FS(), []load.Root{{Path: name, Show: name}})
		if list.HasErrors() {
			t.Fatal(list)
		}
		b := loaded.Roots[0]
		named := map[source.Span]bool{}
		for _, n := range b.Info.Named {
			named[n.At] = true
			if n.At.Text() != n.Declared.Text() {
				t.Errorf("%s: %s is said to be %s", name, n.At.Text(), n.Declared.Text())
			}
		}
		for _, c := range parser.Clauses(b.File) {
			word := c.Tokens[0].Text
			for _, tok := range c.Tokens {
				kind := strings.TrimSuffix(tok.Text, "s")
				if tok.Kind != parser.Word || words[tok.Text] || catalogue.KindOf(kind) != 0 || unit.Lookup(tok.Text) != nil ||
					c.Declaration == "case" && !named[tok.Span] && (word == "club" || word == "order" || word == "set" || word == "expect" && tok != c.Tokens[1]) ||
					word == "use" && tok == c.Tokens[1] {
					continue
				}
				if seen++; !named[tok.Span] {
					t.Errorf("%s, line %d: nothing is known of %s in %q", name, tok.Span.Line(), tok.Text, c.Place().OneLine())
				}
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d names were looked at", seen)
	}
}
