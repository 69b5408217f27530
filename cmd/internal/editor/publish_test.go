package editor

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf16"

	"ferrule/engine/vet"
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// vetted is what "vet" says of a book, with places counted from its lines and columns.
func vetted(t *testing.T, text string) string {
	t.Helper()
	fsys := fstest.MapFS{"a.ferrule": {Data: []byte(text)}}
	loaded, list := load.Load(rulesets.FS(), []load.Root{{FS: fsys, Path: "a.ferrule", Show: "a.ferrule"}})
	for _, f := range vet.Sound(context.Background(), loaded.Roots[0], loaded.Schema, list).List {
		list.Add(f.Diagnostic)
	}
	var lines []string
	sort.SliceStable(list, func(i, k int) bool { return diag.Compare(list[i], list[k]) < 0 })
	for _, d := range list {
		place := func(line, column int) (int, int) {
			return line - 1, len(utf16.Encode([]rune(d.Span.File.Line(line))[:column-1]))
		}
		line, from := place(d.Span.Pos().Line, d.Span.Pos().Column)
		last, to := place(d.Span.EndPos().Line, d.Span.EndPos().Column)
		end := fmt.Sprint(to)
		if last != line {
			end = fmt.Sprintf("%d:%d", last, to)
		}
		lines = append(lines, fmt.Sprintf("%d:%d-%s %s", line, from, end, d.Code))
	}
	return strings.Join(lines, "\n")
}

// An editor is told of each example of a mistake or a finding what "vet" says: at once what does not need the analysis.
func TestWhatIsToldIsWhatVetSays(t *testing.T) {
	s := started(t)
	texts := map[string]string{}
	for _, code := range diag.Codes() {
		entry, _ := diag.Explain(code)
		if entry.Failing != "" && !strings.Contains(entry.Failing, "house.ferrule") {
			name := string(code) + ".ferrule"
			texts[name] = "# ½ ” 𝄞\n" + strings.Replace(entry.Failing, "\n", " # 𝄞\n", 1)
			s.open(name, texts[name])
		}
	}
	for name, text := range texts {
		want, now := vetted(t, text), s.told(name)
		for _, line := range strings.Split(want, "\n") {
			_, code, _ := strings.Cut(line, " ")
			entry, _ := diag.Explain(diag.Code(code))
			if code != "" && strings.Contains(now, line) == entry.Analysed {
				t.Errorf("%s: at once it says %q; all is %q", name, now, want)
			}
		}
		s.until(name, want)
	}
}

// A list comes after every change with the version of the text, even where it is the same; that of the analysis comes
// once more; a book that uses another follows its unsaved text; what is closed is cleared.
func TestBooksThatUseOneAnother(t *testing.T) {
	const house = "let front = lie + 1 deg\n"
	s := started(t, "house.ferrule", house, "sub/other.ferrule", house)
	s.open("a.ferrule", "use \"house.ferrule\"\nrule r \"R\"\n  for every iron\n  require front at most 65 deg\n")
	for range 2 { // the second one is that of the analysis
		if got := s.told("a.ferrule"); got != "" {
			t.Errorf("of a book without a mistake it says %q", got)
		}
	}
	s.open("house.ferrule", house)
	for _, change := range []struct {
		from, to int
		text     string
	}{{4, 9, "rear"}, {8, 8, ""}, {4, 8, "front"}, {0, 0, ""}} {
		s.edit("house.ferrule", &Range{Position{0, change.from}, Position{0, change.to}}, change.text)
		if got := s.told("house.ferrule"); got != "" {
			t.Errorf("of a book without a mistake it says %q", got)
		}
	}
	s.edit("house.ferrule", &Range{Position{0, 4}, Position{0, 9}}, "rear")
	s.until("a.ferrule", "3:10-15 unknown-name")
	s.edit("house.ferrule", nil, "let front = lie + mass\n")
	for range 2 { // with the analysis; both books find the mistake, and it is said once
		if got := s.told("house.ferrule"); got != "0:12-22 unit-clash" {
			t.Errorf("of the used book it says %q", got)
		}
	}
	s.until("a.ferrule", "")
	s.close("house.ferrule")
	s.until("a.ferrule", "") // as the file is
	s.write("house.ferrule", "let rear = lie + 1 deg # longer than before\n")
	s.until("a.ferrule", "3:10-15 unknown-name")
	if err := os.Remove(filepath.Join(s.folder, "house.ferrule")); err != nil {
		t.Fatal(err)
	}
	s.until("a.ferrule", "0:4-19 missing-book")
	s.version["house.ferrule"] = 0
	s.write("house.ferrule", "let front = lie + mass\n")
	s.until("house.ferrule", "0:12-22 unit-clash") // though it is not open
	s.open("sub/b.ferrule", "use \"house.ferrule\"\nlet x = front\n")
	s.until("sub/b.ferrule", "0:4-19 missing-book") // that of the other folder
	s.open("sub/house.ferrule", house)
	s.until("sub/b.ferrule", "")
	s.close("a.ferrule")
	s.until("house.ferrule", "")
}

// Other places are named, and what nothing uses may be greyed out, as the protocol's DiagnosticTag.Unnecessary says.
func TestOtherPlacesAndTags(t *testing.T) {
	s := started(t, "house.ferrule", "rule flat \"F\"\n  for every iron\n  require lie at most 80 deg\n")
	s.open("a.ferrule", "use \"house.ferrule\"\nrule flat \"F\"\n  for every iron\n  require lie at most 80 deg\nrule other \"O\"\n  for every wedge\n  require lie at most 80 deg\nlet idle = lie\n")
	var all []diagnostic
	for len(all) < 2 {
		m := s.next("a list", func(m message) bool { return m.Method == "textDocument/publishDiagnostics" })
		var p published
		if err := json.Unmarshal(m.Params, &p); err != nil {
			t.Fatal(err)
		}
		all = p.Diagnostics
	}
	if d := all[0]; d.Code != diag.RepeatedName || len(d.Related) != 1 || d.Related[0].Location != (Location{s.uri("house.ferrule"), Range{Position{0, 5}, Position{0, 9}}}) {
		t.Errorf("a repeated name is told as %+v", d)
	}
	if d := all[1]; d.Code != vet.UnusedName || len(d.Tags) != 1 || d.Tags[0] != 1 || d.Severity != 2 {
		t.Errorf("a name that nothing uses is told as %+v", d)
	}
}

// What is not a message is answered, and what comes behind it is read; headers may be written in any way.
func TestAClientThatTalksNonsense(t *testing.T) {
	s := started(t)
	for _, c := range []struct {
		text  string
		codes string
	}{
		{"Content-Length: 7\r\n\r\nnothing", "null -32700"},
		{"Content-Length: 1\r\n\r\n{", "null -32700"},
		{"Content-Length: 0\r\n\r\n", "null -32700"},
		{"Content-Type: text\r\n\r\n", "null -32700"},
		{"Content-Length: ten\r\n\r\n", "null -32700"},
		{"Content-Length: 2\r\n\r\n{}", "null -32600"},
		{"Content-Length: 2\r\n\r\n[]", "null -32600"},
		{"Content-Length: 19\r\n\r\n{\"id\":7,\"method\":9}", "7 -32600"},
		{"Content-Length: 4\r\n\r\nnull and more\r\n\r\n", "null -32600, null -32700"},
	} {
		s.raw(c.text)
		var got []string
		for range strings.Split(c.codes, ", ") {
			m := s.next("an error", func(m message) bool { return m.Error != nil })
			got = append(got, fmt.Sprintf("%s %d", m.ID, m.Error.Code))
		}
		if sort.Strings(got); strings.Join(got, ", ") != c.codes {
			t.Errorf("%q gives %q, expected %q", c.text, got, c.codes)
		}
	}
	s.raw("content-TYPE: x\ncontent-length:54 \n\n" + `{"jsonrpc":"2.0","id":"x","method":"ferrule/nothing" }`)
	s.next("an answer", func(m message) bool { return string(m.ID) == `"x"` && m.Error.Code == -32601 })
	for _, id := range []string{"-5", "0", "2147483647", "-2147483648", `""`, `"-5"`} { // "RequestMessage": integer | string
		body := `{"jsonrpc":"2.0","method":"ferrule/nothing","id":` + id + "}"
		s.raw(fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(body), body))
		s.next("an answer with the same id", func(m message) bool { return string(m.ID) == id && m.Error.Code == -32601 })
	}
	for _, p := range []any{nil, 7, "x", []int{}, map[string]any{"textDocument": 7}, map[string]any{"position": map[string]any{"line": -1, "character": 1e30}}} {
		for method, f := range features() {
			if f.provider == "" {
				continue
			}
			if code := s.ask(method, p, nil); code != -32602 {
				t.Errorf("%s of %v gives %d", method, p, code)
			}
		}
		for _, method := range []string{"textDocument/didOpen", "textDocument/didChange", "textDocument/didClose", "initialized", "$/other"} {
			s.tell(method, p)
		}
	}
	s.open("a.ferrule", "let x = ?")
	s.edit("a.ferrule", &Range{Position{-4, -1}, Position{7, 1 << 40}}, "let x = y")
	s.tell("textDocument/didChange", s.about("other.ferrule"))
	if got := s.told("a.ferrule"); got != "0:8-9 unknown-name" {
		t.Errorf("of the book it says %q", got)
	}
	for method, f := range features() {
		if f.provider == "" {
			continue
		}
		if code := s.ask(method, s.about("a.ferrule", "position", Position{-1, -1}, "range", Range{Position{9, 9}, Position{-1, 0}}, "newName", ""), nil); code != 0 && code != -32803 {
			t.Errorf("%s at no place gives %d", method, code)
		}
	}
}

// A client that can is told to ask again once nothing changes, for another book may have changed what a case gives.
func TestRefresh(t *testing.T) {
	s := begin(t)
	can := map[string]any{"refreshSupport": true}
	s.ask("initialize", map[string]any{"capabilities": map[string]any{"workspace": map[string]any{"codeLens": can, "inlayHint": can}}}, nil)
	s.open("a.ferrule", "let x = lie\n")
	for _, what := range []string{"workspace/codeLens/refresh", "workspace/inlayHint/refresh"} {
		s.next(what, func(m message) bool { return m.Method == what && m.ID != nil })
	}
}

// A text that is not a file yet is a book, too; it can use shipped books alone.
func TestATextThatIsNoFile(t *testing.T) {
	s := started(t)
	for uri, text := range map[string]string{"untitled:Untitled-1": "use methods\nuse \"house.ferrule\"\n", "": "\nlet x = y\n"} {
		s.tell("textDocument/didOpen", map[string]any{"textDocument": map[string]any{"uri": uri, "version": 1, "text": text}})
		s.next("its mistake", func(m message) bool {
			var p published
			json.Unmarshal(m.Params, &p)
			return p.URI == uri && len(p.Diagnostics) == 1 && p.Diagnostics[0].Range.Start.Line == 1
		})
	}
}

// A book may have 1 MiB, be edited, and become too large and small enough again.
func TestALargeBook(t *testing.T) {
	line := "let x = lie + 1 deg # " + strings.Repeat("½", 490) + "\n"
	text := strings.Repeat(line, 1<<20/len(line))
	s := started(t)
	s.open("a.ferrule", "let y = lie\n")
	s.edit("a.ferrule", nil, text)
	if got := s.told("a.ferrule"); !strings.HasPrefix(got, "1:4-5 repeated-name") {
		t.Errorf("of a large book it says %.100q", got)
	}
	for range 20 {
		s.edit("a.ferrule", &Range{Position{0, 0}, Position{0, 0}}, line)
	}
	if got := s.told("a.ferrule"); got != "0:0-0 book-too-large" {
		t.Errorf("of a book that is too large it says %.100q", got)
	}
	s.edit("a.ferrule", &Range{Position{1, 0}, Position{1 << 20, 0}}, "")
	s.until("a.ferrule", "")
}
