package check_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ferrule/lang/book"
	"ferrule/lang/check"
	"ferrule/lang/diag"
	"ferrule/lang/parser"
	"ferrule/lang/source"
)

// vet parses and checks a book that uses no other.
func vet(name, text string) (*book.Book, diag.List) {
	tree, list := parser.Parse(source.NewFile(name, text))
	checked, more := check.Check(tree, check.Options{Name: name})
	return checked, append(list, more...)
}

// want is a mistake that a line of a test book asks for.
type want struct {
	code, words string
	met         bool
}

// wants reads "# WANT code: words | code: words" off a line.
func wants(t *testing.T, line string) []*want {
	_, list, ok := strings.Cut(line, "# WANT ")
	if !ok {
		return nil
	}
	var all []*want
	for _, one := range strings.Split(list, " | ") {
		code, words, ok := strings.Cut(one, ": ")
		if !ok {
			t.Fatalf("%s: no code and words", line)
		}
		all = append(all, &want{code: strings.TrimSpace(code), words: strings.TrimSpace(words)})
	}
	return all
}

// The books of testdata have each mistake that their lines ask for, and no other.
func TestMistakes(t *testing.T) {
	files, err := filepath.Glob("testdata/*.ferrule")
	if err != nil || len(files) == 0 {
		t.Fatal(err, "no test books")
	}
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			_, list := vet(name, string(text))
			lines := map[int][]*want{}
			for i, line := range strings.Split(string(text), "\n") {
				lines[i+1] = wants(t, line)
			}
		found:
			for _, d := range list {
				said := fmt.Sprintf("%s; expected: %s; try: %s", d.Message, d.Expected, d.Hint)
				for _, w := range lines[d.Span.Line()] {
					if !w.met && w.code == string(d.Code) && strings.Contains(said, w.words) {
						w.met = true
						continue found
					}
				}
				t.Errorf("%s:%d: not wanted: %s: %s", name, d.Span.Line(), d.Code, said)
			}
			for line, all := range lines {
				for _, w := range all {
					if !w.met {
						t.Errorf("%s:%d: missing: %s: %s", name, line, w.code, w.words)
					}
				}
			}
		})
	}
}
