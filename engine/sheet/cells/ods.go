package cells

// This file reads the cells of a sheet of an .ods spreadsheet (OpenDocument 1.3 part 3, 9.1, 6.1 and 19.385).

import (
	"cmp"
	"encoding/xml"
	"io"
	"regexp"
	"strconv"
	"strings"
)

// odsSheet goes through the cells of a sheet, row by row.
type odsSheet struct {
	page
	depth int // how many elements are open within the sheet
}

// openODS finds the sheet that is asked for.
func openODS(a archive, content *part, want string) (Source, *Trouble) {
	var manifest struct {
		Locked []struct{} `xml:"file-entry>encryption-data"`
	}
	if t := a.decode("META-INF/manifest.xml", &manifest); t != nil {
		return nil, t
	}
	if manifest.Locked != nil {
		return nil, &Trouble{Kind: OldSpreadsheet}
	}
	x, style, hidden := newElements(content), "", map[string]bool{}
	for names := []string(nil); ; {
		t, err := x.next()
		if e, ok := t.(xml.StartElement); ok {
			switch {
			case len(x.open) == 1 && !bindsODS(e):
				return nil, &Trouble{Kind: Damaged}
			case is(e, "style:style"):
				style = attribute(e, "style:name")
			case is(e, "style:table-properties") && attribute(e, "table:display") == "false":
				hidden[style] = true
			case is(e, "table:table") && x.within("spreadsheet"):
				name := attribute(e, "table:name")
				shown := !hidden[attribute(e, "table:style-name")]
				if want == "" && shown || want != "" && strings.EqualFold(name, want) {
					s := &odsSheet{page: page{elements: x, name: name}, depth: len(x.open)}
					s.scan = s.nextRow
					return s, nil
				}
				names = append(names, name)
				err = x.skip()
			}
		}
		switch {
		case err == io.EOF && names == nil:
			return nil, &Trouble{Kind: NotBook}
		case err == io.EOF:
			return nil, noSheet(want, names)
		case err != nil:
			return nil, x.trouble(0, err)
		}
	}
}

// bindsODS reports whether the root of a part gives the prefixes that are relied upon their meanings (OpenDocument 1.3
// part 3, 2.1): under others its cells would pass for empty.
func bindsODS(root xml.StartElement) bool {
	for _, prefix := range []string{"office", "table", "text"} {
		if attribute(root, "xmlns:"+prefix) != "urn:oasis:names:tc:opendocument:xmlns:"+prefix+":1.0" {
			return false
		}
	}
	return true
}

// is reports whether an element has that name, its prefix included.
func is(e xml.StartElement, name string) bool {
	prefix, local, _ := strings.Cut(name, ":")
	return e.Name.Local == local && e.Name.Space == prefix
}

// nextRow reads the next row; io.EOF behind the last one, when the spreadsheet was read to its end.
func (s *odsSheet) nextRow() error {
	for {
		token, err := s.next()
		if e, ok := token.(xml.StartElement); ok && len(s.open) > s.depth {
			switch {
			case is(e, "table:table-row"):
				return s.row(e)
			case is(e, "table:table-rows"), is(e, "table:table-header-rows"), is(e, "table:table-row-group"):
			default:
				err = s.skip()
			}
		}
		if len(s.open) < s.depth {
			s.depth = mostToken // the sheet is at its end, what follows is not a part of it
		}
		if err == io.EOF {
			return err
		}
		if err != nil {
			return s.trouble(s.cut.Number+1, err)
		}
	}
}

// repeated is how often a row or a cell is there; 0 where that cannot be read.
func repeated(e xml.StartElement, name string) int {
	n, err := strconv.Atoi(cmp.Or(attribute(e, name), "1"))
	if err != nil || n < 1 || n > 1<<24 {
		return 0
	}
	return n
}

// row reads the cells of a row, to its end.
func (s *odsSheet) row(e xml.StartElement) error {
	s.cut.Number++
	row, column := s.cut.Number, 0
	s.repeat = repeated(e, "table:number-rows-repeated")
	if err := s.inside(nil, func(e xml.StartElement) error {
		n := repeated(e, "table:number-columns-repeated")
		covered := is(e, "table:covered-table-cell")
		wide, high := repeated(e, "table:number-columns-spanned"), repeated(e, "table:number-rows-spanned")
		if !covered && !is(e, "table:table-cell") || n*wide*high == 0 || len(s.areas) >= mostMerged {
			return io.ErrUnexpectedEOF
		}
		if wide*high > 1 {
			s.areas = append(s.areas, area{left: column, top: row, right: column + wide - 1, bottom: row + high - 1})
		}
		c, err := s.cell(e)
		if covered && (c.Text != "" || c.Sort != Text) {
			c.Sort = Covered
		}
		switch blank := c.Sort == Text && c.Text == ""; {
		case err != nil:
			return err
		case column+n > mostWidth:
			return &Trouble{Kind: ManyCells, Row: row}
		case !blank && column+n > mostColumns:
			return &Trouble{Kind: FarCell, Row: row, Read: strconv.Itoa(row)}
		case !blank:
			for c.Column = column; c.Column < column+n; c.Column++ {
				s.own = append(s.own, c)
			}
		}
		column += n
		return nil
	}); err != nil {
		return err
	}
	if s.repeat == 0 {
		return io.ErrUnexpectedEOF
	}
	return nil
}

// cell reads one cell, to its end.
func (s *odsSheet) cell(e xml.StartElement) (c Cell, err error) {
	var value []byte
	worked := false // it shows something, if only the empty text
	if err := s.inside(nil, func(e xml.StartElement) error {
		if !is(e, "text:p") {
			return s.skip()
		}
		if worked {
			value = append(value, '\n')
		}
		worked = true
		return s.paragraph(&value)
	}); err != nil {
		return c, err
	}
	shown := strings.TrimSpace(string(value))
	kind, formula := attribute(e, "office:value-type"), attribute(e, "table:formula")
	switch {
	case attribute(e, "calcext:value-type") == "error",
		formula != "" && (strings.HasPrefix(shown, "#") || kind != "string" && strings.HasPrefix(shown, "Err:")):
		c.Text, c.Sort = shown, Failed
	case formula != "" && kind == "" && !worked:
		_, c.Text, _ = strings.Cut(formula, "=")
		c.Text, c.Sort = "="+c.Text, Unworked
	default:
		c.Text, c.Sort = odsValue(e, kind, shown)
	}
	return c, nil
}

// clock is a time of day as .ods spreadsheets store it.
var clock = regexp.MustCompile(`^PT(\d+)H(\d+)M(\d+)([.,]\d+)?S$`)

// odsValue is what a cell of a kind holds, which shows a text.
func odsValue(e xml.StartElement, kind, shown string) (text string, sort Sort) {
	value := attribute(e, "office:value")
	switch kind {
	case "":
		for _, a := range e.Attr {
			if a.Name.Space == "office" { // a value whose kind is lost
				return cmp.Or(shown, a.Value), LostSort
			}
		}
		return shown, Text
	case "string":
		return strings.TrimSpace(cmp.Or(attribute(e, "office:string-value"), shown)), Text
	case "float", "currency":
		return plainStyle.of(value, false)
	case "percentage":
		return percentStyle.of(value, false)
	case "date":
		return isoDay(attribute(e, "office:date-value"))
	case "time":
		value = attribute(e, "office:time-value")
		if p := clock.FindStringSubmatch(value); p != nil {
			return p[1] + ":" + p[2] + ":" + p[3], Text
		}
		return value, NotDay
	case "boolean":
		return truth(attribute(e, "office:boolean-value"))
	}
	return shown, LostSort
}

// paragraph appends the text of the element that was begun last, to its end.
func (s *odsSheet) paragraph(to *[]byte) error {
	return s.inside(to, func(e xml.StartElement) error {
		switch {
		case is(e, "text:s"):
			n := repeated(e, "text:c")
			if n == 0 {
				return io.ErrUnexpectedEOF
			}
			if n > mostToken {
				s.heavy = true
				return io.ErrShortBuffer
			}
			*to = append(*to, strings.Repeat(" ", n)...)
		case is(e, "text:tab"):
			*to = append(*to, '\t')
		case is(e, "text:line-break"):
			*to = append(*to, '\n')
		case e.Name.Space != "text", is(e, "text:note"), is(e, "text:ruby-text"): // drawn over the text, or beside it
			return s.skip()
		}
		return s.paragraph(to)
	})
}
