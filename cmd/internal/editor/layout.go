package editor

// This file shows how a book is built, and lays it out.

import (
	"slices"
	"strings"

	"ferrule/lang/format"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// declaration is a declaration as it is written, be it right or not: from its word to its last clause.
type declaration struct {
	word  string
	first []parser.Token // of its first line; the second one is its name or what stands for that
	span  source.Span
}

// declarations are those that clauses are of, in their order.
func declarations(clauses []parser.Clause) (all []declaration) {
	for _, c := range clauses {
		switch {
		case c.Declaration == "": // before the first one
		case c.Starts:
			all = append(all, declaration{c.Declaration, c.Tokens, c.Place()})
		default:
			last := &all[len(all)-1]
			last.span = last.span.To(c.Place())
		}
	}
	return all
}

// lines is the declaration with all of its first and its last line.
func (d declaration) lines() source.Span {
	s, text := d.span, d.span.File.Text
	s.Start = strings.LastIndexByte(text[:s.Start], '\n') + 1
	rest, _, _ := strings.Cut(text[s.End:], "\n")
	s.End += len(strings.TrimSuffix(rest, "\r"))
	return s
}

// laidOut is the document as the formatter lays it out; false where it has a mistake.
func (d *document) laidOut() (string, bool) {
	tree, mistakes := parser.Parse(source.NewFile("", d.All))
	if mistakes.HasErrors() {
		return "", false
	}
	return format.Format(tree), true
}

// formatted are the edits that lay a document out; none where it has a mistake.
func formatted(r *request) (any, error) {
	if laid, ok := r.doc.laidOut(); ok {
		return r.doc.edits(laid), nil
	}
	return nil, nil
}

// formattedRange are the edits that lay out the declarations that a range touches.
func formattedRange(r *request) (any, error) {
	laid, _ := r.doc.laidOut()
	before, after := declarations(r.doc.clauses()), declarations(NewText(laid).clauses())
	touched := func(d declaration) bool { return r.Range.touches(r.doc.Range(d.span)) }
	first := slices.IndexFunc(before, touched)
	if first < 0 || len(before) != len(after) {
		return nil, nil
	}
	last := first
	for last+1 < len(before) && touched(before[last+1]) {
		last++
	}
	old, now := before[first].lines().To(before[last].lines()), after[first].lines().To(after[last].lines()).Text()
	if strings.Contains(r.doc.All, "\r\n") {
		now = strings.ReplaceAll(now, "\n", "\r\n")
	}
	return r.doc.edits(old.File.Text[:old.Start] + now + old.File.Text[old.End:]), nil
}

// foldingRange is lines that an editor may hide behind the first of them.
type foldingRange struct {
	StartLine int `json:"startLine"`
	EndLine   int `json:"endLine"`
}

// folds are the declarations of a document, from the first line to the last clause.
func folds(r *request) (any, error) {
	all := []foldingRange{}
	for _, d := range declarations(r.doc.clauses()) {
		if lines := r.doc.Range(d.span); lines.Start.Line < lines.End.Line {
			all = append(all, foldingRange{lines.Start.Line, lines.End.Line})
		}
	}
	return all, nil
}

// symbol is a declaration in the outline of a document.
type symbol struct {
	Name      string `json:"name"`
	Detail    string `json:"detail"`
	Kind      int    `json:"kind"`
	Range     Range  `json:"range"`
	Selection Range  `json:"selectionRange"`
}

// symbolKinds are the numbers that the protocol has for a module, a class, a property and so on, by what is declared.
var symbolKinds = map[string]int{"rulebook": 2, "use": 2, "group": 5, "property": 7, "chart": 18, "let": 13,
	"method": 6, "allowance": 14, "head": 19, "rule": 12, "advice": 12, "waive": 24, "case": 24}

// symbols are the declarations of a document.
func symbols(r *request) (any, error) {
	all := []symbol{}
	for _, d := range declarations(r.doc.clauses()) {
		name, ranged := d.first[min(1, len(d.first)-1)], r.doc.Range
		s := symbol{strings.Trim(name.Text, `"`), d.word, symbolKinds[d.word], ranged(d.span), ranged(name.Span)}
		if s.Name == "" {
			s.Name = d.word
		}
		all = append(all, s)
	}
	return all, nil
}
