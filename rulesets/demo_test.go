package rulesets_test

// This file judges the sheets of testdata by the book of the invented event. What comes
// out was worked out by hand, row by row, from the sheets and the figures of the books.
// With -update it makes the spreadsheet anew.

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
)

var update = flag.Bool("update", false, "make the spreadsheet of testdata anew")

const sheets = "../testdata"

func TestDemoSheets(t *testing.T) {
	for _, demo := range []struct {
		sheet             string
		read, refused     int
		found             []string // what does not pass: verdict, rule, set and clubs
		refusals          []string // row and heading
		advised, excepted int
	}{
		{sheet: "spring-clean.csv", read: 12},
		// Two left-hand woods take the exception of wood-lie, and five irons of bags without
		// a hybrid that of iron-or-hybrid.
		{sheet: "spring.csv", read: 13, advised: 1, excepted: 7, found: []string{
			"fail longest-club-46 Birch d1",      // 46 1/2 in, 46.2 in allowed
			"too-close wood-lie Birch f3",        // 60.9 +/- 0.5 deg, 61 deg allowed
			"unmeasured iron-drops Birch i7, i8", // i8 has no length
			"unmeasured longest-club-46 Birch i8",
			"unmeasured shortest-length Birch i8",
		}},
		{sheet: "members.csv", read: 53, refused: 8, advised: 1, excepted: 5, found: []string{
			"fail clubs-carried Cedar",           // 15, an adjustable driver counts once
			"fail iron-drops Birch i6, i7",       // 1/4 in
			"fail iron-or-hybrid Cedar i5",       // 38 7/8 in, the hybrid has 38 3/4 in
			"fail putter-loft Birch p1",          // 10.5 deg
			"fail wood-lie Birch f5",             // 61.5 deg
			"fail wood-lie Cedar f5",             // 63.5 deg, a left-hander's limit is 63 deg
			"too-close wood-lie Birch f3",        // 60.9 +/- 0.5 deg
			"unmeasured iron-drops Birch i7, i8", // i8 has no length
			"unmeasured iron-drops Birch i8, i9",
			"unmeasured iron-drops Dogwood i4, i8", // the rows of three irons between them were refused
			"unmeasured iron-or-hybrid Birch i8",
			"unmeasured longest-club-46 Birch i8",
			"unmeasured shortest-length Birch i8",
			"unmeasured wood-lie Cedar f7", // 62 deg, and no hand
		}, refusals: []string{"44 length", "45 length", "47 length", "48 length", "49 by", "51 id", "53 lie", "54 length"}},
		{sheet: "one-bag.jsonl", read: 14},
		{sheet: "decimal-commas.csv", read: 7, excepted: 3},
		{sheet: "bench.xlsx", read: 8, excepted: 3},
		{sheet: "bench.xlsx#Odd cells", read: 5, refused: 3, found: []string{
			"unmeasured iron-drops Fir i5, i9",
		}, excepted: 2, refusals: []string{"3 length (in)", "4 length (in)", "5 length (in)"}},
	} {
		t.Run(demo.sheet, func(t *testing.T) {
			found, refusals, advised, excepted, read := judgeSheet(t, demo.sheet)
			if !slices.Equal(found, demo.found) {
				t.Errorf("found\n  %s\nwant\n  %s", strings.Join(found, "\n  "), strings.Join(demo.found, "\n  "))
			}
			if !slices.Equal(refusals, demo.refusals) || len(refusals) != demo.refused || read != demo.read {
				t.Errorf("%d rows read, %d refused: %v; want %d and %d: %v", read, len(refusals), refusals, demo.read, demo.refused, demo.refusals)
			}
			if advised != demo.advised || excepted != demo.excepted {
				t.Errorf("%d advised, %d excepted, want %d and %d", advised, excepted, demo.advised, demo.excepted)
			}
		})
	}
}

// judgeSheet judges a sheet of testdata by the event's book on the day of the event.
func judgeSheet(t *testing.T, name string) (found, refusals []string, advised, excepted, read int) {
	t.Helper()
	_, program := open(t, "spring-scramble")
	file, err := os.Open(filepath.Join(sheets, strings.Split(name, "#")[0]))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader, problem := sheet.Open(name, file, sheet.Options{Schema: program.Schema, Covers: wording.Covers(program), MethodNames: program.Methods()})
	if problem != nil {
		t.Fatal(problem)
	}
	day, _ := book.ParseDay("2026-05-02")
	j := program.NewJudge(judge.Options{Day: day, All: true})
	rows := 0
	for {
		set, more := reader.Next()
		if !more {
			break
		}
		rows += set.Rows
		for _, r := range set.Refused {
			if !r.Again {
				refusals = append(refusals, fmt.Sprintf("%d %s", r.Row.Row, r.Column))
			}
		}
		j.Set(set, judge.Sink{
			Conflict: func(c *judge.Conflict) { t.Error(wording.Conflicting(c)) },
			Result: func(r *judge.Result) {
				if r.Exception != nil {
					excepted++
				}
				switch {
				case r.Rule.Decl.Advice:
					if r.Verdict == decide.Fail {
						advised++
					}
				case r.Verdict != decide.Pass && r.Verdict != decide.Exempt:
					var ids []string
					for _, c := range r.Subject.Clubs {
						ids = append(ids, c.ID)
					}
					found = append(found, strings.TrimSpace(fmt.Sprintf("%s %s %s %s", r.Verdict, r.Rule.Decl.Name.Text, r.Subject.Set, strings.Join(ids, ", "))))
				}
			},
		})
	}
	if p := reader.Problem(); p != nil {
		t.Fatal(p)
	}
	for _, w := range reader.Warnings() {
		t.Error(w.Message)
	}
	slices.Sort(found)
	return found, refusals, advised, excepted, rows + len(refusals)
}

// bench.xlsx holds lengths as a spreadsheet holds them: numbers shown as fractions, and on
// its second sheet what happens to fractions that nobody watched.
func TestSpreadsheet(t *testing.T) {
	name := filepath.Join(sheets, "bench.xlsx")
	if *update {
		writeSpreadsheet(t, name)
	}
	book, err := excelize.OpenFile(name)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	if got := book.GetSheetList(); !slices.Equal(got, []string{"Bench", "Odd cells"}) {
		t.Errorf("its sheets are %v", got)
	}
	if shown, _ := book.GetCellValue("Bench", "D2"); shown != "45 1/2" {
		t.Errorf("the first length is shown as %q, want a fraction", shown)
	}
	if raw, _ := book.GetCellValue("Bench", "D2", excelize.Options{RawCellValue: true}); raw != "45.5" {
		t.Errorf("the first length is held as %q, want 45.5", raw)
	}
}

func writeSpreadsheet(t *testing.T, name string) {
	t.Helper()
	book := excelize.NewFile()
	defer book.Close()
	fraction := "# ?/?"
	day := "d-mmm"
	style := func(format *string) int {
		id, err := book.NewStyle(&excelize.Style{CustomNumFmt: format})
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	fractions, days := style(&fraction), style(&day)
	set := func(sheet string, rows [][]any) {
		for i, cells := range append([][]any{{"set", "id", "club", "length (in)", "by", "lie (deg)", "loft (deg)", "hand"}}, rows...) {
			at, _ := excelize.CoordinatesToCellName(1, i+1)
			if err := book.SetSheetRow(sheet, at, &cells); err != nil {
				t.Fatal(err)
			}
		}
		if err := book.SetCellStyle(sheet, "D2", fmt.Sprintf("D%d", len(rows)+1), fractions); err != nil {
			t.Fatal(err)
		}
	}
	if err := book.SetSheetName("Sheet1", "Bench"); err != nil {
		t.Fatal(err)
	}
	set("Bench", [][]any{
		{"Elm", "d1", "driver", 45.5, "soled", 58, 10.5, "right"},
		{"Elm", "f3", "3 wood", 43, "soled", 57, 15, "right"},
		{"Elm", "i7", "7 iron", 37, "soled", 62, 34, "right"},
		{"Elm", "i8", "8 iron", 36.5, "soled", 62.5, 38, "right"},
		{"Elm", "i9", "9 iron", 36.125, "soled", 63, 42, "right"},
		{"Elm", "pw", "PW", 35.75, "soled", 64, 46, "right"},
		{"Elm", "gw", "GW", 35.5, "soled", 64, 51, "right"},
		{"Elm", "p1", "putter", 34, "axis", 71, 3, "right"},
	})
	if _, err := book.NewSheet("Odd cells"); err != nil {
		t.Fatal(err)
	}
	set("Odd cells", [][]any{
		{"Fir", "i5", "5 iron", 38, "soled", 61, 26, "right"},
		{"Fir", "i6", "6 iron", time.Date(2026, 4, 3, 0, 0, 0, 0, time.UTC), "soled", 61.5, 30, "right"},
		{"Fir", "i7", "7 iron", "#REF!", "soled", 62, 34, "right"},
		{"Fir", "i8", "8 iron", nil, "soled", 62.5, 38, "right"},
		{"Fir", "i9", "9 iron", 36, "soled", 63, 42, "right"},
	})
	if err := book.SetCellStyle("Odd cells", "D3", "D3", days); err != nil {
		t.Fatal(err)
	}
	if err := book.SetCellFormula("Odd cells", "D5", "D4-1/2"); err != nil { // never worked out
		t.Fatal(err)
	}
	if err := book.SaveAs(name); err != nil {
		t.Fatal(err)
	}
}
