package parser

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"ferrule/lang/ast"
	"ferrule/lang/diag"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

// want is "WANT code: words" in a comment: the mistake expected on its line, or where
// the comment is alone, on the line above. The words stand somewhere in
// what is said about it.
var want = regexp.MustCompile(`WANT ([a-z-]+): (.*)`)

// TestMistakes holds the mistakes found in the books of testdata against those
// that the books ask for; missing and surplus both fail.
func TestMistakes(t *testing.T) {
	for _, path := range books(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			text := readFile(t, path)
			due := map[int][]string{}
			for i, line := range strings.Split(text, "\n") {
				before, wanted, ok := strings.Cut(line, "# WANT ")
				if !ok {
					continue
				}
				n := i + 1
				if strings.TrimSpace(before) == "" {
					n--
				}
				for _, w := range strings.Split("WANT "+wanted, " # ") {
					if want.FindStringSubmatch(w) == nil {
						t.Fatalf("line %d: cannot read %q", i+1, w)
					}
					due[n] = append(due[n], w)
				}
			}
			_, list := Parse(source.NewFile(filepath.Base(path), text))
			for _, d := range list {
				line := d.Span.Line()
				said := strings.Join(append([]string{d.Message, d.Expected, d.Hint}, d.Notes...), " ")
				found := false
				for i, w := range due[line] {
					m := want.FindStringSubmatch(w)
					if string(d.Code) == m[1] && strings.Contains(said, strings.TrimSpace(m[2])) {
						due[line] = append(due[line][:i:i], due[line][i+1:]...)
						found = true
						break
					}
				}
				if !found {
					t.Errorf("surplus: %v (expected %q, hint %q)", d, d.Expected, d.Hint)
				}
			}
			for line, ws := range due {
				for _, w := range ws {
					t.Errorf("missing on line %d: %s", line, w)
				}
			}
		})
	}
}

func books(t testing.TB) []string {
	paths, err := filepath.Glob("testdata/*.ferrule")
	if err != nil || len(paths) < 2 {
		t.Fatalf("the books of testdata are missing: %v %v", paths, err)
	}
	return paths
}

func readFile(t testing.TB, path string) string {
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestExamples runs the examples of the catalogue that are about form.
func TestExamples(t *testing.T) {
	for _, code := range diag.Codes() {
		e, _ := diag.Explain(code)
		_, list := Parse(source.NewFile("failing", e.Failing))
		if len(list) == 0 {
			continue // about meaning, or too large to show
		}
		if len(list) != 1 || list[0].Code != code {
			t.Errorf("%s: its failing example gives %v", code, list)
		}
		if _, list := Parse(source.NewFile("mended", e.Mended)); len(list) > 0 {
			t.Errorf("%s: its mended example gives %v", code, list)
		}
	}
	for _, code := range []diag.Code{diag.BareIf, diag.CapitalLetter, diag.ChainedComparison, diag.CutShort, diag.FaultyNumber, diag.MisplacedHeader,
		diag.MixedAndOr, diag.NameForm, diag.NoSuchDay, diag.OpenParenthesis, diag.OpenText, diag.OutOfPlace, diag.OutsideDeclaration,
		diag.RepeatedClause, diag.StrayCharacter, diag.TightMinus, diag.TightStroke, diag.TooDeep, diag.UnknownClause} {
		e, ok := diag.Explain(code)
		if !ok || e.Title == "" || e.Why == "" {
			t.Errorf("%s is not explained", code)
		}
		if _, list := Parse(source.NewFile("failing", e.Failing)); len(list) == 0 {
			t.Errorf("%s: its failing example gives nothing", code)
		}
	}
}

var spanType = reflect.TypeFor[source.Span]()

// spans checks that each node below v lies inside outer, and in file.
func spans(file *source.File, v reflect.Value, outer source.Span, path string) error {
	switch v.Kind() {
	case reflect.Interface, reflect.Pointer:
		if v.IsNil() {
			return nil
		}
		if d, ok := v.Interface().(ast.Decl); ok {
			outer = source.Span{File: file, Start: 0, End: len(file.Text)}
			if d.Declared().Broken {
				return nil // what was not read has no place
			}
		}
		return spans(file, v.Elem(), outer, path)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if err := spans(file, v.Index(i), outer, fmt.Sprintf("%s[%d]", path, i)); err != nil {
				return err
			}
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[unit.Quantity]() || v.Type() == reflect.TypeFor[source.File]() || v.Type() == spanType {
			return nil
		}
		path += "/" + v.Type().Name()
		for _, f := range reflect.VisibleFields(v.Type()) {
			if f.Type != spanType {
				continue
			}
			s := v.FieldByIndex(f.Index).Interface().(source.Span)
			if s.File != file || s.Start >= s.End || s.Start < outer.Start || s.End > outer.End {
				return fmt.Errorf("%s: %s %d to %d is not inside %d to %d", path, f.Name, s.Start, s.End, outer.Start, outer.End)
			}
			if f.Name == "Span" {
				outer = s
			}
		}
		for i := range v.NumField() {
			if err := spans(file, v.Field(i), outer, path); err != nil {
				return err
			}
		}
	}
	return nil
}

// sound checks what holds for any text whatever.
func sound(t testing.TB, text string) *ast.Book {
	file := source.NewFile("book.ferrule", text)
	book, list := Parse(file)
	if err := spans(file, reflect.ValueOf(book), source.Span{File: file, End: len(file.Text)}, ""); err != nil {
		t.Errorf("%v\n%q", err, text)
	}
	broken := book.Header != nil && book.Header.Broken
	for _, d := range book.Decls {
		broken = broken || d.Declared().Broken
	}
	if broken && len(list) == 0 {
		t.Errorf("a declaration is broken and nothing is said\n%q", text)
	}
	for i, d := range list {
		s := d.Span
		if _, ok := diag.Explain(d.Code); !ok || d.Severity != diag.Error || d.Message == "" || s.File != file || s.Start > s.End || s.End > len(file.Text) {
			t.Errorf("faulty diagnostic %+v\n%q", d, text)
		}
		if i > 0 && list[i-1].Span.Start > s.Start {
			t.Errorf("%v comes behind %v", list[i-1], d)
		}
		if d.Message+d.Expected+d.Hint != "" && strings.ContainsAny(d.Message+d.Expected+d.Hint, "\x00\x1b") {
			t.Errorf("a control character in %q", d.Message)
		}
	}
	return book
}

func TestSpans(t *testing.T) {
	for _, path := range books(t) {
		sound(t, readFile(t, path))
	}
}

func FuzzParse(f *testing.F) {
	for _, path := range books(f) {
		f.Add(readFile(f, path))
	}
	for _, code := range diag.Codes() {
		e, _ := diag.Explain(code)
		f.Add(e.Failing)
		f.Add(e.Mended)
	}
	f.Fuzz(func(t *testing.T, text string) { sound(t, text) })
}

// TestHostile feeds books that are nothing but trouble, longer than a formula may be and longer than a clause may be.
func TestHostile(t *testing.T) {
	for _, piece := range []string{"(", ")", "not ", "if ", "-", "- ", "-(", "a(", "\"", "#", "\n", "\r", "\x00", "\xff", "9", "9 ", "a", "a ", "a-", "Z", "or ",
		"a and b or ", "a < ", "min(", "count of ", "longest of ", "where ", "iron, ", "rule a\n", "ruel a\n", "rule\n for\n", "rulebook \"a\"\n", "“", "1/", "1/2/", "2026-01-01 ",
		"case \"x\"\n club a: iron, lie 3 deg\n", "let a = (\n", "chart a of b per club\n iron = 3\n", "é", "=", ",", "in ",
		"1_ ", "iron 5-9 ", "1 +- ", "４ ", "{\n", "'a' ", "cite\n9\n", "unless not\nnot\n"} {
		for _, head := range []string{"", "let a = ", "rule a\n for neighbours among iron where ", "case \"x\"\n club a: ", "chart a of b per club\n "} {
			hostile(t, head, piece, maxFormula+1<<10)
		}
	}
	for _, piece := range []string{"(\n", "9\n", "\xff\n", "rule a\n", "ruel a\n"} {
		hostile(t, "let a = ", piece, 4*maxClause)
	}
}

func hostile(t *testing.T, head, piece string, size int) {
	_, list := Parse(source.NewFile("hostile", head+strings.Repeat(piece, (size-len(head))/len(piece))))
	if len(list) > maxMistakes+1 {
		t.Errorf("%q after %q lists %d mistakes", piece, head, len(list))
	}
}

// bigBook is a book of n rules of the common forms.
func bigBook(n int) string {
	var b strings.Builder
	b.WriteString("rulebook \"Big\"\n  edition 2026-04-18\n")
	for i := range n {
		fmt.Fprintf(&b, `
rule rule-%d "No club but the putter is longer than 46 in"   # a comment
  for      every club except putter where loft > 3 deg and not (hand = left)
  require  length by plane-60 at most 46 %d/1024 in allowing 0.2 in
  unless   hand = left and not (kind = chipper): at most 47 in
  decision three-way at 95 %%
  cite     "Committee notice 3"
  mend     "Take {over} off the butt and fit a new grip."
`, i, i%1000+1)
	}
	return b.String()
}

func BenchmarkThousandRules(b *testing.B) {
	text := bigBook(1000)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, list := Parse(source.NewFile("big.ferrule", text)); len(list) > 0 {
			b.Fatal(list[0])
		}
	}
}

// BenchmarkBuild is the time that the first book of a process pays for the
// grammar of the commonest clauses.
func BenchmarkBuild(b *testing.B) {
	for b.Loop() {
		parsers.Clear()
		parserOf[forClause]()
		parserOf[bound]()
	}
}
