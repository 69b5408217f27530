package cells

// This file holds written sheets to what they were: what is not changed is the same, byte for byte, and what is changed
// reads as it was written, here and by another program.

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

func TestWriteText(t *testing.T) {
	frame := Frame{Comma: ',', Head: 1, Heads: []string{"id", "club", "lie"}}
	same := func(a, b string) bool { return strings.EqualFold(a, b) }
	for _, c := range []struct {
		what, name, text, want string
		edits                  Edits
	}{
		{"nothing changes", "a.csv", "id,club,lie\r\ni7,7 iron,\"6\"\"\"", "id,club,lie\r\ni7,7 iron,\"6\"\"\"", Edits{Frame: frame}},
		{"a cell, and the quotes of others", "a.csv", "id,club,lie\n\"i,7\", 7 iron ,\n", "id,club,lie\n\"i,7\", 7 iron ,\"62,5\"\n",
			Edits{Frame: frame, Cells: map[int]map[int]string{2: {2: "62,5"}}}},
		{"a mark, a column, a blank row and a row at fault", "a.csv", "\ufeffid,club,lie\r\n,,\r\ni7,7 iron,60\r\ni8,8 iron\r\n\"i9,9 iron,60\r\n",
			"\ufeffid,club,lie,note\r\n,,\r\ni7,7 iron,60,\"a \"\"b\"\"\"\r\ni8,8 iron,\r\n\"i9,9 iron,60\r\n",
			Edits{Frame: frame, New: []string{"note"}, Cells: map[int]map[int]string{3: {3: `a "b"`}}}},
		{"empty cells at the end are used", "a.csv", "id,club,lie\ni7,7 iron,60,,\n", "id,club,lie,note\ni7,7 iron,60,x,\n",
			Edits{Frame: frame, New: []string{"note"}, Cells: map[int]map[int]string{2: {3: "x"}}}},
		{"rows behind others, the last without an end", "a.csv", "id,club,lie\r\ni7,7 iron,60\r\np,putter,70",
			"id,club,lie\r\ni7,7 iron,60\r\n,8 iron,\r\n,9 iron,61\r\np,putter,70\r\nd,driver,",
			Edits{Frame: frame, Rows: []AddedRow{{2, map[int]string{1: "8 iron"}}, {2, map[int]string{1: "9 iron", 2: "61"}}, {3, map[int]string{0: "d", 1: "driver"}}}}},
		{"lines that end as on old machines", "a.csv", "id,club,lie\ri7,7 iron,\r", "id,club,lie\ri7,7 iron,62\r",
			Edits{Frame: frame, Cells: map[int]map[int]string{2: {2: "62"}}}},
		{"members, other values as they were", "a.jsonl", "{\"club\":\"7 iron\",\"Lie\":null, \"x\":{\"a\": [1,  2]}}\r\n\n{\"club\":\"8 iron\"}",
			"{\"club\": \"7 iron\", \"Lie\": \"62\", \"x\": {\"a\": [1,  2]}, \"by\": \"a<b\"}\r\n\n{\"club\":\"8 iron\"}\n{\"club\": \"9 iron\"}\n",
			Edits{Frame: Frame{Heads: []string{"club", "lie"}, Same: same}, New: []string{"by"}, Cells: map[int]map[int]string{1: {1: "62", 2: "a<b"}},
				Rows: []AddedRow{{3, map[int]string{0: "9 iron"}}}}},
		{"an empty file", "a.jsonl", "", "{\"club\": \"9 iron\"}\n", Edits{Frame: Frame{Same: same}, New: []string{"club"}, Rows: []AddedRow{{0, map[int]string{0: "9 iron"}}}}},
	} {
		got, err := Write(c.name, []byte(c.text), &c.edits)
		if err != nil || string(got) != c.want {
			t.Errorf("%s: %v\n%q\nwant\n%q", c.what, err, got, c.want)
		}
	}
}

// parts are the parts of a spreadsheet.
func parts(t *testing.T, text []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		b, _ := io.ReadAll(in)
		out[f.Name] = string(b)
	}
	return out
}

// rowsOf are the texts of a sheet, by row and column.
func rowsOf(t *testing.T, name string, text []byte) map[[2]int]Cell {
	t.Helper()
	source, trouble := Open(name, bytes.NewReader(text), UsualLimits)
	if trouble != nil {
		t.Fatalf("%s: %+v", name, trouble)
	}
	out := map[[2]int]Cell{}
	for row := source.Next(); row != nil; row = source.Next() {
		for _, c := range row.Cells {
			out[[2]int{row.Number, c.Column}] = c
		}
	}
	if trouble := source.Trouble(); trouble != nil {
		t.Fatalf("%s: %+v", name, trouble)
	}
	return out
}

// The spreadsheets of several writers keep every part but the sheet's, and every cell but those that change.
func TestWriteSpreadsheets(t *testing.T) {
	files, err := filepath.Glob("testdata/*.xlsx")
	if err != nil || len(files) < 3 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		source, trouble := Open(file, bytes.NewReader(text), UsualLimits)
		if trouble != nil {
			continue
		}
		first := source.Next()
		if first == nil {
			continue
		}
		head, width, at := first.Number, first.Cells[len(first.Cells)-1].Column+3, 0 // beside what is merged
		for row := source.Next(); row != nil; row = source.Next() {
			at = row.Number
		}
		if source.Trouble() != nil || at == 0 || width > mostColumns-2 {
			continue
		}
		edits := &Edits{Frame: Frame{Head: head, Heads: make([]string, width)}, New: []string{"a & b", "_x0041_"},
			Cells: map[int]map[int]string{at: {width: "<61>", width + 1: " b"}}, Rows: []AddedRow{{at, map[int]string{0: "x", width: "y"}}}}
		got, err := Write(file, text, edits)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		want := rowsOf(t, file, text)
		for at, text := range map[[2]int]string{{head, width}: "a & b", {head, width + 1}: "_x0041_", {at, width}: "<61>",
			{at, width + 1}: "b", {at + 1, 0}: "x", {at + 1, width}: "y"} {
			want[at] = Cell{Column: at[1], Text: text}
		}
		have := rowsOf(t, file, got)
		for at, c := range have {
			if c.Text = strings.TrimSpace(c.Text); want[at] != c {
				t.Errorf("%s: row %d column %d is %+v; want %+v", file, at[0], at[1], c, want[at])
			}
		}
		if len(have) != len(want) {
			t.Errorf("%s: %d cells; want %d", file, len(have), len(want))
		}
		old, now := parts(t, text), parts(t, got)
		changed := 0
		for name := range old {
			if old[name] != now[name] {
				changed++
			}
		}
		if changed != 1 || len(old) != len(now) {
			t.Errorf("%s: %d parts changed", file, changed)
		}
	}
}

// Another program reads what was written, and finds the styles and the formulas that were there. A cell with a formula
// is not written over.
func TestWriteSpreadsheetForAnother(t *testing.T) {
	f := excelize.NewFile()
	bold, _ := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	for cell, v := range map[string]any{"A1": "set", "B1": "club", "C1": "lie", "E1": "sum", "A2": "Birch", "D5": "was", "B2": "7 iron", "A5": "Larch", "B5": "putter"} {
		f.SetCellValue("Sheet1", cell, v)
	}
	f.SetCellFormula("Sheet1", "E2", "1+2")
	f.SetCellStyle("Sheet1", "C2", "C2", bold)
	f.MergeCell("Sheet1", "A5", "A6")
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	edits := &Edits{Frame: Frame{Head: 1, Heads: make([]string, 5)}, New: []string{"by"},
		Cells: map[int]map[int]string{2: {2: "62 deg", 5: "soled"}, 5: {2: "70 deg", 3: "note"}}, Rows: []AddedRow{{2, map[int]string{0: "Birch", 1: "8 iron"}}, {5, map[int]string{1: "x"}}}}
	got, err := Write("a.xlsx", b.Bytes(), edits)
	if err != nil {
		t.Fatal(err)
	}
	g, err := excelize.OpenReader(bytes.NewReader(got))
	if err != nil {
		t.Fatal(err)
	}
	for cell, want := range map[string]string{"C2": "62 deg", "C5": "70 deg", "D5": "note", "F2": "soled", "F1": "by", "A3": "Birch", "B3": "8 iron", "B5": "putter", "B6": "x", "A5": "Larch"} {
		if v, _ := g.GetCellValue("Sheet1", cell); v != want {
			t.Errorf("%s is %q; want %q", cell, v, want)
		}
	}
	style, _ := g.GetCellStyle("Sheet1", "C2")
	formula, _ := g.GetCellFormula("Sheet1", "E2")
	if merged, _ := g.GetMergeCells("Sheet1"); style != bold || formula != "1+2" || len(merged) != 1 {
		t.Errorf("style %d, formula %q, merged %v", style, formula, merged)
	}
	whole := &Edits{Frame: edits.Frame, Soft: []int{3}, Cells: map[int]map[int]string{6: {0: "Larch", 1: "9 iron"}}}
	if again, err := Write("a.xlsx", got, whole); err != nil || rowsOf(t, "a.xlsx", again)[[2]int{6, 1}].Text != "9 iron" {
		t.Errorf("what a merged cell says already: %v", err)
	}
	whole.Cells[6][0] = "Rowan"
	if _, err := Write("a.xlsx", got, whole); err == nil || !strings.Contains(err.Error(), "other rows") {
		t.Errorf("a merged cell was written over: %v", err)
	}
	edits.Cells[2][4] = "4"
	if _, err := Write("a.xlsx", b.Bytes(), edits); err == nil || !strings.Contains(err.Error(), "formula") {
		t.Errorf("a formula was written over: %v", err)
	}
	if _, err := Write("a.ods", ods(t), &Edits{}); err != ErrFormat {
		t.Errorf("an .ods: %v", err)
	}
}

// A sheet that is begun is one for another program as well, and is written on.
func TestBegin(t *testing.T) {
	for name, want := range map[string]string{"new.xlsx": "Clubs", "new.XLSX#Bench & Co": "Bench & Co"} {
		text, err := Begin(name, []string{"id", "club"})
		if err != nil {
			t.Fatal(name, err)
		}
		edits := &Edits{Frame: Frame{Head: 1, Heads: []string{"id", "club"}}, New: []string{"lie (deg)"},
			Rows: []AddedRow{{1, map[int]string{0: "i7", 1: "7 iron", 2: "62"}}}}
		if text, err = Write(name, text, edits); err != nil {
			t.Fatal(err)
		}
		f, err := excelize.OpenReader(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := f.GetRows(want)
		if got := fmt.Sprint(f.GetSheetList(), rows, err); got != "["+want+"] [[id club lie (deg)] [i7 7 iron 62]] <nil>" {
			t.Errorf("%s: %s", name, got)
		}
		if got := rowsOf(t, name, text); got[[2]int{2, 1}].Text != "7 iron" || got[[2]int{1, 2}].Text != "lie (deg)" {
			t.Errorf("%s: %v", name, got)
		}
	}
	for _, name := range []string{"new.ods", "new", "new.xlsx#a/b", "new.xlsx#" + strings.Repeat("x", 32)} {
		if _, err := Begin(name, []string{"club"}); err == nil {
			t.Errorf("%s is begun", name)
		}
	}
}

// ods is one of the .ods spreadsheets of the test data.
func ods(t *testing.T) []byte {
	t.Helper()
	files, _ := filepath.Glob("testdata/*.ods")
	text, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	return text
}
