// Package load turns rule books, named by files or by the names of shipped ones, into
// checked books with all that they use. It reads from an fs.FS and never from the
// machine itself: a book can use files of its own folder and of the folders below, and
// shipped books, and nothing else. What must not be reached by a link is for the caller's FS to
// refuse; that refusal is reported in plain words.
package load

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/diag"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// Root is a book to load.
type Root struct {
	FS   fs.FS  // holds the book and what it may use; nil for a shipped book
	Path string // in FS, with "/" between folders; the name of a shipped book
	Show string // the name as reports show it; two roots of one Show are one book

	Spare bool // it is left out, without a place in Loaded, where a book before it has a method or a mistake
}

// Loaded is what Load found.
type Loaded struct {
	Roots  []*book.Book // one for each root not left out, in order; an empty book for one that could not be read
	All    []*book.Book // every book that was read, once, used before using
	Schema *catalogue.Schema
}

// extension is the ending of a book's file.
const extension = ".ferrule"

// maxUsed bounds how many books may be used, and with it how deep.
const maxUsed = 64

// Load reads, parses and checks books with all that they use. Shipped holds the shipped
// books as NAME.ferrule; nil for none. The mistakes of all books come in one list, sorted by file.
func Load(shipped fs.FS, roots []Root) (*Loaded, diag.List) {
	l := &loader{shipped: shipped, books: map[string]*loading{}, declared: map[string][]*book.Property{},
		out: &Loaded{Schema: catalogue.NewSchema()}}
	measures := func(b *book.Book) bool { return len(b.Methods) > 0 }
	for _, r := range roots {
		if r.Spare && (l.list.HasErrors() || slices.ContainsFunc(l.out.All, measures)) {
			continue
		}
		b := l.load(r, nil)
		if b == nil {
			b = &book.Book{File: source.NewFile(r.Show, ""), Name: r.Show, Shipped: r.shipped(), Tree: &ast.Book{},
				Info: &book.Info{}}
		}
		l.out.Roots = append(l.out.Roots, b)
	}
	l.oneMethodEach()
	l.list.Sort()
	return l.out, l.list
}

type loader struct {
	shipped  fs.FS
	books    map[string]*loading // by key
	stack    []*loading          // being loaded, the root first
	used     int
	declared map[string][]*book.Property
	list     diag.List
	out      *Loaded
}

func (r Root) shipped() bool { return r.FS == nil }

// key is the same for two ways to one book.
func (r Root) key() string {
	if r.shipped() {
		return "shipped " + r.Path
	}
	return "file " + path.Clean(strings.ReplaceAll(r.Show, `\`, "/"))
}

// loading is a book on its way.
type loading struct {
	Root
	checked *book.Book // nil where it could not be read, or is not done
	done    bool
}

// load loads a book, if it was not loaded before. use is the declaration that
// brings it in, nil for a root. It returns nil where the book could not be read, which is
// reported.
func (l *loader) load(r Root, use *ast.Use) *book.Book {
	b := l.books[r.key()]
	if b != nil {
		if !b.done {
			l.ring(b, use)
		}
		return b.checked
	}
	b = &loading{Root: r}
	l.books[r.key()] = b
	if use != nil {
		if l.used++; l.used > maxUsed {
			if b.done = true; l.used == maxUsed+1 { // said once
				l.wrong(diag.TooManyBooks, use.Span, fmt.Sprintf("at most %d used books", maxUsed),
					fmt.Sprintf("this is the %dth book to be used", l.used))
			}
			return nil
		}
	}
	text, wrong := l.read(r)
	if wrong != nil {
		b.done = true
		l.unread(r, use, *wrong)
		return nil
	}
	tree, list := parser.Parse(source.NewFile(r.Show, text))
	l.list = append(l.list, list...)
	if tree.Newer() {
		b.done = true
		return nil // what it means is not known
	}
	l.stack = append(l.stack, b)
	// Used books first, so that their properties are declared before this one's.
	found := map[*ast.Use]*book.Book{}
	for _, d := range tree.Decls {
		if u, ok := d.(*ast.Use); ok && !u.Broken {
			found[u] = l.use(r, u)
		}
	}
	l.stack = l.stack[:len(l.stack)-1]
	checked, list := check.Check(tree, check.Options{
		Name: r.Show, Shipped: r.shipped(), Schema: l.out.Schema, Declared: l.declared, Mistakes: list,
		Use: func(u *ast.Use) (*book.Book, bool) { return found[u], found[u] != nil },
	})
	l.list = append(l.list, list...)
	b.checked, b.done = checked, true
	l.out.All = append(l.out.All, checked)
	return checked
}

// use loads the book that a declaration brings in.
func (l *loader) use(from Root, u *ast.Use) *book.Book {
	if u.Shipped != nil {
		return l.load(Root{Path: u.Shipped.Text, Show: u.Shipped.Text}, u)
	}
	name := u.Path.Value
	switch why := outside(name); {
	case from.shipped():
		l.wrong(diag.OutsideFolder, u.Path.Span, "the name of a shipped book", "a shipped book uses shipped books only")
		return nil
	case why != "":
		l.wrong(diag.OutsideFolder, u.Path.Span,
			`a file in the folder of this book or below it, as in use "house.ferrule"`, diag.Quote(name)+" "+why)
		return nil
	}
	show := from.Show
	dir := show[:strings.LastIndexAny(show, `/\`)+1]
	return l.load(Root{FS: from.FS, Path: path.Join(path.Dir(from.Path), name), Show: dir + path.Clean(name)}, u)
}

// outside says why the name of a file cannot be in the book's folder; "" where it can.
func outside(name string) string {
	switch {
	case name == "":
		return "does not name a file"
	case strings.Contains(name, `\`):
		return `has a "\" in it; separate folders with "/"`
	case strings.HasPrefix(name, "/"):
		return "starts at the top of the disk, outside the book's folder"
	case len(name) > 1 && name[1] == ':':
		return "starts with a drive, outside the book's folder"
	}
	if slices.Contains(strings.Split(name, "/"), "..") {
		return "leads out of the book's folder"
	}
	if !fs.ValidPath(path.Clean(name)) || path.Clean(name) == "." {
		return "is not the name of a file"
	}
	return ""
}

// ring reports a book that uses itself, by whatever way.
func (l *loader) ring(b *loading, use *ast.Use) {
	ring := l.stack[slices.Index(l.stack, b):]
	message := b.Show + " uses itself"
	if len(ring) > 1 {
		message = "books use each other in a ring: " + b.Show
		for _, s := range ring[1:] {
			message += " uses " + s.Show + ", which"
		}
		message += " uses " + b.Show
	}
	l.wrong(diag.RingOfBooks, use.Span, "books that do not use each other in a ring", message)
}

func (l *loader) wrong(code diag.Code, at source.Span, expected, message string) {
	l.list.Add(diag.Diagnostic{Code: code, Severity: diag.Error, Span: at, Message: message, Expected: expected})
}

// oneMethodEach reports unlike methods of one name in two books: a sheet that names the
// method could mean either.
func (l *loader) oneMethodEach() {
	first, keys := map[string]*book.Method{}, book.NewKeys(false)
	for _, b := range l.out.All {
		for _, m := range b.Methods {
			name := m.Decl.Name.Text
			before := first[name]
			if before == nil {
				first[name] = m
				continue
			}
			if usesDirectly(b, before.Book) || keys.Method(m) == keys.Method(before) {
				continue // the former was said when the book was checked
			}
			l.list.Add(diag.Diagnostic{Code: diag.RepeatedName, Severity: diag.Error, Span: m.Decl.Name.Span,
				Message: fmt.Sprintf("the method %s is declared here and differently in %s, and a sheet that names "+
					"it could mean either", name, before.Book.Name),
				Expected: "another name", Related: []diag.Label{{Span: before.Decl.Name.Span,
					Text: "the method " + name + " is declared here"}}})
		}
	}
}

func usesDirectly(b, other *book.Book) bool {
	return b == other || slices.ContainsFunc(b.Uses, func(u book.Use) bool { return u.Book == other })
}
