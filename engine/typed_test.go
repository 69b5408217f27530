package engine

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/load"
)

// TestTypedSixWays holds that 200 clubs have the same verdicts in whatever way and by whatever program they are typed:
// as text with commas or semicolons, in fractions, millimetres or feet, by openpyxl, XlsxWriter and LibreOffice, and as
// JSON Lines. The folder's make.py says how the sheets were made.
func TestTypedSixWays(t *testing.T) {
	const folder = "testdata/typed"
	books, list := Open(load.Root{FS: os.DirFS(folder), Path: "typed.ferrule", Show: "typed.ferrule"})
	if books == nil {
		t.Fatal(list)
	}
	want := ""
	for _, name := range []string{"commas.csv", "semicolons.csv", "openpyxl.xlsx", "xlsxwriter.xlsx", "libreoffice.ods", "lines.jsonl"} {
		in, err := os.Open(folder + "/" + name)
		if err != nil {
			t.Fatal(err)
		}
		out, err := books.Check(name, in, "", book.NoDay)
		in.Close()
		if err != nil || out.totals.RowsJudged != 200 || out.totals.RowsRefused > 0 {
			t.Fatalf("%s: %v, %+v", name, err, out.totals)
		}
		var got strings.Builder
		for _, s := range out.Sets {
			if len(s.NotRead)+len(s.Unused) > 0 {
				t.Errorf("%s: %v, %v", name, s.NotRead, s.Unused)
			}
			for _, r := range s.Results {
				fmt.Fprint(&got, catalogue.Key(s.Name), " ", r.Rule.Decl.Name.Text)
				for _, c := range r.Subject.Clubs {
					fmt.Fprint(&got, " ", c.ID)
				}
				fmt.Fprintf(&got, ": %v %v\n", r.Verdict, r.Value)
			}
		}
		if want == "" {
			want = got.String()
		}
		if got.String() != want {
			a, b := strings.Split(want, "\n"), strings.Split(got.String(), "\n")
			for i := range min(len(a), len(b)) {
				if a[i] != b[i] {
					t.Errorf("%s: %s\nwant %s", name, b[i], a[i])
					break
				}
			}
		}
	}
	if fails := strings.Count(want, ": fail "); fails < 50 || strings.Count(want, "\n") < 600 {
		t.Errorf("%d results, %d of them fail", strings.Count(want, "\n"), fails)
	}
}
