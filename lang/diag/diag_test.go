package diag

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/clipperhouse/displaywidth"
	"pgregory.net/rapid"

	"ferrule/lang/source"
)

var update = flag.Bool("update", false, "write the pages of testdata anew")

// TestRender compares pages with those of testdata, which were looked at by a person.
func TestRender(t *testing.T) {
	book := source.NewFile("spring.ferrule", "rulebook \"Spring\"\r\n\trule longest\t\"x\"\r\n  let a = b -3 in\n"+
		"let c = \"\x1b[31mred\x07\" + é¾\u202e + "+strings.Repeat("loft + ", 40)+"lie <= 3\n  end\xff\n")
	at := func(piece string) source.Span {
		i := strings.Index(book.Text, piece)
		return source.Span{File: book, Start: i, End: i + len(piece)}
	}
	end := source.Span{File: book, Start: len("rulebook \"Spring\""), End: len("rulebook \"Spring\"")}
	list := List{
		{Code: TightMinus, Severity: Error, Message: `"-3 in" is read as a number with its sign, right after another value`, Span: at("-3 in"),
			Expected: "a minus between two values with a blank on both sides", Hint: "- 3 in", Notes: []string{"A name may hold hyphens."}},
		{Code: OutOfPlace, Severity: Error, Message: "tabs before and in the place", Span: at("longest\t\"x\""),
			Related: []Label{{at("rulebook"), "the head of the book is here"}}},
		{Code: CutShort, Severity: Warning, Message: "at the end of a line", Span: end},
		{Code: StrayCharacter, Severity: Error, Message: "a line with what no terminal should get: \x1b[31m", Span: at("é¾")},
		{Code: OutOfPlace, Severity: Error, Message: "far out on a long line", Span: at("lie <= 3")},
		{Code: OutOfPlace, Severity: Error, Message: "over two lines", Span: source.Span{File: book, Start: at("b -3").Start, End: at("let c").End}},
		{Code: BookTooLarge, Severity: Error, Message: "without a place"},
		{Code: StrayCharacter, Severity: Error, Message: "no text", Span: at("\xff")},
	}
	for _, c := range []struct {
		file string
		o    RenderOptions
	}{{"wide.txt", RenderOptions{}}, {"narrow.txt", RenderOptions{Width: 60}}, {"colour.txt", RenderOptions{Width: 80, Colour: true}}} {
		var b strings.Builder
		if err := Render(&b, list, c.o); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("testdata", c.file)
		if *update {
			if err := os.WriteFile(path, []byte(b.String()), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if b.String() != string(want) {
			t.Errorf("%s has changed:\n%s", c.file, b.String())
		}
	}
}

// TestRenderAnything shows places anywhere in any text: nothing that a terminal acts upon comes out,
// lines keep to the width, and each place starts FILE:LINE:COLUMN.
func TestRenderAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOf(rapid.SampledFrom([]string{"a", " ", "\t", "\n", "\r\n", "é", "寸", "\u0301", "⌚", "🇯", "\x00", "\x1b[2J", "\xff", "\u202e", "\uffff", "a long piece of text "})).Draw(t, "text"), "")
		f := source.NewFile("f", text)
		start := rapid.IntRange(0, len(f.Text)).Draw(t, "start")
		end := rapid.IntRange(start, len(f.Text)).Draw(t, "end")
		width := rapid.SampledFrom([]int{0, 30, 80}).Draw(t, "width")
		var b strings.Builder
		err := Render(&b, List{{Code: OutOfPlace, Severity: Error, Message: "m", Span: source.Span{File: f, Start: start, End: end}}}, RenderOptions{Width: width})
		if err != nil || !strings.HasPrefix(b.String(), "f:") {
			t.Fatalf("%v %q", err, b.String())
		}
		if !utf8.ValidString(b.String()) || strings.ContainsAny(b.String(), "\x00\x1b\u202e\uffff\r") {
			t.Fatalf("what a terminal would act upon: %q", b.String())
		}
		for line := range strings.Lines(b.String()) {
			if n := displaywidth.String(strings.ReplaceAll(line, "\t", " ")); width > 0 && n > width {
				t.Fatalf("a line of %d columns, not %d: %q", n, width, line)
			}
		}
		if strings.Count(b.String(), "^") > 1 {
			t.Fatalf("several carets: %q", b.String())
		}
	})
}

// TestCaretUnderWide holds the columns before a caret against the widths of Unicode's EastAsianWidth.txt (W and F take
// two, A and N one) and of its emoji (UTS 51): what is ambiguous takes one in any locale.
func TestCaretUnderWide(t *testing.T) {
	for before, columns := range map[string]int{
		"abc": 3, "x\u0301": 1, "寸法": 4, "한": 2, "\u1112\u1161\u11ab": 2, "ＡＢ": 4, "ｱｲ": 2, "\ufe30": 2, "⌚": 2, "⚡": 2, "\U00017000": 2,
		"°±×—…Ωé": 7, "\U0001f54c": 2, "\U0001f321": 1, "🏌\ufe0f": 2, "🇯🇵": 2, "\t": 1, "\x00": 8, "\u200d": 8, "寸\u0301x": 3,
	} {
		_, marks := shownLine(before+"Z", utf8.RuneCountInString(before)+1, utf8.RuneCountInString(before)+2, 0)
		if n := strings.IndexByte(marks, '^'); n != columns {
			t.Errorf("%q takes %d columns, not %d", before, n, columns)
		}
	}
}

func TestNearest(t *testing.T) {
	words := []string{"require", "for", "from", "until", "unless", "decision", "cite", "mend", "loft", "lie", "length", "at", "iron"}
	for word, want := range map[string]string{
		"requre": "require", "requires": "require", "reqiure": "require", "fro": "for", "frm": "from", "untill": "until", "unles": "unless", "descision": "decision",
		"cites": "cite", "Loft": "loft", "lofts": "loft", "lenght": "length", "irons": "iron", "len": "length",
		"xyzzy": "", "": "", "q": "", "horsepower": "", "an": "at", "to": "",
	} {
		if got, _ := Nearest(word, words); got != want {
			t.Errorf("nearest to %q is %q, not %q", word, got, want)
		}
	}
	if got, ok := Nearest(strings.Repeat("a", 1<<20), words); ok {
		t.Errorf("nearest to a word of a mebibyte is %q", got)
	}
}

// TestSlips counts against what can be counted by hand.
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		n    int
	}{{"", "", 0}, {"abc", "abc", 0}, {"abc", "acb", 1}, {"abc", "ab", 1}, {"abc", "abcd", 1}, {"abc", "xbc", 1}, {"abc", "", 3}, {"kitten", "sitting", 3}} {
		if n := slips([]rune(c.a), []rune(c.b)); n != c.n {
			t.Errorf("%q to %q: %d slips, not %d", c.a, c.b, n, c.n)
		}
		if n := slips([]rune(c.b), []rune(c.a)); n != c.n {
			t.Errorf("%q to %q: %d slips, not %d", c.b, c.a, n, c.n)
		}
	}
}

func TestCatalogue(t *testing.T) {
	codes := Codes()
	if len(codes) < 20 {
		t.Fatalf("%d codes", len(codes))
	}
	for i, c := range codes {
		e, ok := Explain(c)
		if !ok || e.Code != c || e.Title == "" || strings.Trim(string(c), "abcdefghijklmnopqrstuvwxyz-") != "" {
			t.Errorf("%q is explained as %+v", c, e)
		}
		if n := strings.Count(strings.TrimSpace(e.Why), "\n") + 1; strings.TrimSpace(e.Why) == "" || n > 5 {
			t.Errorf("%s is explained in %d lines", c, n)
		}
		if (e.Failing == "") != (e.Mended == "") {
			t.Errorf("%s has half an example", c)
		}
		if i > 0 && codes[i-1] >= c {
			t.Errorf("%s stands twice or out of order", c)
		}
	}
	if _, ok := Explain("no-such-code"); ok {
		t.Error("a code that is not there is explained")
	}
}

func TestQuote(t *testing.T) {
	for in, want := range map[string]string{
		"a": `"a"`, "a\tb": `"a<tab>b"`, "a\x1b[0m": `"a<U+001B>[0m"`, "\xff": `"<byte FF>"`, "\u00a0": `"<U+00A0>"`, "é¾": `"é¾"`,
		strings.Repeat("x", 50): `"` + strings.Repeat("x", 39) + `…"`,
	} {
		if got := Quote(in); got != want {
			t.Errorf("%q is quoted as %s, not %s", in, got, want)
		}
	}
	if got := Quote(strings.Repeat("\xff", 500)); !utf8.ValidString(got) || len(got) > 1000 {
		t.Errorf("bytes that are no text are quoted as %s", got)
	}
}

// TestDeclared holds the codes that are declared against those that are explained.
func TestDeclared(t *testing.T) {
	code := regexp.MustCompile(`(?m)^\t\w+ +(?:diag\.)?Code = "([a-z-]+)"`)
	var declared []Code
	for _, name := range []string{"codes.go", "../../engine/vet/vet.go"} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range code.FindAllStringSubmatch(string(text), -1) {
			declared = append(declared, Code(m[1]))
		}
	}
	slices.Sort(declared)
	if !slices.Equal(declared, Codes()) {
		t.Errorf("declared %v, explained %v", declared, Codes())
	}
}
