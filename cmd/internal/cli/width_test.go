package cli_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"ferrule/cmd/internal/cli"
)

// Whatever a sheet and a book are called, and however long what they hold is, no line of text is wider than a page.
func TestTextOfEveryCommandKeepsToThePage(t *testing.T) {
	long := strings.Repeat("unbroken", 12)
	book := `rulebook "Title ` + long + `"
  edition 2026-01-01
  contact "` + long + `"
use methods
rule longest-` + long + ` "No club but the putter is longer than 46 in, ` + long + `"
  for     every club except putter
  require length by plane-60 at most 46 in
  cite    "` + long + `"
  mend    "Take {to-pass} off the butt of {club}, ` + long + `."
rule drops "Half an inch a number"
  for      neighbours among iron by number
  require  drop of length by soled per number is 1/2 in +/- 1/8 in
  decision three-way at 95 %
rule lies
  for     every club
  require lie <= 60 deg and loft >= 10 deg and (mass <= 500 g or swingweight <= D4) and lie >= 40 deg
case "Title ` + long + `"
  club    a` + long + `: driver, length 47 in by plane-60
  expect  longest-` + long + ` on a` + long + `: pass
`
	other := strings.ReplaceAll(book, "at most 46 in", "at most 46.5 in")
	head := "set,id,club,length,by,lie (deg),loft (deg),shaft,raw-length,tip-trim,bore,target-length\n"
	row := func(id, club, rest string) string {
		return "set " + long + "," + id + long + "," + club + "," + rest + "\n"
	}
	clubs := head + row("d", "driver", "47 in,plane-60,58,10,s1"+long+",40 in,0 in,1 in,47 in") +
		row("i", "5 iron", "38 in,soled,61,26,s2"+long+",39 in,0 in,1 in,38 in") +
		row("k", "6 iron", "37 3/4 in,soled,61.5 +/- 0.5,30,s3,39 in,0 in,1 in,37 1/2 in") +
		row("m", "7 iron", ",,62,,s4,39 in,,1 in,37 in") +
		row("n", "8 iron", "fourty"+long+",soled,62,,s5,39 in,,1 in,37 in")
	dir := t.TempDir()
	file := func(name, text string) string {
		name = filepath.Join(dir, name)
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	rules, newer := file("rules-"+long+".ferrule", book), file("newer.ferrule", other)
	sheet := file("sheet-"+long+".csv", clubs)
	second := file("second.csv", strings.ReplaceAll(clubs, "38 in,soled,61", "38 1/2 in,soled,61"))
	for _, args := range [][]string{
		{"check", sheet, "--rules", rules, "--on", "2026-05-02"},
		{"check", sheet, "--rules", "equipment-rules", "--on", "2026-05-02"},
		{"convert", sheet, "--rules", rules, "--to", "plane-60"},
		{"agree", sheet, second, "--rules", rules},
		{"trim", sheet, "--rules", rules, "--on", "2026-05-02"},
		{"build", sheet, "--rules", rules, "--on", "2026-05-02"},
		{"risk", "--rules", rules, "--rule", "longest-" + long, "--by", "plane-60"},
		{"risk", "--rules", rules, "--rule", "longest-" + long, "--by", "plane-60", "--stock", "45 in, 0.12 in"},
		{"test", rules},
		{"diff", rules, newer},
		{"diff", rules, newer, "--clubs", sheet, "--on", "2026-05-02"},
	} {
		for _, depth := range []string{"", "line", "steps", "full"} {
			if depth != "" {
				args = append(args, "--explain", depth)
			}
			var out, err bytes.Buffer
			cli.Run(args, &cli.Streams{Now: today, Out: &out, Err: &err})
			if out.Len() == 0 && !strings.Contains(err.String(), "--explain") {
				t.Errorf("%s gives no report: %s", args[0], err.String())
			}
			for line := range strings.Lines(out.String()) {
				if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
					t.Errorf("%s %s: %d columns: %s", args[0], depth, n, line)
				}
			}
		}
	}
}

// What a person reads of "vet" keeps to the page as well. Names and places are never broken, so none is longer here than
// a book would have.
func TestTextOfVetKeepsToThePage(t *testing.T) {
	t.Chdir(t.TempDir())
	var book strings.Builder
	book.WriteString("use methods\n")
	for i, bound := range []string{"at most 45 in", "at least 46 in", "at most 44 in", "at least 47 in"} {
		fmt.Fprintf(&book, "rule drivers-of-the-spring-and-autumn-meetings-%d \"%s\"\n  for     every driver where lie > 60 deg or loft < 9 deg\n"+
			"  require length by plane-60 %s\n  mend    \"Take {over} off the butt of {club}, and fit a new grip before the meeting.\"\n",
			i, strings.Repeat("The clubs of the meeting ", 6), bound)
	}
	book.WriteString("rule lies\n  for     every driver where lie > 61 deg and lie < 60 deg\n  require lee at most 61 deg or laft at most 9 deg or mess at most 3 g\n")
	if err := os.WriteFile("spring.ferrule", []byte(book.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	var out, stderr bytes.Buffer
	cli.Run([]string{"vet", "spring.ferrule"}, &cli.Streams{Now: today, Out: &out, Err: &stderr})
	if strings.Count(out.String(), "shown by") < 2 {
		t.Errorf("few findings: %s%s", out.String(), stderr.String())
	}
	for line := range strings.Lines(out.String()) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}
