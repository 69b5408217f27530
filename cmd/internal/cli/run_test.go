package cli_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"ferrule/cmd/internal/cli"
)

const lies = `rulebook "Lies"
rule lie-at-most
  for     every iron
  require lie at most 61 deg
rule fourteen
  for     each set
  require count of club at most 3
`

// manyBags writes a book and a sheet of bags, in every third of which a club fails, and
// returns their names and how many clubs fail.
func manyBags(t *testing.T, bags int) (book, sheet string, fails int) {
	t.Helper()
	var b strings.Builder
	b.WriteString("set,id,club,lie (deg)\n")
	for i := range bags {
		lie := 60.5
		if i%3 == 0 {
			lie, fails = 61.5, fails+1
		}
		fmt.Fprintf(&b, "bag %d,i5,5 iron,60\nbag %d,i6,6 iron,%v\n", i, i, lie)
	}
	dir := t.TempDir()
	book, sheet = filepath.Join(dir, "lies.ferrule"), filepath.Join(dir, "bags.csv")
	for name, text := range map[string]string{book: lies, sheet: b.String()} {
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return book, sheet, fails
}

// A report does not depend on how many work on it, and each format counts alike.
func TestFindingsComeInTheOrderOfTheSheet(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	// Enough for several batches of each.
	for format, bags := range map[string]int{"short": 3000, "jsonl": 300, "json": 300, "text": 300} {
		book, sheet, fails := manyBags(t, bags)
		var reports []string
		for _, workers := range []int{1, 4} {
			runtime.GOMAXPROCS(workers)
			var out, err bytes.Buffer
			args := []string{"check", sheet, "--rules", book, "--on", "2026-05-02", "--format", format}
			if code := cli.Run(args, &cli.Streams{Now: today, Out: &out, Err: &err}); code != 1 || err.Len() > 0 {
				t.Fatalf("exit code %d, %s", code, err.String())
			}
			reports = append(reports, out.String())
		}
		if reports[0] != reports[1] {
			t.Errorf("%s: one worker and four do not report alike", format)
		}
		if format != "short" {
			continue
		}
		lines := strings.Split(strings.TrimRight(reports[0], "\n"), "\n")
		if len(lines) != fails+1 {
			t.Fatalf("%d lines, want %d findings and the totals", len(lines), fails)
		}
		for i, line := range lines[:fails] {
			// Bag 0 is in rows 2 and 3, and every third bag has its failure in its second row.
			if want := fmt.Sprintf("%s:%d: fail lie-at-most: 6 iron (i6): ", sheet, 3+6*i); !strings.HasPrefix(line, want) {
				t.Fatalf("line %d is %q, want %q", i, line, want)
			}
		}
		want := fmt.Sprintf("rows read %d, judged %d, refused 0; pass %d, fail %d,", 2*bags, 2*bags, 3*bags-fails, fails)
		if last := lines[fails]; !strings.HasPrefix(last, want) {
			t.Errorf("the totals are %q, want %q", last, want)
		}
	}
}

// broken is a stream that takes some bytes and then fails.
type broken struct {
	room int
	err  error
}

func (b *broken) Write(p []byte) (int, error) {
	if b.room -= len(p); b.room < 0 {
		return 0, b.err
	}
	return len(p), nil
}

func TestABrokenPipeEndsQuietly(t *testing.T) {
	book, sheet, _ := manyBags(t, 3000)
	var err bytes.Buffer
	args := []string{"check", sheet, "--rules", book, "--on", "2026-05-02", "--format", "short"}
	cli.Run(args, &cli.Streams{Now: today, Out: &broken{1000, syscall.EPIPE}, Err: &err})
	if err.Len() > 0 {
		t.Errorf("it said %q", err.String())
	}
}

func TestAReportThatCannotBeWrittenIsNoReport(t *testing.T) {
	book, sheet, _ := manyBags(t, 10)
	for _, format := range []string{"text", "short", "json", "jsonl"} {
		var err bytes.Buffer
		args := []string{"check", sheet, "--rules", book, "--on", "2026-05-02", "--format", format}
		code := cli.Run(args, &cli.Streams{Now: today, Out: &broken{10, errors.New("no room is left")}, Err: &err})
		if code != 3 || !strings.Contains(err.String(), "no room is left") {
			t.Errorf("%s: exit code %d, and it said %q", format, code, err.String())
		}
	}
}

// A spreadsheet is its first sheet, or the one named behind the #.
func TestASheetOfASpreadsheetIsNamed(t *testing.T) {
	book, _, _ := manyBags(t, 1)
	f := excelize.NewFile()
	defer f.Close()
	name := filepath.Join(t.TempDir(), "bags.xlsx")
	if _, err := f.NewSheet("Members"); err != nil {
		t.Fatal(err)
	}
	for sheet, lie := range map[string]float64{"Sheet1": 60, "Members": 62} {
		for i, row := range [][]any{{"id", "club", "lie (deg)"}, {"i5", "5 iron", lie}} {
			if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &row); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.SaveAs(name); err != nil {
		t.Fatal(err)
	}
	for sheet, want := range map[string]int{name: 0, name + "#Sheet1": 0, name + "#Members": 1, name + "#Guests": 3} {
		var out, err bytes.Buffer
		code := cli.Run([]string{"check", sheet, "--rules", book, "--on", "2026-05-02", "--format", "short"}, &cli.Streams{Now: today, Out: &out, Err: &err})
		if code != want {
			t.Errorf("%s: exit code %d, want %d: %s%s", sheet, code, want, out.String(), err.String())
		}
	}
	// Two sheets of one file are told apart in every report; what is refused names its sheet too.
	if err := f.SetCellValue("Members", "C3", "flat"); err != nil {
		t.Fatal(err)
	}
	if err := f.SetCellValue("Members", "B3", "6 iron"); err != nil {
		t.Fatal(err)
	}
	if err := f.SaveAs(name); err != nil {
		t.Fatal(err)
	}
	for format, want := range map[string][]string{
		"text":  {"bags.xlsx#Members\n  FAILS ", "bags.xlsx#Members\n  row 3 "},
		"short": {"bags.xlsx#Members:2: fail", "bags.xlsx#Members:3: refused"},
		"json":  {`bags.xlsx#Members","row":2`, `bags.xlsx#Members","row":3`, `bags.xlsx","row":2`},
		"jsonl": {`bags.xlsx#Members","row":2`, `bags.xlsx#Members","row":3`, `bags.xlsx","row":2`},
	} {
		var out, err bytes.Buffer
		code := cli.Run([]string{"check", name, name + "#Members", "--rules", book, "--on", "2026-05-02", "--format", format}, &cli.Streams{Now: today, Out: &out, Err: &err})
		if code != 3 {
			t.Errorf("%s: exit code %d, want 3: %s", format, code, err.String())
		}
		for _, w := range want {
			if !strings.Contains(out.String(), w) {
				t.Errorf("%s does not tell of %s:\n%s", format, w, out.String())
			}
		}
	}
	var out, err bytes.Buffer
	if code := cli.Run([]string{"check", name + "#Members", "--rules", book, "--output", name, "--format", "text"}, &cli.Streams{Now: today, Out: &out, Err: &err}); code != 3 || !strings.Contains(err.String(), "would be lost") {
		t.Errorf("the spreadsheet may be written over: exit code %d, %s", code, err.String())
	}
}

// The help of every command fits a page of 80 columns and shows how to call it.
func TestHelpFitsThePage(t *testing.T) {
	help := func(words ...string) string {
		var out, err bytes.Buffer
		if code := cli.Run(append([]string{"help"}, words...), &cli.Streams{Now: today, Out: &out, Err: &err}); code != 0 {
			t.Fatalf("help %v: exit code %d: %s", words, code, err.String())
		}
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
				t.Errorf("help %v: %d columns: %s", words, n, line)
			}
		}
		return out.String()
	}
	commands := 0
	for line := range strings.Lines(help()) {
		if name, ok := strings.CutPrefix(line, "  "); ok {
			commands++
			name, _, _ = strings.Cut(name, " ")
			if page := help(name); !strings.Contains(page, "\n    ferrule "+name) || strings.Contains(page, "\n= ") {
				t.Errorf("help %s:\n%s", name, page)
			} else if mute := regexp.MustCompile(`(?m)^  (-., )?--\S+( [A-Z]+)? *$`).FindString(page); mute != "" {
				t.Errorf("help %s says nothing of the option %s", name, mute)
			}
		}
	}
	if commands < 13 {
		t.Errorf("only %d commands", commands)
	}
}

// The report of the sheet that the README shows is read in ten seconds: 40 lines of 80 columns.
func TestTheFirstReportIsShort(t *testing.T) {
	var out, err bytes.Buffer
	root := filepath.Join("..", "..", "..")
	args := []string{"check", filepath.Join(root, "testdata", "spring.csv"), "--on", "2026-05-02",
		"--rules", filepath.Join(root, "rulesets", "spring-scramble.ferrule")}
	if code := cli.Run(args, &cli.Streams{Now: today, Out: &out, Err: &err}); code != 1 || err.Len() > 0 {
		t.Fatalf("exit code %d, %s", code, err.String())
	}
	if n := strings.Count(out.String(), "\n"); n > 40 {
		t.Errorf("the report has %d lines, want 40 at most:\n%s", n, out.String())
	}
}
