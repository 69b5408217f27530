package editor

// This file finds where names are declared and used, and renames them, in all books of a folder.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

// named returns the name of the book at a place, with where it is declared.
func (b *books) named(offset int) (n book.Named, ok bool) {
	all := b.Root().Info.Named
	i := slices.IndexFunc(all, func(n book.Named) bool {
		return n.At.File == b.Root().File && n.At.Start <= offset && offset <= n.At.End
	})
	if i < 0 {
		return n, false
	}
	return all[i], true
}

// shipped reports whether a file is a shipped book, whose text has no place.
func shipped(b *load.Loaded, f *source.File) bool {
	return slices.ContainsFunc(b.All, func(b *book.Book) bool { return b.File == f && b.Shipped })
}

// definition is where the name at a place is declared, or the file that "use" brings in.
func definition(r *request) (any, error) {
	b, offset := r.doc.Books(), r.doc.Offset(r.Position)
	at := source.Span{}
	if n, ok := b.named(offset); ok {
		at = n.Declared
	}
	for _, u := range b.Root().Uses {
		if p := u.Decl.Path; p != nil && p.Span.Start <= offset && offset <= p.Span.End {
			at = source.Span{File: u.Book.File}
		}
	}
	if at.IsZero() || shipped(b.Loaded, at.File) {
		return nil, nil
	}
	l, _ := r.doc.Location(at)
	return l, nil
}

// everyFile is how many files of a folder are looked at for books.
const everyFile = 20_000

// folderBooks are the books of a folder and below, each read by itself, by their names.
type folderBooks struct {
	folder   *load.Folder
	names    []string
	loaded   map[string]*load.Loaded
	mistakes map[string]diag.List
}

// bookNames are the names of all books of a folder and below, sorted.
func bookNames(folder *load.Folder) ([]string, error) {
	names, seen := map[string]bool{}, 0
	for name := range folder.Texts {
		names[name] = true
	}
	err := fs.WalkDir(folder.FS, ".", func(name string, e fs.DirEntry, err error) error {
		switch seen++; {
		case seen > everyFile:
			return errors.New("there are too many files below this folder to look for the name in all of them")
		case err != nil || e.IsDir() && name != "." && strings.HasPrefix(e.Name(), "."):
			return fs.SkipDir
		case load.IsBook(e.Name()) && e.Type().IsRegular():
			names[name] = true
		}
		return nil
	})
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrInvalid) {
		err = nil // a text that was never saved
	}
	return slices.Sorted(maps.Keys(names)), err
}

// widest is the document as one of the outermost folder that the client has open and it is in, since a book further up
// may use it; of its own folder where there is none.
func (r *request) widest() *document {
	d := r.doc
	for _, uri := range r.roots {
		root := opened(uri, 0, nil)
		dir := root.Dir + root.Name + string(filepath.Separator)
		if name, ok := r.doc.within(dir); ok && root.Name != "" && len(name) > len(d.Name) {
			o := *r.doc.open
			o.Dir, o.Name = dir, name
			d = &document{open: &o, beside: r.doc.beside, disk: r.doc.disk}
		}
	}
	return d
}

// readAll reads all books of a folder and below.
func readAll(ctx context.Context, folder *load.Folder) (*folderBooks, error) {
	names, err := bookNames(folder)
	all := &folderBooks{folder: folder, names: names, loaded: map[string]*load.Loaded{},
		mistakes: map[string]diag.List{}}
	for _, name := range all.names {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		root := load.Root{FS: folder, Path: name, Show: name}
		all.loaded[name], all.mistakes[name] = load.Load(rulesets.FS(), []load.Root{root})
	}
	return all, err
}

// spot is a place in a file of a folder, however often the file was read.
type spot struct {
	file       string // its name, or that of a shipped book
	shipped    bool
	start, end int
}

func spotOf(b *load.Loaded, s source.Span) spot {
	return spot{s.File.Name, shipped(b, s.File), s.Start, s.End}
}

// place is where a name is written, and whether it is declared there.
type place struct {
	source.Span
	declared bool
}

// meaning returns every place of the name at a spot in the order of the files, and whether a shipped book declares it.
func (f *folderBooks) meaning(at spot) (all []place, shipped bool) {
	links, places := map[spot][]spot{}, map[spot]place{}
	for _, l := range f.loaded {
		for _, b := range l.All {
			for _, n := range b.Info.Named {
				a, d := spotOf(l, n.At), spotOf(l, n.Declared)
				links[a], links[d] = append(links[a], d), append(links[d], a)
				places[a] = place{n.At, places[a].declared}
				places[d] = place{n.Declared, true}
			}
		}
	}
	found := map[spot]bool{}
	for todo := []spot{at}; len(todo) > 0; todo = todo[1:] {
		if s := todo[0]; !found[s] && len(links[s]) > 0 {
			found[s] = true
			todo = append(todo, links[s]...)
		}
	}
	for s := range found {
		if shipped = shipped || s.shipped; !s.shipped {
			all = append(all, places[s])
		}
	}
	slices.SortFunc(all, func(a, b place) int {
		return diag.Compare(diag.Diagnostic{Span: a.Span}, diag.Diagnostic{Span: b.Span})
	})
	return all, shipped
}

// references are the places of the name at a place.
func references(r *request) (any, error) {
	d := r.widest()
	b := d.Books()
	n, ok := b.named(d.Offset(r.Position))
	if !ok {
		return nil, nil
	}
	folder, opened := d.Folder()
	defer opened.Close()
	all, err := readAll(r.ctx, folder)
	if err != nil {
		return nil, err
	}
	out := []Location{}
	places, _ := all.meaning(spotOf(b.Loaded, n.Declared))
	for _, p := range places {
		if r.Context.IncludeDeclaration || !p.declared {
			at, _ := d.Location(p.Span)
			out = append(out, at)
		}
	}
	return out, nil
}

// renamable returns the name at a place, or why there is none that can have another name.
func (d *document) renamable(offset int) (book.Named, error) {
	b := d.Books()
	n, ok := b.named(offset)
	c, i, some := clauseAt(d.clauses(), offset)
	known := slices.ContainsFunc(b.Root().Properties, func(p *book.Property) bool {
		return p.Decl.Name.Span == n.Declared && p.Of.ID < catalogue.KnownProperties
	})
	switch {
	case ok && shipped(b.Loaded, n.Declared.File):
		return n, inShipped(n.At.Text(), "the shipped book "+n.Declared.File.Name)
	case ok && !known:
		return n, nil
	case !some || c.Tokens[i].Kind != parser.Word:
		return n, errors.New("there is no name here")
	}
	what := "not a name that a book declares"
	switch word := c.Tokens[i].Text; {
	case catalogue.KindOf(word) != catalogue.NoKind:
		what = "a kind of club"
	case slices.Contains(catalogue.NewSchema().Names(), word):
		what = "a property that ferrule knows"
	case slices.Contains(rulesets.Names(), word):
		what = "a shipped book"
	case slices.Contains(ast.ReservedWords(), word):
		what = "a word of the language"
	}
	return n, errors.New(c.Tokens[i].Text + " is " + what)
}

func inShipped(name, book string) error {
	return fmt.Errorf("%s is declared in %s, which cannot be changed", name, book)
}

// prepareRename is the name at a place that can have another; none where it cannot.
func prepareRename(r *request) (any, error) {
	n, err := r.doc.renamable(r.doc.Offset(r.Position))
	if err != nil {
		return nil, nil
	}
	return map[string]any{"range": r.doc.Range(n.At), "placeholder": n.At.Text()}, nil
}

var nameForm = regexp.MustCompile(`^[a-z]([a-z0-9-]*[a-z0-9])?$`)

// rename gives the name at a place another one, in all books of the folder.
func rename(r *request) (any, error) {
	d := r.widest()
	n, err := d.renamable(d.Offset(r.Position))
	if err != nil {
		return nil, err
	}
	if !nameForm.MatchString(r.NewName) {
		return nil, fmt.Errorf("%s is not a name; expected a letter, then letters, digits and hyphens, all in "+
			"lower case", diag.Quote(r.NewName))
	}
	folder, opened := d.Folder()
	defer opened.Close()
	all, err := readAll(r.ctx, folder)
	if err != nil {
		return nil, err
	}
	places, too := all.meaning(spotOf(d.Books().Loaded, n.Declared))
	if too { // one column of the sheet
		return nil, inShipped(n.At.Text(), "a shipped book, too")
	}
	if err := cmp.Or(all.doubtful(n.At.Text()), all.clash(r.ctx, places, r.NewName)); err != nil {
		return nil, err
	}
	edit := WorkspaceEdit{Changes: map[string][]TextEdit{}}
	for _, p := range places {
		at, _ := d.Location(p.Span)
		edit.Changes[at.URI] = append(edit.Changes[at.URI], TextEdit{at.Range, r.NewName})
	}
	return edit, nil
}

// doubtful says where a book with mistakes has the word of a name, so that nobody can tell what it means there; nil
// where none has.
func (f *folderBooks) doubtful(word string) error {
	for _, name := range f.names {
		root := f.loaded[name].Roots[0]
		if !f.mistakes[name].HasErrors() {
			continue
		}
		for _, t := range tokens(root.File) {
			known := slices.ContainsFunc(root.Info.Named, func(n book.Named) bool { return n.At == t.Span })
			if t.Kind == parser.Word && t.Text == word && !known {
				return fmt.Errorf("%s has mistakes, so it is not known what %s means in line %d; mend them first",
					path.Base(name), word, t.Span.Line())
			}
		}
	}
	return nil
}

// clash says why names at some places cannot be called otherwise; nil where they can. It reads the books as they would
// be then.
func (f *folderBooks) clash(ctx context.Context, places []place, name string) error {
	texts := map[string][]byte{}
	for _, s := range slices.Backward(places) { // from the end, so that places before it stay
		text, ok := texts[s.File.Name]
		if !ok {
			text = []byte(s.File.Text)
		}
		texts[s.File.Name] = slices.Concat(text[:s.Start], []byte(name), text[s.End:])
	}
	for name, text := range f.folder.Texts {
		if texts[name] == nil {
			texts[name] = text
		}
	}
	then, err := readAll(ctx, &load.Folder{FS: f.folder.FS, Texts: texts, Reads: f.folder.Reads})
	if err != nil {
		return err
	}
	for _, root := range f.names {
		said := map[string]bool{}
		for _, m := range f.mistakes[root] {
			said[fmt.Sprint(m.Code, m.Span.File.Name, m.Span.Line())] = true
		}
		for _, m := range then.mistakes[root] {
			if m.Severity == diag.Error && !said[fmt.Sprint(m.Code, m.Span.File.Name, m.Span.Line())] {
				return fmt.Errorf("%s, line %d: %s", path.Base(m.Span.File.Name), m.Span.Line(), m.Message)
			}
		}
	}
	return nil
}

// tokens are those of a file.
func tokens(f *source.File) []parser.Token {
	return slices.Concat(lists.Each(parser.Clauses(f), func(c parser.Clause) []parser.Token { return c.Tokens })...)
}
