package load

// This file holds folders whose files may have other texts than they were saved with, mends books in them, and adds
// cases to books.

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing/fstest"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// Folder is the folder of a rule book, which its "use" cannot leave. Only ordinary files are opened.
type Folder struct {
	fs.FS
	Texts map[string][]byte                              // what is read in the place of files
	Reads func(name string, info fs.FileInfo, err error) // is called for each file that is opened
}

// With returns the folder with a text in the place of a file.
func (f *Folder) With(name string, text []byte) *Folder {
	return &Folder{FS: f.FS, Texts: map[string][]byte{name: text}, Reads: f.Reads}
}

// Open opens a file of the folder, or what is read in its place.
func (f *Folder) Open(name string) (fs.File, error) {
	if text, ok := f.Texts[name]; ok {
		return fstest.MapFS{name: {Data: text, Mode: 0o444}}.Open(name)
	}
	info, err := fs.Stat(f.FS, name)
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("it is not an ordinary file")}
	}
	file, err := f.FS.Open(name)
	if err == nil {
		info, err = file.Stat()
	}
	f.Reads(name, info, err)
	return file, err
}

// maxRounds bounds how often the books are read again: one mend may uncover the next mistake.
const maxRounds = 20

// Mend makes the changes of text that can mean nothing else, in the Texts of the folders of the roots. It keeps those
// that leave fewer mistakes when the books are read again. It returns the books as they are then, and what was mended
// in each root, by the name that it is shown by.
func Mend(shipped fs.FS, roots []Root) (loaded *Loaded, list diag.List, made map[string]diag.List) {
	loaded, list = Load(shipped, roots)
	made = map[string]diag.List{}
	for changed, round := true, 0; changed && round < maxRounds; round++ {
		changed = false
		for _, r := range roots {
			text, mended := diag.Apply(fileOf(list, r.Show), list)
			if len(mended) == 0 {
				continue
			}
			f := r.FS.(*Folder)
			before, had := f.Texts[r.Path]
			f.Texts[r.Path] = []byte(text)
			again, left := Load(shipped, roots)
			if len(left) >= len(list) {
				if delete(f.Texts, r.Path); had {
					f.Texts[r.Path] = before
				}
				continue
			}
			made[r.Show] = append(made[r.Show], mended...)
			loaded, list, changed = again, left, true
		}
	}
	return loaded, list, made
}

// fileOf is the book of that name that a list is about; nil where it is about none.
func fileOf(list diag.List, name string) *source.File {
	for _, d := range list {
		if f := d.Mend.Span.File; f != nil && f.Name == name {
			return f
		}
	}
	return nil
}

// IsBook reports whether the name of a file is that of a rule book. Hidden files are those of editors.
func IsBook(name string) bool { return path.Ext(name) == extension && !strings.HasPrefix(name, ".") }

// Unused returns the rule books right in the folder that no other one there uses, or all of them where each is used.
func (f *Folder) Unused() ([]string, error) {
	entries, _ := fs.ReadDir(f.FS, ".") // where there is no folder there is no book
	var all []string
	used := map[string]bool{}
	for _, e := range entries {
		info, err := fs.Stat(f.FS, e.Name())
		if !IsBook(e.Name()) || err != nil || !info.Mode().IsRegular() {
			continue
		}
		all = append(all, e.Name())
		text, err := fs.ReadFile(f, e.Name())
		if err != nil {
			return nil, err
		}
		tree, _ := parser.Parse(source.NewFile(e.Name(), string(text)))
		for _, d := range tree.Decls {
			if use, ok := d.(*ast.Use); ok && use.Path != nil && path.Clean(use.Path.Value) != e.Name() {
				used[path.Clean(use.Path.Value)] = true
			}
		}
	}
	if free := slices.DeleteFunc(slices.Clone(all), func(name string) bool { return used[name] }); len(free) > 0 {
		return free, nil
	}
	return all, nil
}

// Case formats the text of a case. It is "" where the text is not a case without a mistake.
func Case(text string) string {
	tree, mistakes := parser.Parse(source.NewFile("case", text))
	if mistakes.HasErrors() {
		return ""
	}
	return format.Format(tree)
}

// WithCases is the text of a book with cases behind it, laid out, in the line ends of the book.
func WithCases(old string, cases ...string) string {
	added := ""
	for _, c := range cases {
		added += "\n" + Case(c)
	}
	if old != "" && !strings.HasSuffix(old, "\n") {
		added = "\n" + added
	}
	if strings.Contains(old, "\r\n") {
		added = strings.ReplaceAll(added, "\n", "\r\n")
	}
	return old + added
}
