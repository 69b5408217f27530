package cells

// This file reads what an .xlsx spreadsheet holds beside its cells: its sheets, its texts and its formats (ECMA-376
// part 1, 18.2, 18.4 and 18.8).

import (
	"cmp"
	"encoding/xml"
	"io"
	"path"
	"slices"
	"strings"
)

// xlsxBook is an .xlsx spreadsheet without its cells.
type xlsxBook struct {
	archive
	names    []string // of the sheets, in order
	hidden   []bool   // which of them a person does not see
	parts    []string // and the names of their parts; "" if there is none
	from1904 bool     // days are counted from 1904
	texts    texts
	styles   []style // what the formats of its cells make of a number
}

// openXLSX finds the sheet that is asked for.
func openXLSX(a archive, want string, most Limits) (Source, *Trouble) {
	w := &xlsxBook{archive: a}
	if t := w.read(most.Texts); t != nil {
		return nil, t
	}
	at := slices.Index(w.hidden, false)
	if want != "" {
		at = slices.IndexFunc(w.names, func(n string) bool { return strings.EqualFold(n, want) })
	}
	if at < 0 {
		return nil, noSheet(want, w.names)
	}
	merged, t := merges(w.archive, w.parts[at], most.Sheet)
	if t != nil {
		return nil, t
	}
	part, t := w.part(w.parts[at], most.Sheet)
	switch {
	case t != nil:
		return nil, t
	case part == nil:
		return nil, &Trouble{Kind: NoCells, Read: w.names[at]}
	}
	s := &xlsxSheet{page: page{elements: newElements(part), name: w.names[at], areas: merged}, book: w}
	s.scan = s.next
	return s, nil
}

// texts is the list of texts of a spreadsheet.
type texts struct {
	all  []byte
	ends []uint32 // where each of them ends, behind a 0
}

// of returns a text by its index; false if there is none.
func (t *texts) of(i int) (string, bool) {
	if i < 0 || i+1 >= len(t.ends) {
		return "", false
	}
	return string(t.all[t.ends[i]:t.ends[i+1]]), true
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
func (w *xlsxBook) read(most int64) *Trouble {
	var top, rels relations
	var book struct {
		Pr struct {
			Date1904 string `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Sheets []struct {
			Name  string     `xml:"name,attr"`
			State string     `xml:"state,attr"`
			Attr  []xml.Attr `xml:",any,attr"`
		} `xml:"sheets>sheet"`
	}
	if t := w.decode("_rels/.rels", &top); t != nil {
		return t
	}
	name := cmp.Or(top.target("", "officeDocument", ""), "xl/workbook.xml")
	if t := w.decode(name, &book); t != nil {
		return t
	}
	if len(book.Sheets) == 0 {
		return &Trouble{Kind: NotBook}
	}
	if t := w.decode(path.Join(path.Dir(name), "_rels", path.Base(name)+".rels"), &rels); t != nil {
		return t
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
		w.hidden = append(w.hidden, s.State == "hidden" || s.State == "veryHidden")
	}
	if t := w.readStyles(cmp.Or(rels.target(name, "styles", ""), path.Join(path.Dir(name), "styles.xml"))); t != nil {
		return t
	}
	texts := cmp.Or(rels.target(name, "sharedStrings", ""), path.Join(path.Dir(name), "sharedStrings.xml"))
	return w.readTexts(texts, most)
}

// readStyles reads what each format of a cell makes of a number.
func (w *xlsxBook) readStyles(name string) *Trouble {
	var sheet struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Cells []struct {
			Format int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	if t := w.decode(name, &sheet); t != nil {
		return t
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
func (w *xlsxBook) readTexts(name string, most int64) *Trouble {
	part, t := w.part(name, most)
	if part == nil || t != nil {
		return t
	}
	w.texts.ends = []uint32{0}
	for x := newElements(part); ; {
		t, err := x.next()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return x.trouble(0, err)
		}
		if e, ok := t.(xml.StartElement); ok && e.Name.Local == "si" {
			if err := x.rich(&w.texts.all); err != nil {
				return x.trouble(0, err)
			}
			w.texts.ends = append(w.texts.ends, uint32(len(w.texts.all)))
		}
	}
}

// rich appends the text of an element that is made of runs, without what is written above them to be read aloud.
func (x *elements) rich(to *[]byte) error {
	return x.inside(nil, func(e xml.StartElement) error {
		switch e.Name.Local {
		case "t":
			return x.text(to)
		case "r":
			return x.rich(to)
		}
		return x.skip()
	})
}
