package data

// This file writes JSON: values on a line, whole documents, and documents that come member by member and element by
// element.

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"unicode"
	"unicode/utf8"
)

// appendJSON appends v on a line. The structs of this package hold nothing that
// JSON cannot say.
func appendJSON(dst []byte, v any) []byte {
	b := bytes.NewBuffer(dst)
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic(err)
	}
	fresh := b.Bytes()[len(dst):]
	return append(b.Bytes()[:len(dst)], escapeHidden(fresh)...)
}

// inline is a value on one line, without the line's end.
func inline(v any) []byte { return bytes.TrimSuffix(appendJSON(nil, v), []byte("\n")) }

// isHidden reports whether a character that JSON allows as it is controls a terminal
// or the direction of text, or does not show.
func isHidden(r rune) bool { return r >= 0x7f && unicode.Is(unicode.C, r) }

// escapeHidden writes hidden characters as \u escapes. In JSON they are in texts only.
func escapeHidden(b []byte) []byte {
	if odd := func(c byte) bool { return c >= 0x7f }; !slices.ContainsFunc(b, odd) || !bytes.ContainsFunc(b, isHidden) {
		return b
	}
	out := make([]byte, 0, len(b)+64)
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		switch {
		case isHidden(r) && r < 0x10000:
			out = fmt.Appendf(out, "\\u%04x", r)
		case isHidden(r):
			out = fmt.Appendf(out, "\\u%04x\\u%04x", 0xd800+(r-0x10000)>>10, 0xdc00+(r-0x10000)&0x3ff)
		default:
			out = append(out, b[:n]...)
		}
		b = b[n:]
	}
	return out
}

func textOrNull(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// Number is f, nil where it is not a number that JSON can say.
func Number(f float64) *float64 {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return nil
	}
	return &f
}

// Document is a JSON document that is written as it comes, a member a line, and of a list an element a line. What goes
// wrong stays with the writer until End.
type Document struct {
	*bufio.Writer
	next   string // what comes before the next member or element
	table  *table // of a table for a spreadsheet, which has the elements of the lists alone
	record string // what the elements of the list are there
}

// Tool is the program that wrote a report. The zero value is not named in it.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// object is a JSON object: the names of its members and their values, in turn.
type object []any

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	out := []byte{'{'}
	for i := 0; i < len(o); i += 2 {
		if i > 0 {
			out = append(out, ',')
		}
		out = append(append(append(out, inline(o[i])...), ':'), inline(o[i+1])...)
	}
	return append(out, '}'), nil
}

// with adds a member if there is something to say.
func (o object) with(is bool, name string, v any) object {
	if is {
		return append(o, name, v)
	}
	return o
}

// topOf are the first members of a document.
func topOf(schema string, t Tool) object {
	return object{"schema", schema}.with(t != Tool{}, "tool", t)
}

// newDocument begins a document of a schema, or where the format is "csv" a table of elements such as likes.
func newDocument(w io.Writer, format, schema string, t Tool, likes ...any) *Document {
	d := &Document{Writer: bufio.NewWriter(w), next: "{"}
	if format == "csv" {
		d.table = newTable(d.Writer, append(likes, jsonRefused{}, jsonUnused{})...)
		return d
	}
	d.object(topOf(schema, t))
	return d
}

// begin begins a document that names its books and its day.
func (h *Head) begin(w io.Writer, format, schema string, t Tool, likes ...any) *Document {
	d := newDocument(w, format, schema, t, likes...)
	d.object(object{"books", booksOf(h.Books), "on", h.On})
	return d
}

// name writes the name of the next member.
func (d *Document) name(name string) {
	d.WriteString(d.next + "\n  \"" + name + "\": ")
	d.next = ","
}

// Member writes a member.
func (d *Document) Member(name string, v any) {
	if d.table != nil {
		return
	}
	d.name(name)
	d.Write(inline(v))
}

// object writes the members of an object.
func (d *Document) object(o object) {
	for i := 0; i < len(o); i += 2 {
		d.Member(o[i].(string), o[i+1])
	}
}

// Open begins a member that is a list, whose elements come next.
func (d *Document) Open(name string) {
	if d.table != nil {
		d.record = recordOf(name)
		return
	}
	d.name(name)
	d.WriteByte('[')
	d.next = ""
}

// element writes an element of the list.
func (d *Document) element(v any) {
	if d.table != nil {
		d.table.add(d.record, "", v)
		return
	}
	d.WriteString(d.next + "\n    ")
	d.next = ","
	d.Write(inline(v))
}

// Close ends the list.
func (d *Document) Close() {
	if d.table == nil {
		d.WriteString("\n  ]")
		d.next = ","
	}
}

// Within writes a member that is an object, whose members write writes.
func (d *Document) Within(name string, write func()) {
	if d.table == nil {
		d.name(name)
		d.next = "{"
		defer d.WriteString("\n  }")
	}
	write()
}

// End ends the document.
func (d *Document) End() error {
	if d.table == nil {
		d.WriteString("\n}\n")
	}
	return d.Flush()
}

// list writes a member that is a list.
func list[T any](d *Document, name string, l []T) {
	if len(l) == 0 {
		d.Member(name, []int{})
		return
	}
	d.Open(name)
	for _, one := range l {
		d.element(one)
	}
	d.Close()
}

// sets writes what comes of a sheet set by set, in a list that is open.
type sets struct {
	*Document
	notes Notes
	last  func() // writes what was found in all sets; nil: nothing
}

// End writes what is left, and the end.
func (s *sets) End() error {
	s.Close()
	if s.last != nil {
		s.last()
	}
	s.notes.members(s.Document)
	return s.Document.End()
}
