package sheet

// This file cuts an .xlsx spreadsheet into rows. The values are read raw, as they are stored; xlsxcells.go says which
// of them a format, a formula or an error makes something else than the number that is stored, and which are damaged;
// xlsxparts.go reads what a spreadsheet holds beside its cells.

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/lang/diag"
)

const (
	xlsxFile    = 32 << 20 // bytes of a spreadsheet
	xlsxPart    = 8 << 20  // bytes of a part that is neither a sheet nor its texts, unpacked
	xlsxToken   = 1 << 20  // bytes of one of its marks, or of the text between two
	xlsxColumns = 256      // columns that hold something
	xlsxWidth   = 16384    // columns, by ECMA-376
	xlsxRows    = 1 << 20  // rows, the same

	smaller = "expected a smaller one, or CSV, which may be of any size"
)

// xlsxSource is the source of a sheet of a spreadsheet.
type xlsxSource struct {
	reader *Reader
	scan   *cellScan
	head   *head
	packed []byte
	failed *Problem
}

// newXLSX opens a spreadsheet and reads the headings of its first sheet, or of the one that the name asks for.
func newXLSX(r *Reader, in io.Reader) (*xlsxSource, *Problem) {
	data, err := io.ReadAll(io.LimitReader(in, xlsxFile+1))
	if err != nil {
		return nil, readProblem(err, 0)
	}
	if len(data) > xlsxFile {
		return nil, &Problem{Message: "the spreadsheet is larger than 32 MiB; " + smaller}
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged(0)
	}
	s := &xlsxSource{reader: r}
	if p := s.open(&xlsxBook{zip: z, mostTexts: r.opts.caps.xlsxTexts}); p != nil {
		return nil, p
	}
	return s, nil
}

// damaged is the problem of a spreadsheet that breaks off or contradicts itself in a row; 0 where no row is to blame.
func damaged(row int) *Problem {
	return &Problem{Row: row, Message: "the spreadsheet is damaged; open it and save it again, or save it as CSV"}
}

// open finds the sheet and reads its headings.
func (s *xlsxSource) open(w *xlsxBook) *Problem {
	if p := w.read(); p != nil {
		return p
	}
	at := 0
	file := fileOf(s.reader.name)
	if want := strings.TrimPrefix(s.reader.name[len(file):], "#"); want != "" {
		at = slices.IndexFunc(w.names, func(n string) bool { return strings.EqualFold(n, want) })
		if at < 0 {
			p := &Problem{Read: shown(want), Message: fmt.Sprintf("the spreadsheet has no sheet %s; expected one of %s",
				diag.Quote(want), shown(strings.Join(w.names, ", ")))}
			if near, ok := diag.Nearest(want, w.names); ok {
				p.Hint = file + "#" + diag.Visible(near)
			}
			return p
		}
	}
	part, p := w.part(w.parts[at], s.reader.opts.caps.xlsxSheet)
	if p != nil {
		return p
	}
	if part == nil {
		return &Problem{Message: "the sheet " + diag.Quote(w.names[at]) +
			" of the spreadsheet holds no cells, or is damaged; expected one club a row"}
	}
	s.scan = newCellScan(part, w)
	cells, ok := s.cells()
	if !ok {
		if s.failed != nil {
			return s.failed
		}
		return &Problem{Message: "the sheet " + diag.Quote(w.names[at]) +
			" of the spreadsheet is empty; expected a row that names the columns, then one club a row"}
	}
	r := resolver{schema: s.reader.opts.Schema}
	columns := make([]column, cells[len(cells)-1].column+1)
	for _, c := range cells {
		if c.sort != textCell {
			return &Problem{Row: s.scan.row, Read: shown(c.text), Message: damage(c.sort, c.text)}
		}
		columns[c.column] = r.column(c.text)
	}
	s.head = newHead(s.reader.name, columns, s.reader.opts.Schema, 0, s.scan.row)
	return nil
}

// cells returns those of the next row that is not blank; false at the end.
func (s *xlsxSource) cells() ([]xlsxCell, bool) {
	for s.failed == nil {
		cells, more, p := s.scan.next()
		if p != nil {
			s.failed = p
		}
		if p != nil || !more {
			return nil, false
		}
		if len(cells) > 0 {
			return cells, true
		}
	}
	return nil, false
}

func (s *xlsxSource) columns() *head { return s.head }

func (s *xlsxSource) problem() *Problem { return s.failed }

func (s *xlsxSource) next() (line, bool) {
	cells, ok := s.cells()
	if !ok {
		return line{}, false
	}
	l := line{row: s.scan.row}
	s.packed = s.packed[:0]
	for _, cell := range cells {
		if cell.column >= len(s.head.columns) {
			break
		}
		switch c := &s.head.columns[cell.column]; c.role {
		case ignored:
			continue
		case setColumn:
			if l.set = []byte(cell.text); cell.sort != textCell {
				l.set, l.noSet = nil, true
			}
		case byColumn:
			l.method = true
		case propertyColumn:
			l.length = l.length || c.property.ByMethod
		}
		if len(s.packed)+len(cell.text) > maxRow {
			l.flaw(oversize)
			break
		}
		s.packed = pack(s.packed, cell.column, cell.sort, cell.text)
	}
	l.text = s.packed
	if len(l.set) > 0 && (unprintable(l.set) || len(l.set) > maxRow) {
		l.set, l.noSet = nil, true
		l.flaw(oddSetName)
	}
	return l, true
}
