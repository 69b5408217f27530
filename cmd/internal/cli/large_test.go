package cli_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ferrule/cmd/internal/cli"
)

// A sheet without a column of sets is one set. Where it is too large to be judged whole each club is still judged, and
// what asks about the others is left open and told, never passed.
func TestASetTooLargeToBeJudgedWhole(t *testing.T) {
	dir := t.TempDir()
	book, sheet := filepath.Join(dir, "b.ferrule"), filepath.Join(dir, "stock.csv")
	rules := `rulebook "Stock"
  edition 2026-01-01
rule flat "R"
  for     every club
  require lie at most 63 deg
rule few "R"
  for     each set
  require count of wedge at most 0
rule steps "R"
  for     neighbours among wedge by loft
  require rise of loft at most 4 deg
rule level "R"
  for     every club
  require lie at most 1 deg + (mean of lie among club)
`
	if err := os.WriteFile(book, []byte(rules), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, rows := range []int{50_000, 60_000} {
		var b strings.Builder
		b.WriteString("id,club,lie\n")
		for i := range rows {
			id := i
			if i == 55_000 {
				id = 7
			}
			lie := 62
			if i%10_000 == 1 {
				lie = 64
			}
			fmt.Fprintf(&b, "c%d,7i,%d deg\n", id, lie)
		}
		if err := os.WriteFile(sheet, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		var out, err bytes.Buffer
		args := []string{"check", sheet, "--rules", book, "--on", "2026-05-02", "--format", "short"}
		code := cli.Run(args, &cli.Streams{Now: today, Out: &out, Err: &err})
		lines := strings.Split(strings.ReplaceAll(out.String(), sheet, "stock.csv"), "\n")
		const large = "the set has more than 50,000 rows, too many to be read as one set (is a column set missing?)"
		want := []string{
			"stock.csv:3: fail flat: 7 iron (c1): lie 64 deg; at most 63 deg; 1 deg over", "stock.csv:10003: fail flat: ", "stock.csv:20003: fail flat: ",
			"stock.csv:30003: fail flat: ", "stock.csv:40003: fail flat: ",
			"stock.csv:2: unmeasured few: the set: " + large, "stock.csv:2: unmeasured steps: the set: " + large, "stock.csv:2: unmeasured level: the set: " + large,
			"stock.csv:50003: fail flat: ", "stock.csv:55002: refused id: the id is in a row further up of the same set already; expected another id",
			"rows read 60000, judged 59999, refused 1; pass 59993, fail 6, too-close 0, unmeasured 3, exempt 0, advised 0; on 2026-05-02", "",
		}
		wantCode, said := 3, "stock.csv: "+large+"; its rules about neighbours and about the whole set were not judged\n"
		if rows == 50_000 {
			want, wantCode, said = nil, 1, ""
			for _, rule := range []string{"flat", "level"} {
				for i := range 5 {
					want = append(want, fmt.Sprintf("stock.csv:%d: fail %s: ", 10_000*i+3, rule))
				}
			}
			want = append(want, "rows read 50000, judged 50000, refused 0; pass 99991, fail 10, too-close 0, unmeasured 0, exempt 0, advised 0; on 2026-05-02", "")
		}
		if code != wantCode || len(lines) != len(want) || !strings.Contains(strings.ReplaceAll(err.String(), sheet, "stock.csv"), said) {
			t.Fatalf("%d rows: exit code %d, it said %q, and\n%s", rows, code, err.String(), strings.Join(lines[:min(20, len(lines))], "\n"))
		}
		for i, line := range lines {
			if !strings.HasPrefix(line, want[i]) {
				t.Errorf("%d rows: %s\nwant %s", rows, line, want[i])
			}
		}
	}
}

// Of a sheet that is too large to be gathered a row may be refused for what is far above it. What it could change is not
// passed there, as in a small sheet: the clubs of a set that comes back, and every set where that of a row cannot be read.
func TestLateRowsOfALargeSheet(t *testing.T) {
	dir := t.TempDir()
	book, sheet := filepath.Join(dir, "b.ferrule"), filepath.Join(dir, "stock.csv")
	rules := `rulebook "Stock"
  edition 2026-01-01
rule few "R"
  for     each set
  require count of club at most 2
rule steps "R"
  for     neighbours among iron by loft
  require rise of loft at most 4 deg
`
	if err := os.WriteFile(book, []byte(rules), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ row, open, last string }{
		{"Bag 3,x,9i,36", ":8: unmeasured few: the set bag 3", "judged 50020, refused 1; pass 50018, fail 0, too-close 0, unmeasured 2"},
		{"#REF!,x,9i,36", ":2: unmeasured few: the set bag 0", "judged 50020, refused 1; pass 0, fail 0, too-close 0, unmeasured 50020"},
	} {
		var b strings.Builder
		b.WriteString("set,id,club,loft (deg)\n")
		for i := range 25_010 {
			fmt.Fprintf(&b, "bag %d,a,7i,34\nbag %[1]d,b,8i,38\n", i)
		}
		b.WriteString(c.row + "\n")
		if err := os.WriteFile(sheet, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		for _, from := range []string{sheet, "-"} {
			var out, err bytes.Buffer
			args := []string{"check", from, "--rules", book, "--on", "2026-05-02", "--format", "short"}
			code := cli.Run(args, &cli.Streams{Now: today, In: strings.NewReader(b.String()), Out: &out, Err: &err})
			if text := out.String(); code != 3 || !strings.Contains(text, c.open) || !strings.Contains(text, c.last) {
				t.Errorf("%s: exit code %d, it said %s and\n%s", c.row, code, err.String(), text[:min(len(text), 500)])
			}
		}
	}
}

// Rows whose set cannot be read may all be of any one set, however many there are.
func TestManyRowsOfAnySet(t *testing.T) {
	dir := t.TempDir()
	book, sheet := filepath.Join(dir, "b.ferrule"), filepath.Join(dir, "stock.csv")
	rules := "rulebook \"Stock\"\n  edition 2026-01-01\nrule few \"R\"\n  for     each set\n  require count of club at most 90\n"
	if err := os.WriteFile(book, []byte(rules), 0o600); err != nil {
		t.Fatal(err)
	}
	text := "set,club\nA,7i\nB,7i\nC,7i\n" + strings.Repeat("#REF!,8i\n", 100)
	if err := os.WriteFile(sheet, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for format, want := range map[string]string{
		"short": "rows read 103, judged 3, refused 100; pass 0, fail 0, too-close 0, unmeasured 3",
		"text":  "MISSING    row 5, row 6, row 7 and others, which could not be read, for few",
	} {
		var out, err bytes.Buffer
		args := []string{"check", sheet, "--rules", book, "--on", "2026-05-02", "--format", format}
		code := cli.Run(args, &cli.Streams{Now: today, Out: &out, Err: &err})
		if code != 3 || !strings.Contains(out.String(), want) {
			t.Errorf("exit code %d, it said %s and\n%s", code, err.String(), out.String())
		}
	}
}
