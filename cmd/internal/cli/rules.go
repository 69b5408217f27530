package cli

// This file loads rule books by the names of the command line.

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// isShipped reports whether a name on the command line is that of a shipped book:
// one without a folder and an ending.
func isShipped(name string) bool {
	return name != stdin && !strings.ContainsAny(name, `/\.`)
}

// roots finds the books of the command line. The error names the one that is not there.
func (s *Streams) roots(names []string) ([]load.Root, error) {
	folders := map[string]*load.Folder{}
	var roots []load.Root
	for _, name := range names {
		root := load.Root{Path: name, Show: name}
		var err error
		if isShipped(name) {
			err = knownBook(name)
		} else {
			err = s.find(&root, folders)
		}
		if err != nil {
			return nil, err
		}
		roots = append(roots, root)
	}
	return roots, nil
}

// find finds the file of a book, or what is handed over in its place. Books of one folder share it.
func (s *Streams) find(r *load.Root, folders map[string]*load.Folder) error {
	text, err := s.handedText(r.Show)
	if err != nil {
		return err
	}
	dir := "."
	if text == nil {
		// A book may be named by a link; what it uses is beside the file itself.
		real, err := filepath.EvalSymlinks(r.Show)
		if err == nil {
			real, err = filepath.Abs(real)
		}
		if err != nil {
			return err
		}
		dir, r.Path = filepath.Dir(real), filepath.Base(real)
		if !fs.ValidPath(r.Path) { // not in UTF-8
			if text, err = s.readBook(r.Show); err != nil {
				return err
			}
		}
	}
	f := folders[dir]
	if f == nil {
		root, err := os.OpenRoot(dir)
		if err != nil {
			return err
		}
		f = s.folder(dir, root.FS())
		folders[dir] = f
	}
	if r.FS = f; text != nil {
		r.Path = "handed-over.ferrule"
		r.FS = f.With(r.Path, text)
	}
	return nil
}

// handedText reads a book that is not an ordinary file; it is nil for one that is.
func (s *Streams) handedText(name string) ([]byte, error) {
	if name != stdin {
		info, err := os.Stat(name)
		if err != nil {
			return nil, err
		}
		if err := readable(name, info.Mode()); err != nil {
			return nil, err
		}
		if info.Mode().IsRegular() {
			return nil, nil
		}
	}
	return s.readBook(name)
}

// knownBook is an error where no book of that name is shipped.
func knownBook(name string) error {
	if name == "" {
		return mistake("a rule book has no name here; name a file or a shipped book", "ferrule books")
	}
	names := rulesets.Names()
	if slices.Contains(names, name) {
		return nil
	}
	near := didYouMean(name, names)
	if _, err := os.Stat(name + ".ferrule"); err == nil {
		near = "; did you mean the file " + diag.Quote(name+".ferrule") + "?"
	}
	return mistake("there is no shipped book "+diag.Quote(name)+near, "ferrule books")
}

// loadBooks loads and checks books with all that they use.
func (s *Streams) loadBooks(names []string) (*load.Loaded, diag.List, error) {
	roots, err := s.roots(names)
	if err != nil {
		return nil, nil, err
	}
	loaded, list := load.Load(rulesets.FS(), roots)
	return loaded, list, nil
}

// rulebooks are the rule books of a check, ready to judge.
type rulebooks = engine.Rulebooks

// openBooks loads the books of a check and shows their mistakes. By is the method of rows that name none, and only are
// the rules that are asked for: they must be known.
func (c *call) openBooks(names []string, by string, only ...string) (*rulebooks, error) {
	roots, err := c.roots(names)
	if err != nil {
		return nil, err
	}
	l, list := engine.Open(roots...)
	if c.diagnose(list, c.colour) {
		return nil, errReported
	}
	if err := knowsRules(only, l.Program); err != nil {
		return nil, err
	}
	c.ofBooks = l.Judging()
	return l, knowsMethod(l.Measuring, by)
}

// booksFor loads the books that a call names, or those that are meant where it names none.
func (c *call) booksFor(shipped string, sheets ...string) (*rulebooks, error) {
	books, err := c.booksOf(shipped, sheets...)
	if err != nil {
		return nil, err
	}
	return c.openBooks(books, c.by, c.only...)
}

// head says by which books and on which day something is worked out.
func (c *call) head(p *judge.Program) *data.Head {
	return &data.Head{Books: p.Books, On: c.day.String(), Program: p}
}

// methodsOf does the same for a command that has to know how clubs are measured.
func (c *call) methodsOf() (*judge.Program, error) {
	l, err := c.booksFor("methods", c.args...)
	if err == nil && len(l.Methods()) == 0 {
		err = mistake("the books do not say how a length is measured; add --rules methods", "ferrule books")
	}
	if err != nil {
		return nil, err
	}
	return l.Program, nil
}
