package editor

// This file shows how a book is built, and lays it out.

import (
	"cmp"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/format"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// file is the document as a text to parse.
func (d *document) file() *source.File { return source.NewFile(d.show(), d.All) }

// formatted are the edits that lay a document out; none where it has a mistake.
func formatted(r *request) (any, error) {
	tree, mistakes := parser.Parse(r.doc.file())
	if mistakes.HasErrors() {
		return nil, nil
	}
	return r.doc.edits(format.Format(tree)), nil
}

// formattedRange are the edits that lay out the declarations that a range touches.
func formattedRange(r *request) (any, error) {
	d := r.doc
	tree, mistakes := parser.Parse(d.file())
	if mistakes.HasErrors() {
		return nil, nil
	}
	laid, _ := parser.Parse(source.NewFile(d.show(), format.Format(tree)))
	before, after := declared(tree), declared(laid)
	touched := func(s source.Span) bool {
		lines := d.Range(s)
		return lines.Start.Line <= r.Range.End.Line && lines.End.Line >= r.Range.Start.Line
	}
	first := slices.IndexFunc(before, touched)
	if first < 0 || len(before) != len(after) {
		return nil, nil
	}
	last := first
	for last+1 < len(before) && touched(before[last+1]) {
		last++
	}
	old, now := before[first].To(before[last]), after[first].To(after[last]).Text()
	if strings.Contains(d.All, "\r\n") {
		now = strings.ReplaceAll(now, "\n", "\r\n")
	}
	text := old.File.Text
	return d.edits(text[:old.Start] + now + text[old.End:]), nil
}

// declared are the whole lines of the declarations of a book, which start a line.
func declared(b *ast.Book) (all []source.Span) {
	add := func(s source.Span) {
		text := b.File.Text
		s.Start = strings.LastIndexByte(text[:s.Start], '\n') + 1
		if line := strings.IndexByte(text[s.End:], '\n'); line >= 0 {
			s.End += len(strings.TrimSuffix(text[s.End:s.End+line], "\r"))
		} else {
			s.End = len(text)
		}
		all = append(all, s)
	}
	if b.Header != nil {
		add(b.Header.Span)
	}
	for _, d := range b.Decls {
		add(d.Place())
	}
	return all
}

// foldingRange is lines that an editor may hide behind the first of them.
type foldingRange struct {
	StartLine int `json:"startLine"`
	EndLine   int `json:"endLine"`
}

// folds are the declarations of a document, from the first line to the last clause.
func folds(r *request) (any, error) {
	all, open := []foldingRange{}, false
	for _, c := range parser.Clauses(r.doc.file()) {
		lines := r.doc.Range(c.Place())
		switch {
		case c.Starts:
			all = append(all, foldingRange{lines.Start.Line, lines.End.Line})
			open = c.Declaration != ""
		case open:
			all[len(all)-1].EndLine = lines.End.Line
		}
	}
	return slices.DeleteFunc(all, func(f foldingRange) bool { return f.StartLine == f.EndLine }), nil
}

// symbol is a declaration in the outline of a document.
type symbol struct {
	Name      string `json:"name"`
	Detail    string `json:"detail,omitempty"`
	Kind      int    `json:"kind"`
	Range     Range  `json:"range"`
	Selection Range  `json:"selectionRange"`
}

// The kinds of symbols that the protocol has and books need.
const (
	moduleSymbol   = 2
	classSymbol    = 5
	methodSymbol   = 6
	propertySymbol = 7
	functionSymbol = 12
	variableSymbol = 13
	constantSymbol = 14
	arraySymbol    = 18
	objectSymbol   = 19
	eventSymbol    = 24
)

// symbols are the declarations of a document.
func symbols(r *request) (any, error) {
	all := []symbol{}
	tree := r.doc.Books().Root().Tree
	decls := tree.Decls
	if tree.Header != nil {
		decls = slices.Insert(slices.Clone(decls), 0, ast.Decl(tree.Header))
	}
	for _, decl := range decls {
		name, kind := ast.Name{}, constantSymbol
		title := func(t *ast.Text) {
			if t != nil {
				name = ast.Name{Span: t.Span, Text: t.Value}
			}
		}
		switch d := decl.(type) {
		case *ast.Header:
			kind = moduleSymbol
			title(d.Title)
		case *ast.Use:
			kind = moduleSymbol
			if title(d.Path); d.Shipped != nil {
				name = *d.Shipped
			}
		case *ast.Group:
			name, kind = d.Name, classSymbol
		case *ast.Property:
			name, kind = d.Name, propertySymbol
		case *ast.Chart:
			name, kind = d.Name, arraySymbol
		case *ast.Let:
			name, kind = d.Name, variableSymbol
		case *ast.Method:
			name, kind = d.Name, methodSymbol
		case *ast.Allowance:
			name = d.Of
		case *ast.Head:
			kind = objectSymbol
		case *ast.Rule:
			name, kind = d.Name, functionSymbol
		case *ast.Waive:
			name, kind = d.Rule, eventSymbol
		case *ast.Case:
			kind = eventSymbol
			title(d.Title)
		}
		place := decl.Place()
		line, _, _ := strings.Cut(place.Text(), "\n")
		word, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		s := symbol{Name: cmp.Or(name.Text, rest, word), Detail: word, Kind: kind, Range: r.doc.Range(place)}
		if s.Selection = s.Range; !name.Span.IsZero() {
			s.Selection = r.doc.Range(name.Span)
		}
		all = append(all, s)
	}
	return all, nil
}
