// Package editors_test writes the files by which editors highlight rule books, from the words of the language, and holds
// the files to them.
package editors_test

//go:generate go test -run TestFilesAreFresh -update

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/decide"
	"ferrule/lang/ast"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

var update = flag.Bool("update", false, "write the files anew")

const (
	grammarFile = "vscode/syntaxes/ferrule.tmLanguage.json"
	vimFile     = "vim/syntax/ferrule.vim"
)

// end is where a word ends.
const end = `(?![a-z0-9-])`

// class is a class of words or signs. Where several fit at one place, the first counts.
type class struct {
	scope   string // TextMate's (macromates.com/en/manual/language_grammars), without ".ferrule" at its end
	vim     string // Vim's group (:help group-name)
	pattern string
	starts  bool   // only at the start of a line
	named   string // the scope of the name after it; "" for none
}

// classes lists them all.
func classes() []class {
	reserved := ast.ReservedWords()
	take := func(words ...string) []string { // out of the reserved words, so that each has one class
		reserved = slices.DeleteFunc(reserved, func(w string) bool { return slices.Contains(words, w) })
		return words
	}
	var clauses, kinds, units, verdicts []string
	for _, d := range ast.DeclarationWords() {
		clauses = append(clauses, ast.ClauseWords(d)...)
	}
	for _, k := range append(catalogue.Kinds(), catalogue.NoKind) {
		name := k.String()
		if k == catalogue.NoKind {
			name = "club"
		}
		kinds = append(kinds, name+"s", name)
	}
	for _, name := range unit.Names() {
		switch name {
		case `"`: // only right behind its number
		case "°", "%":
			units = append(units, name)
		default:
			units = append(units, name+`(?![A-Za-z0-9-])`)
		}
	}
	slices.SortStableFunc(units, func(a, b string) int { return len(b) - len(a) })
	for _, v := range []decide.Verdict{decide.Pass, decide.Fail, decide.TooClose, decide.Unmeasured, decide.Exempt} {
		verdicts = append(verdicts, v.String())
	}
	const vulgar = `[¼-¾⅐-⅞]`
	declaration := func(name string, words ...string) class {
		return class{scope: "keyword.control", vim: "Statement", pattern: oneOf(words), starts: true, named: name}
	}
	return []class{
		{scope: "comment.line.number-sign", vim: "Comment", pattern: `#.*$`},
		{scope: "string.quoted.double", vim: "String", pattern: `"[^"]*(?:"|$)`},
		{scope: "constant.numeric", vim: "Number", pattern: `\d{4}-\d{2}-\d{2}|[A-G]\d+(?:\.\d+)?|` +
			`(?:\d+(?:\s*` + vulgar + `|-` + vulgar + `|(?:\s+|-)\d+/\d+|/\d+|\.\d+)?|` + vulgar + `)(?:"|\s*(?:` +
			strings.Join(units, "|") + `))?`},
		declaration("entity.name.function", "rule", "advice", "waive", "method"),
		declaration("entity.name.type", "group"),
		{scope: "keyword.control", vim: "Statement", pattern: `allowance\s+(?:cap|crown)` + end, starts: true},
		declaration("", ast.DeclarationWords()...),
		{scope: "keyword.control", vim: "Keyword", pattern: `(?:else\s+unless|mend\s+(?:over|under)|stop\s+along\s+axis|` +
			`top\s+at\s+(?:cap\s+edge|cap\s+end|butt))` + end, starts: true},
		{scope: "keyword.control", vim: "Keyword", pattern: oneOf(clauses), starts: true},
		{scope: "constant.language", vim: "Constant", pattern: `(?<=: )` + oneOf(verdicts)},
		{scope: "constant.language", vim: "Constant", pattern: oneOf(verdicts), starts: true}, // on the line below
		{scope: "support.type", vim: "Type", pattern: oneOf(take(kinds...))},
		{scope: "support.variable", vim: "Identifier", pattern: oneOf(take(catalogue.NewSchema().Names()...))},
		{scope: "constant.language", vim: "Constant", pattern: oneOf(take("left", "right", "yes", "no", "today"))},
		{scope: "support.function", vim: "Function", pattern: oneOf(take(append(slices.Clone(ast.OfWords), "abs", "min", "max", "has", "age")...))},
		{scope: "keyword.operator", vim: "Operator", pattern: oneOf(take("and", "or", "not")) + `|\+/-|±|[<>!]=|[-+*/=<>]`},
		{scope: "keyword.other", vim: "Keyword", pattern: oneOf(reserved)},
		{scope: "variable.other", vim: "", pattern: `[a-z][a-z0-9-]*`},
	}
}

// oneOf is the pattern of whole words.
func oneOf(words []string) string {
	words = slices.Clone(words)
	slices.Sort(words)
	words = slices.Compact(words)
	slices.SortStableFunc(words, func(a, b string) int { return len(b) - len(a) })
	return `(?:` + strings.Join(words, "|") + `)` + end
}

// grammar writes the classes as a TextMate grammar.
func grammar(t *testing.T) string {
	var rules []any
	for _, c := range classes() {
		switch {
		case c.named != "":
			rules = append(rules, map[string]any{"match": `^\s*(` + c.pattern + `)\s+([a-z][a-z0-9-]*)`,
				"captures": map[string]any{"1": scope(c.scope), "2": scope(c.named)}})
		case c.starts:
			rules = append(rules, map[string]any{"match": `^\s*(` + c.pattern + `)`, "captures": map[string]any{"1": scope(c.scope)}})
		default:
			rules = append(rules, map[string]any{"match": c.pattern, "name": c.scope + ".ferrule"})
		}
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(map[string]any{"name": "ferrule", "scopeName": "source.ferrule", "fileTypes": []string{"ferrule"},
		"patterns": rules}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func scope(name string) any { return map[string]string{"name": name + ".ferrule"} }

// magic turns a pattern into one of Vim's "very magic" ones.
var magic = strings.NewReplacer(`(?:`, `%(`, end, `[a-z0-9-]@!`, `(?![A-Za-z0-9-])`, `[A-Za-z0-9-]@!`, `(?<=: )`, `%(: )@<=`,
	`=`, `\=`, `<`, `\<`, `>`, `\>`, `%`, `\%`)

// vim writes the classes as a syntax file of Vim, in which the last that fits counts.
func vim() string {
	var b strings.Builder
	b.WriteString("\" Syntax of rule books of ferrule. Made by go generate from the words of the language.\n" +
		"if exists(\"b:current_syntax\")\n  finish\nendif\n\n")
	links := map[string]bool{}
	all := classes()
	for _, c := range slices.Backward(all) {
		at, next := "", ""
		if c.starts {
			at = `^\s*\zs`
		}
		switch c.named {
		case "entity.name.function":
			next = " nextgroup=ferruleFunctionName skipwhite"
		case "entity.name.type":
			next = " nextgroup=ferruleTypeName skipwhite"
		}
		if c.vim == "" {
			c.vim = "Name"
		}
		links[c.vim] = true
		b.WriteString(`syntax match ferrule` + c.vim + ` ;\v` + at + `%(` + magic.Replace(c.pattern) + `);` + next + "\n")
	}
	delete(links, "Name")
	b.WriteString("syntax match ferruleFunctionName ;\\v[a-z][a-z0-9-]*; contained\n" +
		"syntax match ferruleTypeName ;\\v[a-z][a-z0-9-]*; contained\n\n")
	for _, c := range all {
		if links[c.vim] {
			b.WriteString("highlight default link ferrule" + c.vim + " " + c.vim + "\n")
			delete(links, c.vim)
		}
	}
	b.WriteString("highlight default link ferruleFunctionName Function\nhighlight default link ferruleTypeName Type\n" +
		"\nlet b:current_syntax = \"ferrule\"\n")
	return b.String()
}

// The files are as the words of the language have them.
func TestFilesAreFresh(t *testing.T) {
	for name, want := range map[string]string{grammarFile: grammar(t), vimFile: vim()} {
		if *update {
			if err := os.WriteFile(name, []byte(want), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if got, err := os.ReadFile(name); err != nil || string(got) != want {
			t.Errorf("%s is not what the words of the language give; run go generate (%v)", name, err)
		}
	}
}
