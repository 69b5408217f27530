package cells

import (
	"encoding/csv"
	"io"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// FuzzCells cuts rows as encoding/csv cuts them, wherever that takes the text at all: it knows no inch marks, no blank
// before a closing quote, more sorts of blank before an opening one, and eats blank lines.
func FuzzCells(f *testing.F) {
	for _, s := range []string{"a,b,c\n1,\"2\n\"\"3\"\"\",4\n", "\"a\",b\r\n\"\",\"x,y\"\r\n", "a\n\n\"b\"\n", "a, \"b\"\n1,2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if strings.Count(text, "\r") != strings.Count(text, "\r\n") || len(text) > MaxRow || strings.HasPrefix(text, "\ufeff") ||
			strings.ContainsFunc(text, func(c rune) bool { return unicode.IsSpace(c) && !strings.ContainsRune(" \r\n", c) }) {
			return
		}
		want := csv.NewReader(strings.NewReader(text))
		want.TrimLeadingSpace = true
		want.FieldsPerRecord = -1
		s := NewCSV(strings.NewReader(text))
		for {
			cells, err := want.Read()
			if err != nil && err != io.EOF {
				return // it takes no such text
			}
			var got []string
			for {
				if !s.record() {
					break
				}
				row := &s.cut
				if row.Flaw != Sound {
					t.Fatalf("%q: a row is refused that encoding/csv takes", text)
				}
				if row.Text != "" {
					got = s.Cut(nil, row.Text, Sound, All)
					break
				}
			}
			if err == io.EOF {
				if len(got) > 0 {
					t.Fatalf("%q: a row more, %q", text, got)
				}
				return
			}
			for i := range cells {
				cells[i] = strings.TrimSpace(cells[i])
			}
			for i := range got {
				got[i] = strings.ReplaceAll(got[i], "\r\n", "\n")
			}
			if !slices.Equal(got, cells) {
				t.Fatalf("%q: %q, want %q", text, got, cells)
			}
		}
	})
}

// FuzzODS reads what is in a sheet of an .ods spreadsheet, whatever it is: rows go down, cells go to the right, and
// no cell is blank.
func FuzzODS(f *testing.F) {
	f.Add(`<table:table-row table:number-rows-repeated="2"><table:table-cell table:formula="of:=1"/><table:covered-table-cell office:value-type="date" office:date-value="2026-04-03"/></table:table-row>`)
	f.Add(`<table:table-row><table:table-cell table:number-columns-repeated="3"><text:p>a<text:s text:c="9"/></text:p><text:p/></table:table-cell></table:table-row></table:table><table:table>`)
	f.Fuzz(func(t *testing.T, rows string) {
		source, trouble := Open("f.ods", zipped(t, "content.xml", content(rows)), UsualLimits)
		if trouble != nil {
			return
		}
		n := 0
		for row := source.Next(); row != nil && n < 9999; row = source.Next() {
			if row.Number <= n || row.Number > mostRows {
				t.Fatalf("row %d comes after row %d", row.Number, n)
			}
			n = row.Number
			column := -1
			for _, c := range row.Cells {
				if c.Column <= column || c.Column >= mostColumns || c.Text == "" && c.Sort == Text {
					t.Fatalf("row %d: %+v comes after column %d", n, c, column)
				}
				column = c.Column
			}
		}
	})
}
