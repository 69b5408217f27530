package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
)

// workbook is a spreadsheet with one sheet after the other, each a list of rows.
func workbook(t testing.TB, change func(*excelize.File), sheets ...[][]any) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, rows := range sheets {
		name := fmt.Sprintf("Sheet%d", i+1)
		if _, err := f.NewSheet(name); err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, v := range row {
				cell, _ := excelize.CoordinatesToCellName(c+1, r+1)
				if err := f.SetCellValue(name, cell, v); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	if change != nil {
		change(f)
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestXLSX(t *testing.T) {
	text := workbook(t, func(f *excelize.File) {
		fraction, err := f.NewStyle(&excelize.Style{NumFmt: 12}) // # ?/?
		if err != nil {
			t.Fatal(err)
		}
		if err := f.SetCellStyle("Sheet1", "C3", "C3", fraction); err != nil {
			t.Fatal(err)
		}
		if err := f.SetCellFormula("Sheet1", "E4", "=60+2"); err != nil {
			t.Fatal(err)
		}
	}, [][]any{
		{"id", "club", "length (in)", "by", "lie (deg)", "made", "conforming"},
		{"d1", "driver", 45.75, "soled", 58, time.Date(2009, 12, 31, 0, 0, 0, 0, time.UTC), true},
		{"i7", "7i", 37.5, "soled", 62.00000000000001, nil, false},
		{"i8", "8i", 37, "soled", nil, nil, nil},
		nil,
		{"p", "putter", "34 1/2 | 34 5/8", "axis"},
	}, [][]any{{"club"}, {"9i"}})
	s := one(t, "a.xlsx", text)
	if s.Rows != 3 || len(s.Refused) != 1 {
		t.Fatalf("%d rows, refused %+v", s.Rows, s.Refused)
	}
	d, i, p := s.Clubs[0], s.Clubs[1], s.Clubs[2]
	amount(t, d, catalogue.LengthID, inches(45.75))
	made, _ := testOptions(t).Schema.Lookup("made")
	amount(t, d, made.ID, 14609) // days from 1970-01-01 to 2009-12-31: 40 years, 10 of them leap years, less a day
	amount(t, d, made.ID+1, 1)
	amount(t, i, catalogue.LengthID, inches(37.5))
	amount(t, i, catalogue.Lie, 62e6)
	amount(t, p, catalogue.LengthID, inches(34.5625))
	if p.Row != 6 || d.Row != 2 {
		t.Errorf("rows are %d and %d", d.Row, p.Row)
	}
	if f := s.Refused[0]; f.Row.Row != 4 || f.Column != "lie (deg)" || f.Read != "=60+2" ||
		f.Message != `"=60+2" is a formula without its value; expected the value (calculate the sheet, then save it again)` {
		t.Errorf("a formula without a value: %+v", f)
	}
	if s := one(t, "a.xlsx#sheet2", text); s.Clubs[0].Name != "9i" || s.File != "a.xlsx#sheet2" || s.Clubs[0].Place().File != "a.xlsx#sheet2" {
		t.Errorf("the second sheet gives %+v", s)
	}
	if s := one(t, "-", text); s.Rows != 3 {
		t.Errorf("standard input gives %d rows", s.Rows)
	}
	if _, _, p := read(t, "a.xlsx#Sheet3", text, testOptions(t)); p == nil || p.Hint != "a.xlsx#Sheet1" || p.File != "a.xlsx#Sheet3" ||
		p.Message != `the spreadsheet has no sheet "Sheet3"; expected one of Sheet1, Sheet2` {
		t.Errorf("a sheet that is not there: %v", p)
	}
}

// TestFormats holds what formats make of a number in a column of lengths.
func TestFormats(t *testing.T) {
	code := func(s string) *string { return &s }
	for _, c := range []struct {
		style   excelize.Style
		value   any
		message string // "" where the number is a length
	}{
		{excelize.Style{NumFmt: 16}, 46115, `"2026-04-03" is a date`}, // d-mmm; day 46115 is 3 April 2026
		{excelize.Style{NumFmt: 14}, 46115, `"2026-04-03" is a date`},
		{excelize.Style{CustomNumFmt: code(`[$-407]d. mmm`)}, 46115, `"2026-04-03" is a date`},
		{excelize.Style{NumFmt: 9}, 0.45, `"45 %" is a percentage`},
		{excelize.Style{CustomNumFmt: code("0.0%")}, 0.4575, `"45.75 %" is a percentage`},
		{excelize.Style{NumFmt: 2}, 45.75, ""},
		{excelize.Style{CustomNumFmt: code(`# ?/?`)}, 45.75, ""},
		{excelize.Style{CustomNumFmt: code(`0.00" inches, my dear"`)}, 45.75, ""},
		{excelize.Style{CustomNumFmt: code(`[Red]0.00\d`)}, 45.75, ""},
		{excelize.Style{}, true, `"TRUE" is not a number`},
	} {
		text := workbook(t, func(f *excelize.File) {
			style, err := f.NewStyle(&c.style)
			if err != nil {
				t.Fatal(err)
			}
			if err := f.SetCellStyle("Sheet1", "B2", "B2", style); err != nil {
				t.Fatal(err)
			}
		}, [][]any{{"club", "length (in)", "by"}, {"7i", c.value, "soled"}})
		s := one(t, "f.xlsx", text)
		if c.message == "" {
			if len(s.Refused) > 0 {
				t.Errorf("%+v: %s", c.style, s.Refused[0].Message)
				continue
			}
			amount(t, s.Clubs[0], catalogue.LengthID, inches(45.75))
			continue
		}
		if len(s.Refused) != 1 || !strings.HasPrefix(s.Refused[0].Message, c.message) {
			t.Errorf("%+v: %+v, want %s", c.style, s.Refused, c.message)
		}
	}
}

// parts is a spreadsheet written by hand, after ECMA-376, with the least that one must have.
func parts(rows string, change map[string]string) string {
	files := map[string]string{
		"[Content_Types].xml":        `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`,
		"_rels/.rels":                `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml":            `<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Bag" sheetId="1" r:id="rId7"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId7" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
		"xl/worksheets/sheet1.xml":   `<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` + rows + `</sheetData></worksheet>`,
	}
	maps.Copy(files, change)
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write([]byte(files[name]))
		}
		if err != nil {
			panic(err)
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return b.String()
}

const handHead = `<row r="1"><c r="A1" t="inlineStr"><is><t>club</t></is></c><c r="B1" t="inlineStr"><is><t>length (in)</t></is></c><c r="C1" t="inlineStr"><is><t>by</t></is></c></row>`

// TestByHand reads spreadsheets that no library wrote: texts within cells, cells and rows without
// addresses, errors, gaps.
func TestByHand(t *testing.T) {
	s := one(t, "h.xlsx", parts(handHead+
		`<row r="3"><c r="A3" t="inlineStr"><is><r><t>7</t></r><r><t>i</t></r></is></c><c r="B3"><v>37.5</v></c><c r="C3" t="str"><f>X1</f><v>soled</v></c></row>`+
		`<row><c t="str"><v>8i</v></c><c><v>37.200000000000003</v></c><c t="str"><v>soled</v></c></row>`+
		`<row r="9"><c r="A9" t="str"><v>9i</v></c><c r="B9" t="e"><v>#REF!</v></c><c r="C9" t="str"><v>soled</v></c></row>`+
		`<row r="10"><c r="A10" t="str"><v>PW</v></c><c r="B10"><f>B9*2</f></c><c r="C10" t="str"><v>soled</v></c></row>`, nil))
	if s.Rows != 2 || s.Clubs[0].Row != 3 || s.Clubs[1].Row != 4 || len(s.Refused) != 2 {
		t.Fatalf("%d rows, %+v, refused %+v", s.Rows, s.Clubs, s.Refused)
	}
	amount(t, s.Clubs[0], catalogue.LengthID, inches(37.5))
	amount(t, s.Clubs[1], catalogue.LengthID, 944.88e6) // 37.2 in, which a spreadsheet stores with dust
	if f := s.Refused[0]; f.Row.Row != 9 || f.Message != `"#REF!" is a spreadsheet's own error, not a value; expected the value (mend the formula of the cell)` {
		t.Errorf("an error: %+v", f)
	}
	if f := s.Refused[1]; f.Row.Row != 10 || f.Read != "=B9*2" {
		t.Errorf("a formula without a value: %+v", f)
	}
}

// TestDamaged holds that what a damaged cell holds never becomes a measurement: its row is refused, and it is told what
// was read. What each cell should hold is from ECMA-376 part 1: 18.3.1.4, 18.18.11, 18.8.30, 18.17.4.
func TestDamaged(t *testing.T) {
	text := map[string]string{
		"xl/_rels/workbook.xml.rels": `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId7" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/>` +
			`<Relationship Id="rId8" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="/xl/sharedStrings.xml"/><Relationship Id="rId9" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`,
		"xl/sharedStrings.xml": `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" count="9"><si><t>35 3/4</t><rPh sb="0" eb="1"><t>99</t></rPh></si><si><r><t>3</t></r><r><t xml:space="preserve">6 </t></r></si><si/><si><t>_x0033_7</t></si></sst>`,
		"xl/styles.xml":        `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts count="1"><numFmt numFmtId="164" formatCode="[h]:mm"/></numFmts><cellXfs><xf/><xf numFmtId="14"/><xf numFmtId="9"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="71"/></cellXfs></styleSheet>`,
	}
	const inch = 25.4e6
	for cell, want := range map[string]struct {
		amount        float64 // 0 where the row is refused
		read, message string  // the message begins so; "" where the cell is empty
	}{
		`<c r="B2" t="s"><v>0</v></c>`:                   {amount: 35.75 * inch},
		`<c r="B2" t="s"><v>1</v></c>`:                   {amount: 36 * inch},
		`<c r="B2" t="s"><v>3</v></c>`:                   {amount: 37 * inch},
		`<c r="B2" t="s"><v>2</v></c>`:                   {},
		`<c r="B2" t="s"><v>4</v></c>`:                   {0, "4", `"4" points to a text that the spreadsheet does not have: the spreadsheet is damaged`},
		`<c r="B2" t="s"><v>45</v></c>`:                  {0, "45", `"45" points to a text that the spreadsheet does not have: `},
		`<c r="B2" t="s"><v>-1</v></c>`:                  {0, "-1", `"-1" points to a text that the spreadsheet does not have: `},
		`<c r="B2" t="s"><v>4294967296</v></c>`:          {0, "4294967296", `"4294967296" points to a text that the spreadsheet does not have: `},
		`<c r="B2" t="s"><v>35.75</v></c>`:               {0, "35.75", `"35.75" points to a text that the spreadsheet does not have: `},
		`<c r="B2" t="s"/>`:                              {0, "", `the cell points to a text that the spreadsheet does not have: `},
		`<c r="B2" t="s"><v></v></c>`:                    {0, "", `the cell points to a text that the spreadsheet does not have: `},
		`<c r="B2" t="inlineStr"><is><t>36</t></is></c>`: {amount: 36 * inch},
		`<c r="B2" t="inlineStr"><is><t/></is></c>`:      {},
		`<c r="B2" t="inlineStr"><is/></c>`:              {},
		`<c r="B2" t="inlineStr"/>`:                      {0, "", `the cell points to a text that the spreadsheet does not have: `},
		`<c r="B2" t="inlineStr"><v>36</v></c>`:          {0, "36", `"36" points to a text that the spreadsheet does not have: `},
		`<c r="B2"><is><t>36</t></is></c>`:               {0, "36", `"36" is stored in a way that no spreadsheet knows: `},
		`<c r="B2" t="x"><v>36</v></c>`:                  {0, "36", `"36" is stored in a way that no spreadsheet knows: `},
		`<c r="B2"/>`:                                    {},
		`<c r="B2" t="n"/>`:                              {},
		`<c r="B2" s="0"><v>36</v></c>`:                  {amount: 36 * inch},
		`<c r="B2"><v>3.6E1</v></c>`:                     {amount: 36 * inch},
		`<c r="B2"><v>36 1/2</v></c>`:                    {0, "36 1/2", `"36 1/2" is stored as a number but is not one: `},
		`<c r="B2"><v>0x24</v></c>`:                      {0, "0x24", `"0x24" is stored as a number but is not one: `},
		`<c r="B2"><v>1e999</v></c>`:                     {0, "1e999", `"1e999" is stored as a number but is not one: `},
		`<c r="B2" s="6"><v>36</v></c>`:                  {0, "36", `"36" has a number format that the spreadsheet does not have: `},
		`<c r="B2" s="-1"><v>36</v></c>`:                 {0, "36", `"36" has a number format that the spreadsheet does not have: `},
		`<c r="B2" s="x"><v>36</v></c>`:                  {0, "36", `"36" has a number format that the spreadsheet does not have: `},
		`<c r="B2" s="4"><v>36</v></c>`:                  {0, "36", `"36" has a number format that the spreadsheet does not have: `},
		`<c r="B2" s="2"><v>36</v></c>`:                  {0, "3600 %", `"3600 %" is a percentage`},
		`<c r="B2" s="3"><v>36</v></c>`:                  {0, "1900-02-05", `"1900-02-05" is a date`},
		`<c r="B2" s="5"><v>59</v></c>`:                  {0, "1900-02-28", `"1900-02-28" is a date`},
		`<c r="B2" s="1"><v>61.5</v></c>`:                {0, "1900-03-01", `"1900-03-01" is a date`},
		`<c r="B2" s="1"><v>2958465</v></c>`:             {0, "9999-12-31", `"9999-12-31" is a date`},
		`<c r="B2" s="1"><v>60</v></c>`:                  {0, "60", `"60" is stored as a day but is not one: `},
		`<c r="B2" s="1"><v>-1</v></c>`:                  {0, "-1", `"-1" is stored as a day but is not one: `},
		`<c r="B2" s="1"><v>2958466</v></c>`:             {0, "2958466", `"2958466" is stored as a day but is not one: `},
		`<c r="B2" t="d"><v>2026-04-03T10</v></c>`:       {0, "2026-04-03", `"2026-04-03" is a date`},
		`<c r="B2" t="d"><v>36</v></c>`:                  {0, "36", `"36" is stored as a day but is not one: `},
		`<c r="B2" t="b"><v>1</v></c>`:                   {0, "TRUE", `"TRUE" is not a number`},
		`<c r="B2" t="b"><v>36</v></c>`:                  {0, "36", `"36" is stored as a yes or no but is neither: `},
		`<c r="B2" t="b"/>`:                              {0, "", `the cell is stored as a yes or no but is neither: `},
		`<c r="B2" t="e"><v>#N/A</v></c>`:                {0, "#N/A", `"#N/A" is a spreadsheet's own error`},
		`<c r="B2" t="e"><v>36</v></c>`:                  {0, "36", `"36" is stored as an error but is not one: `},
	} {
		s := one(t, "d.xlsx", parts(handHead+`<row r="2"><c r="A2" t="str"><v>7i</v></c>`+cell+`<c r="C2" t="str"><v>soled</v></c></row>`, text))
		if want.message == "" {
			if s.Rows != 1 {
				t.Errorf("%s: refused: %+v", cell, s.Refused)
			} else if got, _ := s.Clubs[0].Amount(catalogue.LengthID); got != want.amount {
				t.Errorf("%s is read as %g, want %g", cell, got, want.amount)
			}
			continue
		}
		if len(s.Refused) != 1 || s.Rows != 0 {
			t.Errorf("%s: %d rows, refused %+v", cell, s.Rows, s.Refused)
		} else if f := s.Refused[0]; f.Row.Row != 2 || f.Column != "length (in)" || f.Read != want.read || !strings.HasPrefix(f.Message, want.message) {
			t.Errorf("%s: %d, %s, %q: %s\nwant %q: %s", cell, f.Row.Row, f.Column, f.Read, f.Message, want.read, want.message)
		}
	}
	text["xl/workbook.xml"] = `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><workbookPr date1904="true"/><sheets><sheet name="Bag" sheetId="1" r:id="rId7"/></sheets></workbook>`
	s := one(t, "d.xlsx", parts(handHead+`<row r="2"><c r="A2" t="str"><v>7i</v></c><c r="B2" s="1"><v>60</v></c><c r="C2" t="str"><v>soled</v></c></row>`, text))
	if len(s.Refused) != 1 || s.Refused[0].Read != "1904-03-01" {
		t.Errorf("day 60 from the first of 1904: %+v", s.Refused)
	}
	sets, _, _ := read(t, "d.xlsx", parts(`<row r="1"><c t="str"><v>set</v></c><c t="str"><v>club</v></c></row><row r="2"><c t="s"><v>9</v></c><c t="str"><v>7i</v></c></row>`, text), testOptions(t))
	if got := outline(sets); got != ": -2any" {
		t.Errorf("a set that is not there: %s", got)
	}
	if _, _, p := read(t, "d.xlsx", parts(`<row r="1"><c t="str"><v>club</v></c><c t="s"><v>9</v></c></row>`, text), testOptions(t)); p == nil || p.Row != 1 || !strings.HasPrefix(p.Message, `"9" points to a text`) {
		t.Errorf("a heading that is not there: %v", p)
	}
}

// TestHostile holds that spreadsheets made to do harm are refused, quickly, and in words.
func TestHostile(t *testing.T) {
	row := func(n int, cells string) string { return fmt.Sprintf(`<row r="%d">%s</row>`, n, cells) }
	club := func(n int) string { return fmt.Sprintf(`<c r="A%d" t="str"><v>7i</v></c>`, n) }
	const torn = "the spreadsheet is damaged; open it and save it again, or save it as CSV"
	many := func(n int, text string) string { return strings.Repeat(text, n/len(text)+1) }
	for name, c := range map[string]struct{ text, message string }{
		"rows out of order":       {parts(handHead+row(5, club(5))+row(3, club(3)), nil), "row 3 comes after row 5; " + torn},
		"a row twice":             {parts(handHead+row(2, club(2))+row(2, club(2)), nil), "row 2 comes after row 2; " + torn},
		"a row of nothing":        {parts(handHead+`<row r="x">`+club(2)+`</row>`, nil), "row x comes after row 1; " + torn},
		"a cell further back":     {parts(handHead+row(2, `<c r="B2"><v>37</v></c>`+club(2)), nil), "the cell A2 is not where it belongs; " + torn},
		"a cell twice":            {parts(handHead+row(2, club(2)+club(2)), nil), "the cell A2 is not where it belongs; " + torn},
		"a cell of another row":   {parts(handHead+row(3, club(2)), nil), "the cell A2 is not where it belongs; " + torn},
		"a cell of nowhere":       {parts(handHead+row(2, `<c r="2A" t="str"><v>7i</v></c>`), nil), "the cell 2A is not where it belongs; " + torn},
		"two values in a cell":    {parts(handHead+row(2, club(2)+`<c r="B2"><v>3</v><v>7</v></c>`), nil), torn},
		"a value within a value":  {parts(handHead+row(2, club(2)+`<c r="B2"><v>3<v>7</v></v></c>`), nil), torn},
		"cells outside their row": {parts(handHead+club(2), nil), torn},
		"two lists of cells":      {parts(handHead+`</sheetData><sheetData>`+row(2, club(2)), nil), torn},
		"two parts of one name":   {parts(handHead+row(2, club(2)), map[string]string{"XL/Worksheets/sheet1.xml": "<x/>"}), torn},
		"endless cells":           {parts(handHead+`<row>`+many(16385*4, "<c/>")+`</row>`, nil), "the row has more than 16,384 cells, more than a spreadsheet can have"},
		"an endless cell":         {parts(handHead+row(2, `<c r="A2" t="str"><v>`+many(1<<20, "7")+`</v></c>`), nil), "a cell is larger than 1 MiB; expected a sheet of clubs"},
		"an endless mark":         {parts(handHead+row(2, `<c r="A2" `+many(1<<20, `a="b" `)+`/>`), nil), "a cell is larger than 1 MiB; expected a sheet of clubs"},
		"a row beyond the last":   {parts(handHead+row(2_000_000_000, club(2)), nil), "the sheet has more than 1,048,576 rows; expected a smaller one, or CSV, which may be of any size"},
		"a far column":            {parts(handHead+row(2, club(2)+`<c r="XFD2"><v>1</v></c>`), nil), "row 2 has cells beyond the 256th column; expected a sheet of clubs with a few columns"},
		"an element left open":    {parts(handHead+row(2, club(2))+`<row r="3"><c r="A3"><v>7i</c></row>`, nil), torn},
		"a large part":            {parts(handHead+many(3<<20, "<row/>"), nil), "the spreadsheet unpacks to more than 3 MiB; expected a smaller one, or CSV, which may be of any size"},
		"many texts":              {parts(handHead, map[string]string{"xl/sharedStrings.xml": many(1<<20, "<si/>")}), "the spreadsheet unpacks to more than 1 MiB; expected a smaller one, or CSV, which may be of any size"},
		"a large list of styles":  {parts(handHead, map[string]string{"xl/styles.xml": strings.Repeat(" ", 8<<20+1)}), "the spreadsheet unpacks to more than 8 MiB; expected a smaller one, or CSV, which may be of any size"},
		"no sheet":                {parts(handHead, map[string]string{"xl/workbook.xml": "<workbook/>"}), "the file is not an .xlsx or .ods spreadsheet, or is damaged; expected one that a spreadsheet program saved, without a password"},
		"cut short":               {parts(handHead+row(2, club(2)), nil)[:700], torn},
	} {
		o := testOptions(t)
		o.caps = usualCaps(false)
		o.caps.unpacked = cells.Limits{Sheet: 3 << 20, Texts: 1 << 20}
		sets, r, p := read(t, "h.xlsx", c.text, o)
		if p == nil {
			p = r.Problem()
		}
		if p == nil || p.Message != c.message {
			t.Errorf("%s: %v, want %s (%s)", name, p, c.message, outline(sets))
		}
	}
	text := []byte(parts(handHead+row(2, club(2)), nil))
	i := bytes.Index(text, []byte("7i"))
	if i >= 0 { // only where the zip holds the sheet unpacked
		text[i] = '8'
	} else {
		text[len(text)/2] ^= 0x55
	}
	if sets, r, p := read(t, "h.xlsx", string(text), testOptions(t)); p == nil && r.Problem() == nil {
		t.Errorf("a byte that was changed goes unnoticed: %s", outline(sets))
	}
}

// TestSameClubs holds that one sheet gives the same clubs whoever wrote it, and in whatever format.
func TestSameClubs(t *testing.T) {
	var want string
	for _, file := range []string{"openpyxl-bag.xlsx", "strict-bag.xlsx", "prefixed-bag.xlsx", "xlsxwriter-bag.xlsx", "xlsxwriter-rows.xlsx", "libreoffice-bag.xlsx", "libreoffice-bag.ods"} {
		text, err := os.ReadFile("cells/testdata/" + file)
		if err != nil {
			t.Fatal(err)
		}
		s := one(t, file, string(text))
		got := ""
		for _, c := range s.Clubs {
			length, _ := c.Amount(catalogue.LengthID)
			lie, measured := c.Amount(catalogue.Lie)
			got += fmt.Sprintln(c.Row, c.ID, c.Name, length, c.Method, lie, measured)
		}
		if want == "" {
			want = got
		}
		if got != want || s.Rows != 4 || len(s.Refused) > 0 {
			t.Errorf("%s: %d rows, refused %+v\n%swant\n%s", file, s.Rows, s.Refused, got, want)
		}
	}
}

// TestHiddenSheet holds that the sheet which is read where none is named is the first that a person sees.
func TestHiddenSheet(t *testing.T) {
	hide := func(names ...string) func(*excelize.File) {
		return func(f *excelize.File) {
			f.SetActiveSheet(2)
			for _, name := range names {
				if err := f.SetSheetVisible(name, false, true); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	old, now := [][]any{{"club"}, {"7i"}}, [][]any{{"club"}, {"8i"}}
	text := workbook(t, hide("Sheet1", "Sheet2"), old, old, now)
	if s := one(t, "a.xlsx", text); s.Clubs[0].Name != "8i" {
		t.Errorf("read %s", s.Clubs[0].Name)
	}
	if s := one(t, "a.xlsx#Sheet1", text); s.Clubs[0].Name != "7i" {
		t.Errorf("read %s", s.Clubs[0].Name)
	}
	book := map[string]string{"xl/workbook.xml": `<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Bag" sheetId="1" state="hidden" r:id="rId7"/></sheets></workbook>`}
	if _, _, p := read(t, "a.xlsx", parts(`<row><c t="inlineStr"><is><t>club</t></is></c></row>`, book), testOptions(t)); p == nil || !strings.Contains(p.Message, "hidden") || !strings.HasSuffix(p.Message, " Bag") {
		t.Errorf("all hidden: %v", p)
	}
}

// TestErrorCells holds that an error of a spreadsheet is none of its texts, in whatever language it is.
func TestErrorCells(t *testing.T) {
	rows := `<row><c t="inlineStr"><is><t>set</t></is></c><c t="inlineStr"><is><t>club</t></is></c></row><row><c t="e"><v>#BUSY</v></c><c t="inlineStr"><is><t>7i</t></is></c></row>` +
		`<row><c t="str"><f>A9</f><v>elm</v></c><c t="inlineStr"><is><t>8i</t></is></c></row>`
	s := one(t, "a.xlsx", parts(rows, nil))
	if s.Name != "elm" || s.Rows != 1 || len(s.Refused) != 1 || s.Refused[0].Read != "#BUSY" || !strings.Contains(s.Refused[0].Message, "own error") {
		t.Errorf("%+v", s)
	}
}

// TestMerged holds that cells merged over several rows hold for each of them where they are texts or keys, that nobody
// knows for which row a merged measurement is, and that what a merged cell hides is not read.
func TestMerged(t *testing.T) {
	rows := [][]any{{"Spring bags"}, {"set", "club", "length (in)", "by", "lie (deg)", "hand", "grip-model", "on", "made", "number"},
		{"elm", "7i", 37, "soled", 62, "left", "Corded", "2026-04-03", "2009-12-31", nil}, {nil, "8i", 36.5, nil, nil, nil, nil, nil, nil, nil}, nil, {nil, "9i", 36, nil, 63},
		{"oak", "driver", 45, "soled", 58}, {"ash", "3w", 43, "soled", 57}}
	merge := func(areas ...string) func(*excelize.File) {
		return func(f *excelize.File) {
			for _, a := range areas {
				from, to, _ := strings.Cut(a, ":")
				if err := f.MergeCell("Sheet1", from, to); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	sets, _, p := read(t, "m.xlsx", workbook(t, merge("A1:G1", "A3:A6", "D3:D6", "F3:F6", "G3:G6", "H3:H6", "I3:I6"), rows), testOptions(t))
	if p != nil || len(sets) != 3 || len(sets[0].Clubs) != 3 || len(sets[0].Refused) > 0 {
		t.Fatalf("%v %+v", p, sets)
	}
	made, _ := testOptions(t).Schema.Lookup("made")
	for _, c := range sets[0].Clubs {
		hand, _ := c.Text(catalogue.Hand)
		if hand != "left" || c.Method != "soled" || c.On != "2026-04-03" || !c.Has(made.ID) {
			t.Errorf("%+v", c)
		}
	}
	for area, want := range map[string]string{
		"C3:C4": "3 length (in): \"37\" is one merged cell over several rows; 4 length (in): \"37\" is one merged cell over several rows; ",
		"E3:E4": "3 lie (deg): \"62\" is one merged cell over several rows; 4 lie (deg): \"62\" is one merged cell over several rows; ",
		"J3:J4": "", // nothing is in it
	} {
		sets, _, _ := read(t, "m.xlsx", workbook(t, merge("A3:A6", "D3:D6", area), rows), testOptions(t))
		got := ""
		for _, f := range sets[0].Refused {
			message, _, _ := strings.Cut(f.Message, "; expected")
			got += fmt.Sprintf("%d %s: %s; ", f.Row.Row, f.Column, message)
		}
		if got != want {
			t.Errorf("%s: %s\nwant %s", area, got, want)
		}
	}
	text := func(cells ...string) (row string) {
		for _, c := range cells {
			row += `<c t="inlineStr"><is><t>` + c + `</t></is></c>`
		}
		return "<row>" + row + "</row>"
	}
	sheet := `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` + text("set", "club", "note") + text("elm", "7i") + text("oak", "8i") + text("elm", "9i") +
		`</sheetData><mergeCells count="1"><mergeCell ref="A2:A4"/></mergeCells></worksheet>`
	sets, _, p = read(t, "m.xlsx", parts("", map[string]string{"xl/worksheets/sheet1.xml": sheet}), testOptions(t))
	if p != nil || len(sets) != 1 || len(sets[0].Clubs) != 2 || len(sets[0].Refused) != 1 || !strings.HasPrefix(sets[0].Refused[0].Message, `"oak" is hidden under a merged cell`) {
		t.Errorf("%v %+v", p, sets)
	}
	for _, ref := range []string{"A4:A2", "", "A0:A1", "B", "A2:"} {
		bad := strings.Replace(sheet, "A2:A4", ref, 1)
		if _, _, p := read(t, "m.xlsx", parts("", map[string]string{"xl/worksheets/sheet1.xml": bad}), testOptions(t)); p == nil && ref != "A2:" {
			t.Errorf("%s is read", ref)
		}
	}
}
