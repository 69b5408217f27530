package cells

// This file writes .xlsx with changes: of the part that holds the sheet the cells that change, and every other part as
// it is packed.

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// writeXLSX writes a spreadsheet.
func writeXLSX(name string, text []byte, e *Edits) ([]byte, error) {
	source, t := Open(name, bytes.NewReader(text), UsualLimits)
	x, ok := source.(*xlsxSheet)
	switch {
	case t != nil:
		return text, nil // what is wrong with it shows when it is read
	case !ok:
		return nil, ErrFormat
	}
	for row := source.Next(); row != nil; row = source.Next() {
		for _, c := range row.Cells {
			read, changes := e.Cells[row.Number][c.Column]
			switch {
			case !changes || !c.Merged:
			case read == c.Text || slices.Contains(e.Soft, c.Column):
				delete(e.Cells[row.Number], c.Column)
			default:
				return nil, fmt.Errorf("the cell %q of row %d is one with that of other rows; divide it first", c.Text,
					row.Number)
			}
		}
	}
	part := x.book.parts[slices.Index(x.book.names, x.name)]
	old, err := x.book.unpacked(part)
	if err != nil {
		return nil, err
	}
	p := sheetPart{edits: e}
	changed, err := p.write(old)
	if err != nil || bytes.Equal(old, changed) {
		return text, err
	}
	var buf bytes.Buffer
	out := zip.NewWriter(&buf)
	for _, f := range x.book.File {
		h := &zip.FileHeader{Name: f.Name, Method: f.Method, Modified: f.Modified}
		if !isPart(f, part) {
			err = out.Copy(f)
		} else if w, e := out.CreateHeader(h); e == nil {
			_, err = w.Write(changed)
		}
		if err != nil {
			return nil, err
		}
	}
	err = out.Close()
	return buf.Bytes(), err
}

// unpacked is a part as it is unpacked.
func (a archive) unpacked(name string) ([]byte, error) {
	in, err := a.File[slices.IndexFunc(a.File, func(f *zip.File) bool { return isPart(f, name) })].Open()
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(in)
}

// newParts are the parts of a spreadsheet with one sheet (ECMA-376 part 1, 8.1 and 12.3, and part 2, 6). NAME is where
// its name goes, and ROW where its headings go.
var newParts = []struct{ name, text string }{
	{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Override PartName="/xl/workbook.xml"
 ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>
<Override PartName="/xl/worksheets/sheet1.xml"
 ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`},
	{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Id="rId1" Target="xl/workbook.xml"
 Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument"/></Relationships>`},
	{"xl/workbook.xml", `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"
 xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">
<sheets><sheet name="NAME" sheetId="1" r:id="rId1"/></sheets></workbook>`},
	{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Id="rId1" Target="worksheets/sheet1.xml"
 Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"/></Relationships>`},
	{"xl/worksheets/sheet1.xml", `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` +
		`<sheetData><row r="1">ROW</row></sheetData></worksheet>`},
}

// newBook is a spreadsheet of one sheet with headings alone.
func newBook(sheet string, heads []string) ([]byte, error) {
	const most, never = 31, `[]:*?/\'`
	if len([]rune(sheet)) > most || strings.ContainsAny(sheet, never) {
		return nil, fmt.Errorf("no sheet of a spreadsheet can be called %q; "+
			"a name has at most %d characters and none of %s", sheet, most, never)
	}
	row := map[int]string{}
	for i, head := range heads {
		row[i] = head
	}
	var name strings.Builder
	xml.EscapeText(&name, []byte(cmp.Or(sheet, "Clubs")))
	fill := strings.NewReplacer("NAME", name.String(), "ROW", new(sheetPart).cells(1, row))
	var buf bytes.Buffer
	out := zip.NewWriter(&buf)
	for _, part := range newParts {
		if w, err := out.Create(part.name); err == nil { // into memory, where nothing fails
			io.WriteString(w, xml.Header+fill.Replace(part.text))
		}
	}
	out.Close()
	return buf.Bytes(), nil
}

// sheetPart is the part of a sheet that is being written with changes.
type sheetPart struct {
	edits *Edits
	text  []byte
	tag   string // the prefix of the names of its elements, with its colon
	rows  []rowSpan
	end   int   // of the rows
	wrong error // a cell that must not be written over
}

// rowSpan is a row and where it is, from its start to behind its last cell.
type rowSpan struct {
	number, from, to int
	cells            []cellSpan
}

// cellSpan is a cell and where it is.
type cellSpan struct {
	column, from, to int
	style            string
}

// splice is a text in the place of another.
type splice struct {
	from, to int
	text     string
}

// scan finds the rows and their cells.
func (p *sheetPart) scan() error {
	d := xml.NewDecoder(bytes.NewReader(p.text))
	for depth := 0; ; {
		at := int(d.InputOffset())
		t, err := d.RawToken()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch e := t.(type) {
		case xml.StartElement:
			depth++
			switch n := len(p.rows) - 1; {
			case e.Name.Local == "sheetData":
				if p.tag = e.Name.Space; p.tag != "" {
					p.tag += ":"
				}
			case e.Name.Local == "row" && depth == 3:
				r := rowSpan{number: 1, from: at, to: int(d.InputOffset())}
				if n >= 0 {
					r.number = p.rows[n].number + 1
				}
				if s := attribute(e, "r"); s != "" {
					r.number, _ = strconv.Atoi(s)
				}
				p.rows = append(p.rows, r)
			case e.Name.Local == "c" && depth == 4 && n >= 0:
				c := cellSpan{column: len(p.rows[n].cells), from: at, style: attribute(e, "s")}
				if k := len(p.rows[n].cells); k > 0 {
					c.column = p.rows[n].cells[k-1].column + 1
				}
				if s := attribute(e, "r"); s != "" {
					c.column, _ = coordinates(s)
				}
				p.rows[n].cells = append(p.rows[n].cells, c)
			}
		case xml.EndElement:
			if n := len(p.rows) - 1; n >= 0 && e.Name.Local == "c" && depth == 4 {
				p.rows[n].to = int(d.InputOffset())
				p.rows[n].cells[len(p.rows[n].cells)-1].to = p.rows[n].to
			}
			if e.Name.Local == "sheetData" {
				p.end = at
			}
			depth--
		}
	}
}

// write returns the part with its changes.
func (p *sheetPart) write(text []byte) ([]byte, error) {
	p.text = text
	if err := p.scan(); err != nil {
		return nil, err
	}
	var all []splice
	last := p.edits.Head
	for _, r := range p.rows {
		all = append(all, p.changed(&r, p.edits.changes(r.number))...)
		last = max(last, r.number)
	}
	if p.wrong != nil {
		return nil, p.wrong
	}
	// A further row comes behind the last of its set where there is room, else at the end: to move others would mean to
	// change what other parts say of them.
	taken := map[int]bool{}
	for _, r := range p.rows {
		taken[r.number] = true
	}
	for _, r := range p.edits.Rows {
		n := r.After + 1
		if taken[n] || n > last {
			n, last = last+1, last+1
		}
		taken[n] = true
		at := p.end
		if i := slices.IndexFunc(p.rows, func(r rowSpan) bool { return r.number > n }); i >= 0 {
			at = p.rows[i].from
		}
		all = append(all, splice{at, at, fmt.Sprintf(`<%srow r="%d">%s</%[1]srow>`, p.tag, n, p.cells(n, r.Cells))})
	}
	if all != nil { // how far the sheet reaches is for others to find out
		if at := dimension.FindIndex(text); at != nil {
			all = append(all, splice{at[0], at[1], ""})
		}
	}
	// what is put in comes before what is put in the place of something
	slices.SortStableFunc(all, func(a, b splice) int { return cmp.Or(a.from-b.from, a.to-b.to) })
	var out []byte
	from := 0
	for _, s := range all {
		out = append(append(out, text[from:s.from]...), s.text...)
		from = s.to
	}
	return append(out, text[from:]...), nil
}

// dimension says how far a sheet reaches; formula is one in a cell.
var (
	dimension = regexp.MustCompile(`<([a-z0-9]+:)?dimension [^>]*/>`)
	formula   = regexp.MustCompile(`<([a-z0-9]+:)?f[ />]`)
)

// changed are the changes of a row.
func (p *sheetPart) changed(r *rowSpan, texts map[int]string) []splice {
	var out []splice
	rest := maps.Clone(texts)
	for _, c := range r.cells {
		text, ok := rest[c.column]
		if !ok {
			continue
		}
		delete(rest, c.column)
		if formula.Match(p.text[c.from:c.to]) {
			p.wrong = fmt.Errorf("the cell of row %d holds a formula; put its value in its place first", r.number)
		}
		out = append(out, splice{c.from, c.to, p.cell(r.number, c.column, text, c.style)})
	}
	for _, column := range slices.Sorted(maps.Keys(rest)) {
		at := r.to
		if i := slices.IndexFunc(r.cells, func(c cellSpan) bool { return c.column > column }); i >= 0 {
			at = r.cells[i].from
		}
		out = append(out, splice{at, at, p.cell(r.number, column, rest[column], "")})
	}
	return out
}

// cells are cells of a row, in their order.
func (p *sheetPart) cells(row int, texts map[int]string) string {
	out := ""
	for _, column := range slices.Sorted(maps.Keys(texts)) {
		out += p.cell(row, column, texts[column], "")
	}
	return out
}

// cell is a cell of text, which keeps the style that it had.
func (p *sheetPart) cell(row, column int, text, style string) string {
	if style != "" {
		style = ` s="` + style + `"`
	}
	var b strings.Builder
	xml.EscapeText(&b, []byte(escape.ReplaceAllStringFunc(text, func(s string) string { return "_x005F" + s })))
	const form = `<%[1]sc r="%[2]s%[3]d"%[4]s t="inlineStr"><%[1]sis><%[1]st xml:space="preserve">%[5]s</%[1]st>` +
		`</%[1]sis></%[1]sc>`
	return fmt.Sprintf(form, p.tag, ColumnName(column), row, style, b.String())
}
