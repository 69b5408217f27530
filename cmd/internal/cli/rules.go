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
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// isShipped reports whether a name on the command line is that of a shipped book:
// one without a folder and an ending.
func isShipped(name string) bool {
	return name != stdin && !strings.ContainsAny(name, `/\.`)
}

// roots finds the books of the command line. The error names the one that is not
// there.
func (s *Streams) roots(names []string) ([]load.Root, error) {
	folders := map[string]*load.Folder{}
	var roots []load.Root
	for _, name := range names {
		switch {
		case name == "":
			return nil, mistake("a rule book has no name here; name a file or a shipped book", "ferrule books")
		case isShipped(name):
			if err := knownBook(name); err != nil {
				return nil, err
			}
			roots = append(roots, load.Root{Path: name, Show: name})
			continue
		}
		text, err := s.handedText(name)
		if err != nil {
			return nil, err
		}
		dir, file := ".", ""
		if text == nil {
			// A book may be named by a link; what it uses stands beside the file itself.
			real, err := filepath.EvalSymlinks(name)
			if err != nil {
				return nil, err
			}
			if real, err = filepath.Abs(real); err != nil {
				return nil, err
			}
			dir, file = filepath.Dir(real), filepath.Base(real)
			if !fs.ValidPath(file) { // not in UTF-8
				if text, err = s.readBook(name); err != nil {
					return nil, err
				}
			}
		}
		f := folders[dir]
		if f == nil {
			root, err := os.OpenRoot(dir)
			if err != nil {
				return nil, err
			}
			f = s.folder(dir, root.FS())
			folders[dir] = f
		}
		if text == nil {
			roots = append(roots, load.Root{FS: f, Path: file, Show: name})
			continue
		}
		const handed = "handed-over.ferrule"
		roots = append(roots, load.Root{FS: f.With(handed, text), Path: handed, Show: name})
	}
	return roots, nil
}

// handedText reads a book that is no ordinary file; it is nil for one that is.
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

// laws are the rule books of a check, ready to judge.
type laws = engine.Rulebooks

// loadLaws loads the books of a check. Where none of them knows a method, the names of the shipped methods serve for
// the sheets. Mistakes are told. By is the method of rows that name none, and only are the rules that are asked for:
// they must be known.
func (c *call) loadLaws(names []string, by string, only ...string) (*laws, error) {
	roots, err := c.roots(names)
	if err != nil {
		return nil, err
	}
	l, list := engine.Open(roots...)
	if c.diagnose(list, c.colour) {
		return nil, errTold
	}
	if err := knowsRules(only, l.Program); err != nil {
		return nil, err
	}
	return l, knowsMethod(l.Measuring, by)
}

// lawsOf loads the books that a call names, or that are meant where it names none.
func (c *call) lawsOf(shipped string, sheets ...string) (*laws, error) {
	books, err := c.booksOf(shipped, sheets...)
	if err != nil {
		return nil, err
	}
	return c.loadLaws(books, c.by, c.only...)
}

// methodsOf does the same for a command that has to know how clubs are measured.
func (c *call) methodsOf() (*judge.Program, error) {
	l, err := c.lawsOf("methods", c.args...)
	if err == nil && len(l.Methods()) == 0 {
		err = mistake("the books do not say how a length is measured; add --rules methods", "ferrule books")
	}
	if err != nil {
		return nil, err
	}
	return l.Program, nil
}
