package cli

// This file says what the names on the command line mean: patterns, folders of rule books, and the book that is meant
// where none is named.

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/lang/unit"
)

// bookEnding is the ending of the file of a rule book.
const bookEnding = ".ferrule"

// takes says what a command takes behind its name.
type takes struct {
	least, most int
	what        string
	find        func([]string) ([]string, error) // what the words mean; nil: they are taken as they are
}

// many is more than any call has.
const many = 1 << 30

// words are the words behind the name of a command as they are meant.
func (t takes) words(name string, args []string) ([]string, error) {
	if t.find != nil {
		var err error
		if args, err = t.find(args); err != nil {
			return nil, err
		}
	}
	switch {
	case len(args) < t.least:
		return nil, mistake(name+" needs "+t.what, "ferrule help "+name)
	case len(args) > t.most:
		return nil, mistake(name+" takes "+t.what+", not "+diag.Quote(args[t.most])+" as well", "ferrule help "+name)
	}
	return args, nil
}

// bookFiles finds rule books, each once: a name may be a pattern, or a folder, which means every book below it.
func bookFiles(args []string) ([]string, error) {
	names, err := expanded(args)
	if err == nil {
		names, err = booksBelow(names)
	}
	var out []string
	var files []fs.FileInfo
	for _, name := range names {
		info, err := os.Stat(name)
		isFile := err == nil && !isShipped(name)
		same := func(f fs.FileInfo) bool { return os.SameFile(f, info) }
		if isFile && slices.ContainsFunc(files, same) || slices.Contains(out, name) {
			continue
		}
		if out = append(out, name); isFile {
			files = append(files, info)
		}
	}
	return out, err
}

// expanded puts the files that a pattern fits in its place, as some shells do and others leave to the program. A
// pattern is a name that holds a wildcard and is not that of a file.
func expanded(names []string) ([]string, error) {
	var out []string
	for _, name := range names {
		file := cells.FileOf(name)
		if _, err := os.Lstat(file); err == nil || !strings.ContainsAny(file, "*?[") {
			out = append(out, name)
			continue
		}
		found, err := filepath.Glob(file)
		if err != nil || len(found) == 0 {
			return nil, mistake("no file fits the pattern " + diag.Quote(file))
		}
		out = append(out, lists.Each(found, func(f string) string { return f + strings.TrimPrefix(name, file) })...)
	}
	return out, nil
}

// booksBelow puts the rule books below a folder in its place, those of hidden folders left out.
func booksBelow(names []string) ([]string, error) {
	var out []string
	for _, name := range names {
		if info, err := os.Stat(name); err != nil || !info.IsDir() || isShipped(name) && knownBook(name) == nil {
			out = append(out, name)
			continue
		}
		before := len(out)
		if err := filepath.WalkDir(name, func(at string, d fs.DirEntry, err error) error {
			switch hidden := strings.HasPrefix(d.Name(), ".") && at != name; {
			case err != nil:
				return err
			case d.IsDir() && hidden:
				return fs.SkipDir
			case !d.IsDir() && load.IsBook(d.Name()):
				out = append(out, at)
			}
			return nil
		}); err != nil {
			return nil, err
		}
		if len(out) == before {
			return nil, mistake("there is no rule book (*" + bookEnding + ") in the folder " + diag.Quote(name))
		}
	}
	return out, nil
}

// booksOf finds the rule books of a call: those that it names, else the one in the folder of the sheets that no other
// one there uses, else a shipped one. The report and the error stream say what was chosen for a call that names none.
func (c *call) booksOf(shipped string, sheets ...string) ([]string, error) {
	if len(c.rules) > 0 {
		return expanded(c.rules)
	}
	var dirs, books []string
	where := "beside " + diag.Visible(unit.Listed(sheets, "and"))
	for _, name := range sheets {
		if file := cells.FileOf(name); file == stdin {
			dirs, where = append(dirs, "."), "in this folder"
		} else {
			dirs = append(dirs, filepath.Dir(file))
		}
	}
	slices.Sort(dirs)
	for _, dir := range slices.Compact(dirs) {
		found, err := c.folder(dir, os.DirFS(dir)).Unused()
		if err != nil {
			return nil, err
		}
		books = append(books, lists.Each(found, func(name string) string { return filepath.Join(dir, name) })...)
	}
	switch len(books) {
	case 0:
		c.chose = "No --rules, and no rule book " + where + ": used the shipped book " + shipped + "."
		return []string{shipped}, nil
	case 1:
		c.chose = "No --rules: used " + diag.Visible(books[0]) + ", the rule book " + where + "."
		return books, nil
	}
	return nil, mistake("there is more than one rule book " + where + ": " + diag.Visible(unit.Listed(books, "and")) +
		"; say which with --rules")
}
