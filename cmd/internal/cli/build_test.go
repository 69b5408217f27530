package cli_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"ferrule/cmd/internal/cli"
)

const cuttingList = `set,id,club,shaft,raw-length (in),tip-trim (in),bore (in),target-length (in),by,lie (deg),dry-length,dry-by
a,d1,driver,s1,46,0.5,1.5,45,plane-60,58,44 5/8 in | 44 11/16 in,bare
a,w3,3w,s2,44,0.5,1.25,43,soled,57.5,,
b,pt,putter,s3,36,0,1,34,axis,,,
`

// A spreadsheet gives the plan that its text gives.
func TestCuttingListAsSpreadsheet(t *testing.T) {
	dir := t.TempDir()
	text, book := filepath.Join(dir, "list.csv"), filepath.Join(dir, "list.xlsx")
	if err := os.WriteFile(text, []byte(cuttingList), 0o666); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(cuttingList)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	f := excelize.NewFile()
	for i, row := range rows {
		for k, cell := range row {
			var v any = cell
			var n float64
			if _, err := fmt.Sscanf(cell+"|", "%g|", &n); err == nil {
				v = n
			}
			at, err := excelize.CoordinatesToCellName(k+1, i+1)
			if err != nil {
				t.Fatal(err)
			}
			if err := f.SetCellValue("Sheet1", at, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.SaveAs(book); err != nil {
		t.Fatal(err)
	}
	var plans [2][]map[string]any
	for i, name := range []string{text, book} {
		var out, errs bytes.Buffer
		code := cli.Run([]string{"build", name, "--format", "json"}, &cli.Streams{Now: today, In: strings.NewReader(""), Out: &out, Err: &errs})
		var report struct{ Results []map[string]any }
		if err := json.Unmarshal(out.Bytes(), &report); err != nil {
			t.Fatalf("exit %d: %v: %s", code, err, errs.String())
		}
		for _, r := range report.Results {
			delete(r, "file")
		}
		plans[i] = report.Results
	}
	if len(plans[0]) != 3 || !reflect.DeepEqual(plans[0], plans[1]) {
		t.Errorf("text        %v\nspreadsheet %v", plans[0], plans[1])
	}
}
