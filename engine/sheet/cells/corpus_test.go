package cells

import (
	"bufio"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// misread are cells that the source of the expected text reads otherwise than the file has them, with what is there.
var misread = map[string]map[string]string{
	"excelize-rich.xlsx": {"B3": "=36+1"}, // the formula is stored with its sign
	// Before the first of 1904 there is no day in such a spreadsheet.
	"openpyxl-dates1904.xlsx":    {"F2": "-1403 of sort 10"},
	"libreoffice-dates1904.xlsx": {"F2": "-1403 of sort 10"},
	// A code for a character is that character, by ECMA-376 part 1, 22.9.2.19; in .ods there are none.
	"openpyxl-texts.xlsx":   {"B5": "A stays"},
	"libreoffice-texts.ods": {"B5": "_x0041_ stays"},
	// A formula whose value is the empty text.
	"libreoffice-formulas.xlsx": {"C2": ""},
	// A cell merged over several rows holds for each of them.
	"excelize-hidden.xlsx":    {"A3": "birch", "D3": "45.75"},
	"libreoffice-merged.ods":  {"A3": "elm", "C3": "37", "D3": "soled"},
	"libreoffice-merged.xlsx": {"A3": "elm", "C3": "37", "D3": "soled"},
	"openpyxl-merged.xlsx":    {"A3": "elm", "C3": "37", "D3": "soled"},
	"sheetjs-odd.ods":         {"A3": "birch"},
	"xlsxwriter-table.xlsx":   {"F4": "merged", "F5": "merged"},
	// A cell that is covered by a merged one, and holds a text all the same.
	"sheetjs-odd.xlsx":      {"A3": "birch"},
	"sheetjs-days1904.xlsx": {"A3": "birch"},
	// SheetJS goes by the number of a day, and of the days before March 1900 it has one too many.
	"libreoffice-dates.ods":     {"F2": "1900-02-26"},
	"libreoffice-dates1904.ods": {"F2": "1900-02-27"},
	// It takes a day with a time for the time, and does not say what is a percentage.
	"libreoffice-formats.ods": {"B6": "45.75 %", "B7": "45.75 %", "B24": "45.75 %", "B20": "1899-12-30", "B21": "1899-12-30"},
}

// TestCorpus reads spreadsheets by five writers as other programs read them: testdata/make says how both were made.
func TestCorpus(t *testing.T) {
	files, err := filepath.Glob("testdata/*.want")
	if err != nil || len(files) < 40 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, want := range files {
		file := strings.TrimSuffix(want, ".want")
		t.Run(filepath.Base(file), func(t *testing.T) {
			sheet, expected := expectedOf(t, want)
			maps.Copy(expected, misread[filepath.Base(file)])
			maps.DeleteFunc(expected, func(_, text string) bool { return text == "" })
			if got := cellsOf(t, file+"#"+sheet); !maps.Equal(got, expected) {
				for _, cell := range slices.Sorted(maps.Keys(got)) {
					if e, ok := expected[cell]; e != got[cell] || !ok {
						t.Errorf("%s is %q, want %q", cell, got[cell], e)
					}
					delete(expected, cell)
				}
				for cell, e := range expected {
					t.Errorf("%s is empty, want %q", cell, e)
				}
			}
		})
	}
}

// expectedOf are the cells of a sheet by their names, and its own name.
func expectedOf(t *testing.T, file string) (sheet string, cells map[string]string) {
	in, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	cells = map[string]string{}
	for s := bufio.NewScanner(in); s.Scan(); {
		if name, ok := strings.CutPrefix(s.Text(), "# sheet: "); ok {
			if err := json.Unmarshal([]byte(name), &sheet); err != nil {
				t.Fatal(err)
			}
		} else if !strings.HasPrefix(s.Text(), "#") {
			cell, text, _ := strings.Cut(s.Text(), " ")
			var is string
			if err := json.Unmarshal([]byte(text), &is); err != nil {
				t.Fatal(err)
			}
			cells[cell] = is
		}
	}
	return sheet, cells
}

// cellsOf are the cells of a sheet as they are read. A damaged one has its sort behind its text.
func cellsOf(t *testing.T, name string) map[string]string {
	in, err := os.Open(FileOf(name))
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	source, trouble := Open(name, in, UsualLimits)
	if trouble != nil {
		t.Fatalf("%+v", trouble)
	}
	got := map[string]string{}
	for row := source.Next(); row != nil; row = source.Next() {
		for _, c := range row.Cells {
			if c.Sort > Covered {
				c.Text += fmt.Sprint(" of sort ", c.Sort)
			}
			got[ColumnName(c.Column)+fmt.Sprint(row.Number)] = c.Text
		}
	}
	if trouble := source.Trouble(); trouble != nil {
		t.Errorf("%+v", trouble)
	}
	return got
}
