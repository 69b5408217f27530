package sheet

// This file reads what a spreadsheet holds beside its cells: its sheets, its texts and its formats (ECMA-376 part 1,
// 18.2, 18.4 and 18.8).

import (
	"archive/zip"
	"bufio"
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strings"
)

// xlsxBook is a spreadsheet without its cells.
type xlsxBook struct {
	zip      *zip.Reader
	names    []string // of the sheets, in order
	parts    []string // and the names of their parts; "" where there is none
	from1904 bool     // days are counted from 1904
	texts    texts
	styles   []style // what the formats of its cells make of a number

	mostTexts int64 // bytes of its texts that may be unpacked
}

// texts is the list of texts of a spreadsheet.
type texts struct {
	all  []byte
	ends []uint32 // where each of them ends
}

// of returns a text by its index; false where there is none.
func (t *texts) of(i int) (string, bool) {
	if i < 0 || i >= len(t.ends) {
		return "", false
	}
	from := uint32(0)
	if i > 0 {
		from = t.ends[i-1]
	}
	return string(t.all[from:t.ends[i]]), true
}

// relations are the parts that another part names.
type relations struct {
	List []struct {
		ID     string `xml:"Id,attr"`
		Type   string `xml:"Type,attr"`
		Target string `xml:"Target,attr"`
	} `xml:"Relationship"`
}

// target returns the name of the part of a kind that of names, the one with the id where that is not empty; "" where
// there is none.
func (r *relations) target(of, kind, id string) string {
	for _, one := range r.List {
		if !strings.HasSuffix(one.Type, "/"+kind) || id != "" && one.ID != id {
			continue
		}
		if strings.HasPrefix(one.Target, "/") {
			return one.Target[1:]
		}
		return path.Join(path.Dir(of), one.Target)
	}
	return ""
}

// read reads everything but the sheets.
func (w *xlsxBook) read() *Problem {
	var top, rels relations
	var book struct {
		Pr struct {
			Date1904 string `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Sheets []struct {
			Name string     `xml:"name,attr"`
			Attr []xml.Attr `xml:",any,attr"`
		} `xml:"sheets>sheet"`
	}
	if p := w.decode("_rels/.rels", &top); p != nil {
		return p
	}
	name := cmp.Or(top.target("", "officeDocument", ""), "xl/workbook.xml")
	if p := w.decode(name, &book); p != nil {
		return p
	}
	if len(book.Sheets) == 0 {
		return &Problem{Message: "the file is no .xlsx spreadsheet, or is damaged; " +
			"expected one that a spreadsheet program saved, without a password"}
	}
	if p := w.decode(path.Join(path.Dir(name), "_rels", path.Base(name)+".rels"), &rels); p != nil {
		return p
	}
	w.from1904 = book.Pr.Date1904 == "1" || book.Pr.Date1904 == "true"
	for _, s := range book.Sheets {
		part := ""
		for _, a := range s.Attr {
			if a.Name.Local == "id" && strings.HasSuffix(a.Name.Space, "/relationships") {
				part = rels.target(name, "worksheet", a.Value)
			}
		}
		w.names, w.parts = append(w.names, s.Name), append(w.parts, part)
	}
	if p := w.readStyles(cmp.Or(rels.target(name, "styles", ""), path.Join(path.Dir(name), "styles.xml"))); p != nil {
		return p
	}
	return w.readTexts(cmp.Or(rels.target(name, "sharedStrings", ""), path.Join(path.Dir(name), "sharedStrings.xml")))
}

// readStyles reads what each format of a cell makes of a number.
func (w *xlsxBook) readStyles(name string) *Problem {
	var sheet struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Cells []struct {
			Format int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	if p := w.decode(name, &sheet); p != nil {
		return p
	}
	own := map[int]style{}
	for _, f := range sheet.Formats {
		own[f.ID] = custom(f.Code)
	}
	for _, c := range sheet.Cells {
		st, ok := own[c.Format]
		if !ok {
			st = builtIn(c.Format)
		}
		w.styles = append(w.styles, st)
	}
	return nil
}

// readTexts reads the list of texts.
func (w *xlsxBook) readTexts(name string) *Problem {
	part, p := w.part(name, w.mostTexts)
	if part == nil || p != nil {
		return p
	}
	x := newElements(part)
	for {
		t, err := x.next()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return x.problem(0)
		}
		if e, ok := t.(xml.StartElement); ok && e.Name.Local == "si" {
			if w.texts.all, err = x.rich(w.texts.all); err != nil {
				return x.problem(0)
			}
			w.texts.ends = append(w.texts.ends, uint32(len(w.texts.all)))
		}
	}
}

// decode reads a part into v; what v does not ask for is passed over, and so is a part that is not there.
func (w *xlsxBook) decode(name string, v any) *Problem {
	part, p := w.part(name, xlsxPart)
	if part == nil || p != nil {
		return p
	}
	d := xml.NewDecoder(part)
	err := d.Decode(v)
	for err == nil { // to the end, where it shows whether the part is whole
		_, err = d.RawToken()
	}
	if err != io.EOF {
		return part.problem(0)
	}
	return nil
}

// part opens a part that unpacks to most bytes at the most; nil where the spreadsheet has none of that name.
func (w *xlsxBook) part(name string, most int64) (*part, *Problem) {
	var found *part
	for _, f := range w.zip.File {
		if name == "" || !strings.EqualFold(strings.ReplaceAll(f.Name, `\`, "/"), name) {
			continue
		}
		in, err := f.Open()
		if err != nil || found != nil { // of two of one name nobody knows which is meant
			return nil, damaged(0)
		}
		found = &part{in: bufio.NewReaderSize(in, 64<<10), left: most, most: most, token: int(most)}
	}
	return found, nil
}

// part is a part of a spreadsheet that is being unpacked.
type part struct {
	in    *bufio.Reader
	left  int64 // bytes that may still come
	most  int64
	token int  // bytes that the token in hand may still have
	heavy bool // a token has more
}

// ReadByte returns the next byte.
func (p *part) ReadByte() (byte, error) {
	p.left--
	p.token--
	if p.heavy = p.heavy || p.token < 0; p.heavy || p.left < 0 {
		return 0, io.ErrShortBuffer
	}
	return p.in.ReadByte()
}

// Read reads as ReadByte does.
func (p *part) Read(b []byte) (int, error) {
	c, err := p.ReadByte()
	if err != nil || len(b) == 0 {
		return 0, err
	}
	b[0] = c
	return 1, nil
}

// problem is what kept the part from being read on.
func (p *part) problem(row int) *Problem {
	switch {
	case p.left < 0:
		return &Problem{Row: row, Message: fmt.Sprintf("the spreadsheet unpacks to more than %d MiB; ", p.most>>20) + smaller}
	case p.heavy:
		return &Problem{Row: row, Message: "a cell is larger than 1 MiB; expected a sheet of clubs"}
	}
	return damaged(row)
}

// elements are those of a part, each ended as it was opened.
type elements struct {
	*part
	d    *xml.Decoder
	open []xml.Name
}

func newElements(p *part) *elements { return &elements{part: p, d: xml.NewDecoder(p)} }

// next returns the next token; io.EOF at the end of the part.
func (x *elements) next() (xml.Token, error) {
	x.token = xlsxToken
	t, err := x.d.RawToken()
	switch e := t.(type) {
	case xml.StartElement:
		x.open = append(x.open, e.Name)
	case xml.EndElement:
		n := len(x.open) - 1
		if n < 0 || x.open[n] != e.Name {
			return nil, io.ErrUnexpectedEOF
		}
		x.open = x.open[:n]
	}
	if err == io.EOF && len(x.open) > 0 {
		err = io.ErrUnexpectedEOF
	}
	return t, err
}

// skip reads to the end of the element that was begun last.
func (x *elements) skip() error {
	for depth := len(x.open); len(x.open) >= depth; {
		if _, err := x.next(); err != nil {
			return err
		}
	}
	return nil
}

// text appends the text of the element that was begun last, to its end.
func (x *elements) text(to []byte) ([]byte, error) {
	for {
		t, err := x.next()
		if err != nil {
			return to, err
		}
		switch t := t.(type) {
		case xml.CharData:
			to = append(to, t...)
		case xml.StartElement:
			return to, io.ErrUnexpectedEOF
		case xml.EndElement:
			return to, nil
		}
	}
}

// rich appends the text of an element that is made of runs, without what is written above them to be read aloud.
func (x *elements) rich(to []byte) ([]byte, error) {
	for {
		t, err := x.next()
		if err != nil {
			return to, err
		}
		switch t := t.(type) {
		case xml.StartElement:
			switch t.Name.Local {
			case "t":
				to, err = x.text(to)
			case "r":
				to, err = x.rich(to)
			default:
				err = x.skip()
			}
			if err != nil {
				return to, err
			}
		case xml.EndElement:
			return to, nil
		}
	}
}
