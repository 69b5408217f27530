package cells

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// zipped is an archive of files, each a name and a text.
func zipped(t *testing.T, files ...string) *bytes.Reader {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(files); i += 2 {
		w, err := z.Create(files[i])
		if err == nil {
			_, err = w.Write([]byte(files[i+1]))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return bytes.NewReader(b.Bytes())
}

// content is the main part of an .ods spreadsheet, after OpenDocument 1.3 part 3, whose sheets are Bag and Rest.
func content(rows string) string {
	return `<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0">` +
		`<office:automatic-styles><style:style style:name="t1" style:family="table"><style:table-properties table:display="false"/></style:style></office:automatic-styles><office:body><office:spreadsheet><table:tracked-changes><table:table-cell/></table:tracked-changes><table:table table:name="Bag">` +
		`<table:shapes><table:table-row/></table:shapes><table:table-header-rows><table:table-row><table:table-cell office:value-type="string"><text:p>club</text:p></table:table-cell></table:table-row></table:table-header-rows>` +
		rows + `</table:table><table:table table:name="Rest"><table:table-row><table:table-cell/></table:table-row></table:table></office:spreadsheet></office:body></office:document-content>`
}

// TestODSCells holds what a cell of an .ods spreadsheet is read as, and that what is damaged never becomes a value.
func TestODSCells(t *testing.T) {
	for cell, want := range map[string]string{
		`<table:table-cell office:value-type="float" office:value="37.5"><text:p>38</text:p></table:table-cell>`:                                                            "A2 37.5",
		`<table:table-cell office:value-type="float" office:value="37.200000000000003"/>`:                                                                                   "A2 37.2",
		`<table:table-cell office:value-type="float" office:value="37 1/2"/>`:                                                                                               "A2 37 1/2 of sort 8",
		`<table:table-cell office:value-type="float"><text:p>37</text:p></table:table-cell>`:                                                                                "A2  of sort 8",
		`<table:table-cell office:value-type="currency" office:value="1e1"/>`:                                                                                               "A2 10",
		`<table:table-cell office:value-type="percentage" office:value="0.4575"/>`:                                                                                          "A2 45.75 %",
		`<table:table-cell office:value-type="date" office:date-value="2026-04-03T10:00:00"/>`:                                                                              "A2 2026-04-03",
		`<table:table-cell office:value-type="date" office:date-value="2026-02-29"/>`:                                                                                       "A2 2026-02-29 of sort 10",
		`<table:table-cell office:value-type="time" office:time-value="PT14H30M00S"/>`:                                                                                      "A2 14:30:00",
		`<table:table-cell office:value-type="time" office:time-value="half past two"/>`:                                                                                    "A2 half past two of sort 10",
		`<table:table-cell office:value-type="boolean" office:boolean-value="true"/>`:                                                                                       "A2 TRUE",
		`<table:table-cell office:value-type="boolean" office:boolean-value="maybe"/>`:                                                                                      "A2 maybe of sort 9",
		`<table:table-cell office:value-type="length" office:value="37"><text:p>37</text:p></table:table-cell>`:                                                             "A2 37 of sort 13",
		`<table:table-cell><text:p>7<text:span>i<text:s text:c="2"/>x</text:span></text:p><text:p>y<text:tab/>z</text:p></table:table-cell>`:                                "A2 7i  x\ny\tz",
		`<table:table-cell office:value-type="string" office:string-value="8i"><text:p>7i</text:p></table:table-cell>`:                                                      "A2 8i",
		`<table:table-cell office:value-type="string"><office:annotation><text:p>9</text:p></office:annotation><text:p>7i</text:p></table:table-cell>`:                      "A2 7i",
		`<table:table-cell table:formula="of:=1+1"/>`:                                                                                                                       "A2 =1+1 of sort 4",
		`<table:table-cell table:formula="of:=A1"><text:p/></table:table-cell>`:                                                                                             "",
		`<table:table-cell table:formula="of:=1/0" office:value-type="float" office:value="0"><text:p>#DIV/0!</text:p></table:table-cell>`:                                  "A2 #DIV/0! of sort 3",
		`<table:table-cell table:formula="of:=x" office:value-type="float" office:value="0"><text:p>Err:508</text:p></table:table-cell>`:                                    "A2 Err:508 of sort 3",
		`<table:table-cell calcext:value-type="error" office:value-type="string"><text:p>Err:502</text:p></table:table-cell>`:                                               "A2 Err:502 of sort 3",
		`<table:covered-table-cell table:number-columns-repeated="2"/><table:table-cell table:number-columns-repeated="2"><text:p>7i</text:p></table:table-cell>`:           "C2 7i D2 7i",
		`<table:table-cell table:number-columns-repeated="16384"/>`:                                                                                                         "",
		`<table:table-cell table:number-columns-repeated="16384"/><table:table-cell/>`:                                                                                      fmt.Sprint("trouble ", ManyCells, " in row 2"),
		`<table:table-cell table:number-columns-repeated="257"><text:p>7i</text:p></table:table-cell>`:                                                                      fmt.Sprint("trouble ", FarCell, " in row 2"),
		`<table:table-cell table:number-columns-repeated="-1"/>`:                                                                                                            fmt.Sprint("trouble ", Damaged, " in row 2"),
		`<table:covered-table-cell><text:p>8i</text:p></table:covered-table-cell>`:                                                                                          "A2 8i of sort 6",
		`<table:covered-table-cell office:value="8"/>`:                                                                                                                      "A2 8 of sort 6",
		`<table:table-cell office:value="37.5"/>`:                                                                                                                           "A2 37.5 of sort 13",
		`<table:table-cell office:date-value="2026-04-03"><text:p>3 April</text:p></table:table-cell>`:                                                                      "A2 3 April of sort 13",
		`<table:table-cell><text:p>7<draw:frame><draw:text-box><text:p>8</text:p></draw:text-box></draw:frame>i</text:p></table:table-cell>`:                                "A2 7i",
		`<table:table-cell><draw:custom-shape><text:p>8i</text:p></draw:custom-shape><text:p>7i</text:p></table:table-cell>`:                                                "A2 7i",
		`<table:table-cell><text:p>7<text:s text:c="two"/>i</text:p></table:table-cell>`:                                                                                    fmt.Sprint("trouble ", Damaged, " in row 2"),
		`<table:table-cell><text:p>7<text:s text:c="0"/>i</text:p></table:table-cell>`:                                                                                      fmt.Sprint("trouble ", Damaged, " in row 2"),
		`<table:table-cell calcext:value-type="error" office:value-type="string"><text:p>#NV</text:p></table:table-cell>`:                                                   "A2 #NV of sort 3",
		`<table:table-cell table:number-columns-spanned="2"><text:p>7i</text:p></table:table-cell><table:covered-table-cell><text:p>8i</text:p></table:covered-table-cell>`: "A2 7i B2 8i of sort 6",
		`<table:table-cell table:number-rows-spanned="3"><text:p>elm</text:p></table:table-cell><table:table-cell><text:p>7i</text:p></table:table-cell></table:table-row>` +
			`<table:table-row table:number-rows-repeated="2"><table:covered-table-cell/><table:table-cell><text:p>8i</text:p></table:table-cell></table:table-row>` +
			`<table:table-row><table:covered-table-cell><text:p>oak</text:p></table:covered-table-cell><table:table-cell><text:p>9i</text:p></table:table-cell>`: "A2 elm B2 7i A3 elm B3 8i A4 elm B4 8i A5 oak of sort 6 B5 9i",
		`<table:table-cell table:number-rows-spanned="3"><text:p>elm</text:p></table:table-cell></table:table-row>` +
			`<table:table-row><table:covered-table-cell/></table:table-row><table:table-row><table:covered-table-cell><text:p>elm</text:p></table:covered-table-cell><table:table-cell><text:p>9i</text:p></table:table-cell>`: "A2 elm A4 elm B4 9i",
		`<table:table-cell table:number-rows-spanned="two"/>`: fmt.Sprint("trouble ", Damaged, " in row 2"),
		`<table:row/>`: fmt.Sprint("trouble ", Damaged, " in row 2"),
		`<table:table-cell><text:p>7i</table:table-cell>`:                                                                            fmt.Sprint("trouble ", Damaged, " in row 2"),
		`<table:table-cell><text:p><text:s text:c="16000000"/></text:p></table:table-cell>`:                                          fmt.Sprint("trouble ", LargeCell, " in row 2"),
		`<table:table-cell><text:p>7i</text:p></table:table-cell></table:table-row><table:table-row table:number-rows-repeated="0">`: fmt.Sprint("A2 7i trouble ", Damaged, " in row 3"),
	} {
		if got := odsCells(t, content("<table:table-row>"+cell+"</table:table-row>")); got != strings.TrimSpace("A1 club "+want) {
			t.Errorf("%s: %q, want %q behind the club", cell, got, want)
		}
	}
}

// TestODSRows holds how often rows are there, and which sheet is read.
func TestODSRows(t *testing.T) {
	const club = `<table:table-cell><text:p>7i</text:p></table:table-cell>`
	rows := content(`<table:table-row table:number-rows-repeated="3"/><table:table-row-group><table:table-row table:number-rows-repeated="2">` + club +
		`</table:table-row></table:table-row-group><table:table-row table:number-rows-repeated="1048570"/><table:table-row table:number-rows-repeated="9"/>`)
	if got := odsCells(t, rows); got != "A1 club A5 7i A6 7i" {
		t.Error(got)
	}
	if got := odsCells(t, content(`<table:table-row table:number-rows-repeated="1048575"/><table:table-row>`+club+`</table:table-row>`)); got != fmt.Sprint("A1 club trouble ", ManyRows, " in row 1048577") {
		t.Error(got)
	}
	for name, kind := range map[string]Kind{"b.ods#rest": EmptySheet, "b.ods#Nest": NoSuchSheet, "b.ods#bag": ""} {
		source, trouble := Open(name, zipped(t, "content.xml", rows), UsualLimits)
		if trouble == nil {
			for row := source.Next(); row != nil; row = source.Next() {
				_ = row
			}
			trouble = source.Trouble()
		}
		if trouble == nil && kind != "" || trouble != nil && trouble.Kind != kind {
			t.Errorf("%s: %+v", name, trouble)
		}
	}
	hidden := strings.Replace(rows, "<table:table ", `<table:table table:style-name="t1" `, 1)
	hidden = strings.Replace(hidden, `<table:table-row><table:table-cell/></table:table-row>`, `<table:table-row>`+club+`</table:table-row>`, 1)
	if got := odsCells(t, hidden); got != "A1 7i" { // what a person sees first
		t.Error(got)
	}
	for what, c := range map[string]struct {
		files []string
		kind  Kind
	}{
		"a password":   {[]string{"content.xml", "\x00\x01", "META-INF/manifest.xml", `<manifest:manifest><manifest:file-entry><manifest:encryption-data/></manifest:file-entry></manifest:manifest>`}, OldSpreadsheet},
		"a letter":     {[]string{"content.xml", strings.ReplaceAll(content(""), "office:spreadsheet", "office:text")}, NotBook},
		"other names":  {[]string{"content.xml", strings.Replace(rows, "xmlns:text=", "xmlns:txt=", 1)}, Damaged},
		"other spaces": {[]string{"content.xml", strings.Replace(rows, "xmlns:table:1.0", "xmlns:form:1.0", 1)}, Damaged},
		"all hidden":   {[]string{"content.xml", strings.ReplaceAll(rows, "<table:table ", `<table:table table:style-name="t1" `)}, AllHidden},
		"cut short":    {[]string{"content.xml", rows[:strings.Index(rows, "<table:table ")]}, Damaged},
	} {
		if _, trouble := Open("b.ods", zipped(t, c.files...), UsualLimits); trouble == nil || trouble.Kind != c.kind {
			t.Errorf("%s: %+v", what, trouble)
		}
	}
}

// odsCells are the cells of the first sheet of an .ods spreadsheet, and what is wrong with it.
func odsCells(t *testing.T, content string) string {
	source, trouble := Open("-", zipped(t, "content.xml", content), UsualLimits)
	var out []string
	if trouble == nil {
		for row := source.Next(); row != nil; row = source.Next() {
			for _, c := range row.Cells {
				cell := fmt.Sprintf("%c%d %s", 'A'+c.Column, row.Number, c.Text)
				if c.Sort != Text {
					cell += fmt.Sprint(" of sort ", c.Sort)
				}
				out = append(out, cell)
			}
		}
		trouble = source.Trouble()
	}
	if trouble != nil {
		out = append(out, fmt.Sprintf("trouble %s in row %d", trouble.Kind, trouble.Row))
	}
	return strings.Join(out, " ")
}

// Elements that are in one another a million times over are damage, and not the end of the program.
func TestDeepElements(t *testing.T) {
	const deep = 2_000_000
	rows := "<table:table-row><table:table-cell><text:p>" + strings.Repeat("<text:span>", deep) + strings.Repeat("</text:span>", deep) +
		"</text:p></table:table-cell></table:table-row>"
	source, trouble := Open("d.ods", zipped(t, "content.xml", content(rows)), UsualLimits)
	if trouble == nil {
		for source.Next() != nil {
		}
		trouble = source.Trouble()
	}
	if trouble == nil || trouble.Kind != Damaged {
		t.Errorf("%+v", trouble)
	}
}
