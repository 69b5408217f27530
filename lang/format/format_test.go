package format_test

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/format"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

var update = flag.Bool("update", false, "write the layouts of testdata anew")

// outline writes the tree below v without its places, for comparing.
func outline(b *strings.Builder, v reflect.Value) {
	switch v.Kind() {
	case reflect.Interface, reflect.Pointer:
		if v.IsNil() {
			b.WriteString("nil ")
			return
		}
		outline(b, v.Elem())
	case reflect.Slice, reflect.Array:
		b.WriteString("[")
		for i := range v.Len() {
			outline(b, v.Index(i))
		}
		b.WriteString("]")
	case reflect.Struct:
		if q, ok := v.Interface().(unit.Quantity); ok {
			fmt.Fprintf(b, "%q ", q.Text)
			return
		}
		b.WriteString(v.Type().Name() + "{")
		for i := range v.NumField() {
			switch v.Field(i).Interface().(type) {
			case source.Span, *source.File, []ast.Comment:
			default:
				outline(b, v.Field(i))
			}
		}
		b.WriteString("}")
	default:
		fmt.Fprintf(b, "%v ", v.Interface())
	}
}

func tree(book *ast.Book) string {
	var b strings.Builder
	outline(&b, reflect.ValueOf(book))
	return b.String()
}

// tokens are the words, numbers and signs of a book, one a line.
func tokens(book *ast.Book) string {
	var b strings.Builder
	for _, c := range parser.Clauses(book.File) {
		for _, t := range c.Tokens {
			b.WriteString(t.Text + "\n")
		}
	}
	return b.String()
}

func comments(book *ast.Book) string {
	var b strings.Builder
	for _, c := range book.Comments {
		b.WriteString(c.Text + "\n")
	}
	return b.String()
}

// fataler is what check needs of a test or a step of one.
type fataler interface {
	Fatalf(format string, args ...any)
}

// check formats a sound book and holds the result against it: the same tree, the same tokens, the same
// comments, on lines of their own or behind others as they were, and nothing left to change. It reports whether text is a sound book.
func check(t fataler, text string) (string, bool) {
	book, list := parser.Parse(source.NewFile("book.ferrule", text))
	if len(list) > 0 {
		return "", false
	}
	formatted := format.Format(book)
	again, list := parser.Parse(source.NewFile("formatted.ferrule", formatted))
	if len(list) > 0 {
		t.Fatalf("the formatted book has mistakes: %v\n%s\nfrom %q", list, formatted, text)
	}
	if a, b := tree(book), tree(again); a != b {
		t.Fatalf("the tree has changed:\n%s\n%s\nfrom %q\nto %q", a, b, text, formatted)
	}
	if a, b := tokens(book), tokens(again); a != b {
		t.Fatalf("the tokens have changed:\n%s\n%s\nfrom %q\nto %q", a, b, text, formatted)
	}
	if a, b := comments(book), comments(again); a != b {
		t.Fatalf("the comments have changed:\n%s\n%s\nfrom %q\nto %q", a, b, text, formatted)
	}
	if a, b := ownLines(book), ownLines(again); a != b {
		t.Fatalf("comments have moved: %s to %s\nfrom %q\nto %q", a, b, text, formatted)
	}
	if twice := format.Format(again); twice != formatted {
		t.Fatalf("formatting twice changes more:\n%s\nthen\n%s\nfrom %q", formatted, twice, text)
	}
	return formatted, true
}

// ownLines reports for each comment whether it is on a line of its own.
func ownLines(book *ast.Book) string {
	var b strings.Builder
	for _, c := range book.Comments {
		own := strings.HasPrefix(strings.TrimLeft(book.File.Line(c.Span.Line()), " \t"), "#")
		fmt.Fprintf(&b, "%v ", own)
	}
	return b.String()
}

// TestTree formats every book of the project that has no mistakes of form.
func TestTree(t *testing.T) {
	n := 0
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".ferrule" {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if _, ok := check(t, string(text)); ok {
			n++
		}
		return nil
	})
	if err != nil || n == 0 {
		t.Fatalf("%d books, %v", n, err)
	}
}

func TestLayout(t *testing.T) {
	files, err := filepath.Glob("testdata/*.in")
	if err != nil || len(files) == 0 {
		t.Fatal("no books in testdata", err)
	}
	for _, in := range files {
		text, err := os.ReadFile(in)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := check(t, string(text))
		if !ok {
			t.Errorf("%s has mistakes", in)
		}
		out := strings.TrimSuffix(in, ".in") + ".out"
		if *update {
			if err := os.WriteFile(out, []byte(got), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s is formatted as\n%s", in, got)
		}
	}
}

func FuzzFormat(f *testing.F) {
	for _, pattern := range []string{"testdata/*.in", "../parser/testdata/whole.ferrule", "../../rulesets/*.ferrule"} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, path := range paths {
			text, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(text))
		}
	}
	for _, code := range diag.Codes() {
		e, _ := diag.Explain(code)
		f.Add(e.Mended)
	}
	f.Fuzz(func(t *testing.T, text string) { check(t, text) })
}
