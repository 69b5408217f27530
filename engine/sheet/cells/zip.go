package cells

// This file unpacks the parts of a spreadsheet, no more of them than is right, and reads the elements of one.

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
)

const (
	mostFile  = 32 << 20 // bytes of a spreadsheet
	mostPart  = 8 << 20  // bytes of a part that is neither a sheet nor its texts, unpacked
	mostToken = 1 << 20  // bytes of one of its marks, or of the text between two

	mostColumns = 256     // columns that are read
	mostWidth   = 16384   // columns that a spreadsheet can have, by ECMA-376
	mostRows    = 1 << 20 // rows, the same
	mostMerged  = 1 << 16 // merged cells that are read
	mostDepth   = 1 << 10 // elements in one another
)

// archive is a spreadsheet as it is packed.
type archive struct{ *zip.Reader }

// openSpreadsheet starts to read a sheet of a spreadsheet: the one of that name, or the first where the name is empty.
func openSpreadsheet(in io.Reader, sheet string, most Limits) (Source, *Trouble) {
	data, err := io.ReadAll(io.LimitReader(in, mostFile+1))
	if err != nil {
		return nil, unreadable(1, err)
	}
	if len(data) > mostFile {
		return nil, &Trouble{Kind: TooLarge}
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, &Trouble{Kind: Damaged}
	}
	a := archive{z}
	if content, t := a.part("content.xml", most.Sheet); content != nil || t != nil {
		if t != nil {
			return nil, t
		}
		return openODS(a, content, sheet)
	}
	return openXLSX(a, sheet, most)
}

// noSheet is the trouble of a spreadsheet with sheets of these names, none of which is the one that was asked for.
func noSheet(want string, names []string) *Trouble {
	if want == "" {
		return &Trouble{Kind: AllHidden, Names: names}
	}
	return &Trouble{Kind: NoSuchSheet, Read: want, Names: names}
}

// part opens a part that unpacks to most bytes at the most; nil where the spreadsheet has none of that name.
func (a archive) part(name string, most int64) (*part, *Trouble) {
	var found *part
	for _, f := range a.File {
		if name == "" || !isPart(f, name) {
			continue
		}
		in, err := f.Open()
		if err != nil || found != nil { // of two of one name nobody knows which is meant
			return nil, &Trouble{Kind: Damaged}
		}
		found = &part{in: bufio.NewReaderSize(in, 64<<10), left: most, most: most, token: int(most)}
	}
	return found, nil
}

// isPart reports whether a file of an archive is the part of that name.
func isPart(f *zip.File, name string) bool {
	return strings.EqualFold(strings.ReplaceAll(f.Name, `\`, "/"), name)
}

// decode reads a part into v; what v does not ask for is passed over, and so is a part that is not there.
func (a archive) decode(name string, v any) *Trouble {
	part, t := a.part(name, mostPart)
	if part == nil || t != nil {
		return t
	}
	d := xml.NewDecoder(part)
	err := d.Decode(v)
	for err == nil { // to the end, where it shows whether the part is whole
		_, err = d.RawToken()
	}
	if err != io.EOF {
		return part.trouble(0, err)
	}
	return nil
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

// Read is not called: encoding/xml takes the bytes one by one.
func (p *part) Read([]byte) (int, error) { return 0, errors.ErrUnsupported }

// holds reports whether a part has an element whose name begins with a word, whatever its prefix. It reads the part to
// its end, or as far as it may be read.
func (p *part) holds(word string) bool {
	for {
		tag, err := p.in.ReadSlice('<')
		if bytes.Contains(tag, []byte(word)) {
			return true
		}
		if p.left -= int64(len(tag)); p.left < 0 || err != nil && err != bufio.ErrBufferFull {
			return false
		}
	}
}

// trouble is what kept the part from being read on: the trouble that err is, or that of its bytes.
func (p *part) trouble(row int, err error) *Trouble {
	var t *Trouble
	switch {
	case errors.As(err, &t):
		return t
	case p.left < 0:
		return &Trouble{Kind: TooMuch, Row: row, Read: strconv.Itoa(int(p.most >> 20))}
	case p.heavy:
		return &Trouble{Kind: LargeCell, Row: row}
	}
	return &Trouble{Kind: Damaged, Row: row}
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
	x.token = mostToken
	t, err := x.d.RawToken()
	switch e := t.(type) {
	case xml.StartElement:
		if len(x.open) == mostDepth {
			return nil, io.ErrUnexpectedEOF
		}
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

// inside goes through the element that was begun last, to its end. It appends its text to text, which may be nil, and
// has child go through each element in it to the end of that.
func (x *elements) inside(text *[]byte, child func(e xml.StartElement) error) error {
	for {
		t, err := x.next()
		switch e := t.(type) {
		case xml.CharData:
			if text != nil {
				*text = append(*text, e...)
			}
		case xml.StartElement:
			err = child(e)
		case xml.EndElement:
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// skip reads to the end of the element that was begun last.
func (x *elements) skip() error {
	return x.inside(nil, func(xml.StartElement) error { return x.skip() })
}

// text appends the text of the element that was begun last, which has no elements, to its end.
func (x *elements) text(to *[]byte) error {
	return x.inside(to, func(xml.StartElement) error { return io.ErrUnexpectedEOF })
}

// within reports whether the element that was begun last is in one of that name.
func (x *elements) within(name string) bool {
	return len(x.open) > 1 && x.open[len(x.open)-2].Local == name
}

// attribute returns the value of an attribute, by its name with its prefix; "" if there is none.
func attribute(e xml.StartElement, name string) string {
	prefix, local, ok := strings.Cut(name, ":")
	if !ok {
		prefix, local = "", name
	}
	for _, a := range e.Attr {
		if a.Name.Local == local && a.Name.Space == prefix {
			return a.Value
		}
	}
	return ""
}
