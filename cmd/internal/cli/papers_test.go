package cli_test

import (
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// hostile are names that a browser would act upon, and characters that XML cannot hold (XML 1.0, production 2).
var hostile = []string{"<script>alert(1)</script>", `"><svg onload=alert(1)>`, "a\x01b", "a\uffffb", "]]>&amp;<!--"}

// hostileBag writes a book and a sheet in which title, rule, set, id, club, note and file have a name, and returns
// how each command is called on them that has pages or tables of clubs.
func hostileBag(t *testing.T, name string) (commands [][]string, book string) {
	t.Helper()
	dir := t.TempDir()
	said := strings.NewReplacer(`"`, "'", "\x01", "", "\uffff", "", "\r", "").Replace(name) // a book is text, and refuses the others
	cell := `"` + strings.ReplaceAll(name, `"`, `""`) + `"`
	file := filepath.Join(dir, strings.ReplaceAll(name, "/", "")+".csv")
	book = filepath.Join(dir, strings.ReplaceAll(said, "/", "")+".ferrule")
	write(t, book, "rulebook \""+said+"\"\n\nuse methods\n\nrule lies \""+said+"\"\n  for every iron\n  require lie at most 61 deg\n"+
		"  cite \""+said+"\"\n  mend \""+said+"\"\n\nrule lengths \""+said+"\"\n  for every iron\n  require length by soled at most 37 in\n\n"+
		"case \""+said+"\"\n  club a: iron 5, lie 62 deg\n  expect lies on a: pass\n")
	write(t, file, "set,id,club,length,by,lie,shaft,raw-length,tip-trim,bore,target-length,note\n"+
		cell+","+cell+",5 iron,38 in,soled,62 deg,"+cell+",39 in,0 in,1 in,38 in,"+cell+"\n"+cell+",i6,"+cell+",37 in,soled,60 deg,,,,,,"+cell+"\n")
	return [][]string{
		{"check", file, "--rules", book, "--explain", "full"}, {"trim", file, "--rules", book},
		{"convert", file, "--rules", book, "--to", "wall"}, {"agree", file, file, "--rules", book}, {"build", file, "--rules", book},
	}, book
}

// Whatever things are called, a page reads as XML, holds no script, and no attribute of an element is a handler.
func TestHostileNamesStayText(t *testing.T) {
	for _, name := range hostile {
		commands, book := hostileBag(t, name)
		commands = append(commands, []string{"vet", book}, []string{"test", book}, []string{"diff", book, book})
		for _, args := range commands {
			page, _ := called(t, "", append(args, "--format", "html")...)
			if page == "" {
				_, said := ferrule(append(args, "--format", "html")...)
				t.Fatalf("%q of %q has no page: %s", args[0], name, said)
			}
			if seen := strings.Trim(name, "<>\"\x01\uffff"); len(seen) > 6 && !strings.Contains(inXML(t, page), seen[:6]) {
				t.Errorf("%s: the page does not hold %q", args[0], seen[:6])
			}
		}
		junit, _ := called(t, "", "test", book, "--format", "junit")
		inXML(t, junit)
	}
}

// inXML reads a page as XML and returns its text.
func inXML(t *testing.T, page string) string {
	t.Helper()
	var text strings.Builder
	for d := xml.NewDecoder(strings.NewReader(page)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return text.String()
		}
		if err != nil {
			t.Fatalf("%v in\n%s", err, page)
		}
		switch token := token.(type) {
		case xml.CharData:
			text.Write(token)
		case xml.Comment:
			t.Errorf("the page holds a comment %q", token)
		case xml.StartElement:
			if token.Name.Local == "script" || slices.ContainsFunc(token.Attr, func(a xml.Attr) bool {
				return strings.HasPrefix(a.Name.Local, "on")
			}) {
				t.Errorf("the page holds %v", token)
			}
			for _, a := range token.Attr {
				text.WriteString(a.Value)
			}
		}
	}
}

// A cell that begins with = + - @, a tab or a carriage return is a number or led by an apostrophe, in the table of every
// command that has one (CSV injection, OWASP).
func TestNoCellOfAnyTableIsAFormula(t *testing.T) {
	for _, name := range []string{"=1+1", "+1+1", "-1+1", "@sum(1)", "\t=1", "\r=1"} {
		commands, _ := hostileBag(t, name)
		for _, args := range commands {
			table, _ := called(t, "", append(args, "--format", "csv")...)
			lines, err := csv.NewReader(strings.NewReader(table)).ReadAll()
			if err != nil || len(lines) < 2 {
				_, said := ferrule(append(args, "--format", "csv")...)
				t.Fatalf("%s of %q has no table: %v %s", args[0], name, err, said)
			}
			for _, cell := range slices.Concat(lines...) {
				if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") {
					t.Errorf("%s of %q has a cell %q", args[0], name, cell)
				}
			}
		}
	}
}
