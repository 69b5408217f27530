// Make writes the spreadsheets of this folder by excelize; how it is run is said in make.py.
package main

import (
	"log"
	"time"

	"github.com/xuri/excelize/v2"
)

func must[T any](v T, err error) T {
	if err != nil {
		log.Fatal(err)
	}
	return v
}

func write(name string, fill func(f *excelize.File)) {
	f := excelize.NewFile()
	fill(f)
	must(0, f.SaveAs("../excelize-"+name+".xlsx"))
}

func row(f *excelize.File, cell string, values ...any) {
	must(0, f.SetSheetRow("Sheet1", cell, &values))
}

func style(f *excelize.File, cell string, s excelize.Style) {
	must(0, f.SetCellStyle("Sheet1", cell, cell, must(f.NewStyle(&s))))
}

func main() {
	bag := func(f *excelize.File) {
		row(f, "A1", "set", "id", "club", "length (in)", "by", "lie (deg)")
		row(f, "A2", "birch", "d1", "driver", 45.75, "soled", 58)
		row(f, "A3", "birch", "i7", "7i", "37 1/2 | 37 5/8", "soled", 62.00000000000001)
		row(f, "A5", "birch", "p", "putter", 34.125, "axis", nil)
	}
	write("bag", bag)
	write("hidden", func(f *excelize.File) {
		bag(f)
		must(0, f.SetRowVisible("Sheet1", 2, false))
		must(0, f.MergeCell("Sheet1", "A2", "A3"))
		must(0, f.MergeCell("Sheet1", "D2", "D3"))
	})
	write("stream", func(f *excelize.File) {
		w := must(f.NewStreamWriter("Sheet1"))
		must(0, w.SetRow("A1", []any{"club", "length (in)", "on", "yes", "note"}))
		must(0, w.SetRow("B3", []any{37.25, time.Date(2026, 4, 3, 0, 0, 0, 0, time.UTC), true, excelize.Cell{Formula: "1+1"}}))
		must(0, w.SetRow("A4", []any{"7i", "36 ½", nil, false, excelize.Cell{Formula: "1+1", Value: 2}}))
		must(0, w.Flush())
	})
	write("rich", func(f *excelize.File) {
		row(f, "A1", "club", "length (in)")
		must(0, f.SetCellRichText("Sheet1", "B2", []excelize.RichTextRun{{Text: "37 "}, {Text: "1/2", Font: &excelize.Font{Bold: true}}, {Text: " in"}}))
		row(f, "A2", "7i")
		must(0, f.SetCellFormula("Sheet1", "B3", "=36+1"))
		row(f, "A3", "8i")
	})
	code := func(s string) *string { return &s }
	for name, mac := range map[string]bool{"formats": false, "formats1904": true} {
		write(name, func(f *excelize.File) {
			must(0, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &mac}))
			row(f, "A1", "club", "value", "value")
			row(f, "A2", "7i", 0.4575, 45.75)
			row(f, "A3", "8i", 46115, 46115.75)
			row(f, "A4", "9i", 0.3125, 45.3125)
			style(f, "B2", excelize.Style{NumFmt: 10})
			style(f, "C2", excelize.Style{NumFmt: 12})
			style(f, "B3", excelize.Style{NumFmt: 14})
			style(f, "C3", excelize.Style{CustomNumFmt: code("[$-407]d. mmm yyyy")})
			style(f, "B4", excelize.Style{CustomNumFmt: code("hh:mm")})
			style(f, "C4", excelize.Style{CustomNumFmt: code(`# ??/16" in"`)})
		})
	}
}
