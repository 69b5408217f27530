package sheet

// This file cuts an .xlsx spreadsheet into rows. The values are read raw, as they are
// stored; xlsxcells.go says which of them a format, a formula or an error makes something else than the number that is
// stored.

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"ferrule/lang/diag"
)

const (
	xlsxFile    = 32 << 20 // bytes of a spreadsheet
	xlsxParts   = 48 << 20 // bytes of all its parts, unpacked
	xlsxPart    = 8 << 20  // bytes of a part that is neither a sheet nor its texts
	xlsxTexts   = 1 << 20  // elements in its list of texts
	xlsxColumns = 256
	xlsxRows    = 1 << 20
)

var errDamaged = errors.New("the spreadsheet is damaged; open it and save it again, or save it as CSV")

// xlsxSource is the source of a sheet of a spreadsheet.
type xlsxSource struct {
	reader *Reader
	rows   *excelize.Rows
	marks  *cellScan
	head   *head
	row    int
	packed []byte
	failed error
}

// newXLSX opens a spreadsheet and reads the headings of its first sheet, or of the one that the name asks for.
func newXLSX(r *Reader, in io.Reader) (*xlsxSource, *Problem) {
	data, err := io.ReadAll(io.LimitReader(in, xlsxFile+1))
	if err != nil {
		return nil, readProblem(err, 0)
	}
	if len(data) > xlsxFile {
		return nil, &Problem{Message: "the spreadsheet is larger than 32 MiB; expected a smaller one, or CSV, which may be of any size"}
	}
	if err := unpackable(data); err != nil {
		return nil, &Problem{Message: err.Error()}
	}
	s := &xlsxSource{reader: r}
	var p *Problem
	if err := guarded(func() error { p = s.open(data); return nil }); err != nil {
		return nil, &Problem{Message: err.Error()}
	}
	if p != nil {
		return nil, p
	}
	return s, nil
}

// guarded calls f; whatever a damaged spreadsheet throws up on the way is errDamaged.
func guarded(f func() error) (err error) {
	defer func() {
		if recover() != nil {
			err = errDamaged
		}
	}()
	return f()
}

// unpackable checks that the parts of a spreadsheet are whole and not larger than a sheet of clubs can be.
func unpackable(data []byte) error {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return errDamaged
	}
	left := int64(xlsxParts)
	for _, f := range z.File {
		part, err := f.Open()
		if err != nil {
			return errDamaged
		}
		name := strings.ToLower(f.Name)
		texts, sheet := strings.Contains(name, "sharedstrings"), strings.Contains(name, "/worksheets/")
		most := left
		if !texts && !sheet && strings.HasSuffix(name, ".xml") {
			most = min(left, xlsxPart)
		}
		count := marksCounter{}
		n, err := io.Copy(&count, io.LimitReader(part, most+1))
		switch {
		case n > most || f.UncompressedSize64 > uint64(most):
			return errors.New("the spreadsheet unpacks to more than 48 MiB; expected a smaller one, or CSV, which may be of any size")
		case texts && count.n > xlsxTexts:
			return errors.New("the spreadsheet has too many texts; expected a smaller one, or CSV, which may be of any size")
		case err != nil:
			return errDamaged
		}
		left -= n
	}
	return nil
}

// marksCounter counts the opening angle brackets that are written to it.
type marksCounter struct{ n int }

// Write counts; it never fails.
func (c *marksCounter) Write(b []byte) (int, error) {
	c.n += bytes.Count(b, []byte("<"))
	return len(b), nil
}

// open finds the sheet and reads its headings.
func (s *xlsxSource) open(data []byte) *Problem {
	book, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true, UnzipSizeLimit: 2 * xlsxParts, UnzipXMLSizeLimit: 2 * xlsxParts})
	if err != nil || book.WorkBook == nil || len(book.WorkBook.Sheets.Sheet) == 0 {
		return &Problem{Message: "the file is no .xlsx spreadsheet, or is damaged; expected one that a spreadsheet program saved, without a password"}
	}
	names := book.GetSheetList()
	at := 0
	file := fileOf(s.reader.name)
	if want := strings.TrimPrefix(s.reader.name[len(file):], "#"); want != "" {
		at = slices.IndexFunc(names, func(n string) bool { return strings.EqualFold(n, want) })
		if at < 0 {
			p := &Problem{Read: shown(want), Message: fmt.Sprintf("the spreadsheet has no sheet %s; expected one of %s", diag.Quote(want), shown(strings.Join(names, ", ")))}
			if near, ok := diag.Nearest(want, names); ok {
				p.Hint = file + "#" + diag.Visible(near)
			}
			return p
		}
	}
	part := partOf(book, book.WorkBook.Sheets.Sheet[at].ID)
	if s.rows, err = book.Rows(names[at]); err != nil || part == nil {
		return &Problem{Message: fmt.Sprintf("the sheet %s of the spreadsheet holds no cells, or is damaged; expected one club a row", diag.Quote(names[at]))}
	}
	from1904 := book.WorkBook.WorkbookPr != nil && book.WorkBook.WorkbookPr.Date1904
	s.marks = newCellScan(part, styles{book: book, known: map[int]style{}, from1904: from1904})
	cells, ok := s.cells()
	if s.failed != nil {
		return &Problem{Row: s.row, Message: s.failed.Error()}
	}
	if !ok {
		return &Problem{Message: fmt.Sprintf("the sheet %s of the spreadsheet is empty; expected a row that names the columns, then one club a row", diag.Quote(names[at]))}
	}
	r := resolver{schema: s.reader.opts.Schema}
	var columns []column
	for _, c := range cells {
		columns = append(columns, r.column(c))
	}
	s.head = newHead(s.reader.name, columns, s.reader.opts.Schema, 0, s.row)
	return nil
}

// partOf returns the text of the sheet that the workbook knows by an id; nil where there is none.
func partOf(book *excelize.File, id string) []byte {
	var part []byte
	book.Pkg.Range(func(name, content any) bool {
		rels, ok := content.([]byte)
		if file := name.(string); ok && strings.HasSuffix(file, ".rels") {
			var list struct {
				Relationship []struct {
					ID     string `xml:"Id,attr"`
					Type   string `xml:"Type,attr"`
					Target string `xml:"Target,attr"`
				}
			}
			if xml.Unmarshal(rels, &list) != nil {
				return true
			}
			for _, r := range list.Relationship {
				if r.ID != id || !strings.HasSuffix(r.Type, "/worksheet") {
					continue
				}
				target := path.Join(path.Dir(path.Dir(file)), r.Target)
				if strings.HasPrefix(r.Target, "/") {
					target = r.Target[1:]
				}
				if text, ok := book.Pkg.Load(target); ok {
					part, _ = text.([]byte)
				}
			}
		}
		return part == nil
	})
	return part
}

// cells returns those of the next row that is not blank; false at the end.
func (s *xlsxSource) cells() (cells []string, ok bool) {
	if s.failed != nil {
		return nil, false
	}
	err := guarded(func() error {
		for s.rows.Next() {
			s.row++
			marks, err := s.marks.of(s.row)
			if err != nil {
				return err
			}
			if cells, err = s.rows.Columns(); err != nil {
				return errDamaged
			}
			for _, m := range marks {
				for len(cells) <= m.column {
					cells = append(cells, "")
				}
				cells[m.column] = m.text
			}
			if slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" }) {
				ok = true
				return nil
			}
		}
		return s.marks.rest()
	})
	if err != nil {
		s.failed, ok = err, false
		s.row++
	}
	return cells, ok
}

func (s *xlsxSource) columns() *head { return s.head }

func (s *xlsxSource) problem() *Problem {
	if s.failed == nil {
		return nil
	}
	return &Problem{Row: s.row, Message: s.failed.Error()}
}

func (s *xlsxSource) next() (line, bool) {
	cells, ok := s.cells()
	if !ok {
		return line{}, false
	}
	l := line{row: s.row}
	s.packed = s.packed[:0]
	for i, cell := range cells {
		if cell = strings.TrimSpace(cell); cell == "" || i >= len(s.head.columns) {
			continue
		}
		switch c := &s.head.columns[i]; c.role {
		case ignored:
			continue
		case setColumn:
			l.set = []byte(cell)
		case byColumn:
			l.method = true
		case propertyColumn:
			l.length = l.length || c.property.ByMethod
		}
		if len(s.packed)+len(cell) > maxRow {
			l.flaw(oversize)
			break
		}
		s.packed = pack(s.packed, i, textCell, cell)
	}
	l.text = s.packed
	if len(l.set) > 0 && (unprintable(l.set) || len(l.set) > maxRow) {
		l.set, l.noSet = nil, true
		l.flaw(oddSetName)
	}
	return l, true
}
