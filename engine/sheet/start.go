package sheet

// This file opens a sheet: it tells the format, finds the columns, and says why a sheet
// as a whole cannot be read.

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"ferrule/lang/diag"
)

// start tells the format and reads ahead.
func (r *Reader) start(in io.Reader) *Problem {
	if r.opts.By != "" {
		by, f := methodOf(r.opts, r.opts.By)
		if f != nil {
			return &Problem{Read: r.opts.By, Message: f.message, Hint: f.hint}
		}
		r.opts.By = by
	}
	r.parser = r.NewParser()
	head := make([]byte, sniffed)
	n, err := io.ReadFull(in, head)
	head = head[:n]
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return readProblem(err, 0)
	}
	file, _ := in.(io.ReaderAt)
	in = io.MultiReader(bytes.NewReader(head), in)
	format, p := formatOf(r.name, head)
	if p != nil {
		return p
	}
	switch format {
	case csvFormat:
		s := newCSV(r, in)
		if p := s.begin(); p != nil {
			return p
		}
		r.source = s
	case jsonFormat:
		r.source = newJSON(r, in)
	case xlsxFormat:
		s, p := newXLSX(r, in)
		if p != nil {
			return p
		}
		r.source = s
	}
	if h := r.source.columns(); h.row > 0 {
		if p := r.headings(h); p != nil {
			return p
		}
	}
	if s, ok := r.source.(*csvSource); ok && file != nil && r.scout(s, file) {
		r.stream()
	} else {
		r.gather()
	}
	return r.whole()
}

// sniffed is how many bytes tell the format.
const sniffed = 512

type format uint8

const (
	csvFormat format = iota + 1
	jsonFormat
	xlsxFormat
)

// formatOf tells the format by the name's ending, or by the first bytes.
func formatOf(name string, head []byte) (format, *Problem) {
	zip := bytes.HasPrefix(head, []byte("PK\x03\x04"))
	file := strings.ToLower(fileOf(name))
	is := func(endings ...string) bool {
		for _, e := range endings {
			if strings.HasSuffix(file, e) {
				return true
			}
		}
		return false
	}
	switch {
	case bytes.HasPrefix(head, []byte{0xd0, 0xcf, 0x11, 0xe0}):
		return 0, &Problem{Message: "the file is a spreadsheet of an old kind, or one with a password; expected .xlsx without a password, CSV or JSON Lines"}
	case bytes.HasPrefix(head, []byte{0xff, 0xfe}) || bytes.HasPrefix(head, []byte{0xfe, 0xff}):
		return 0, &Problem{Message: "the text is in UTF-16; expected UTF-8 (save it as CSV in UTF-8)"}
	case is(".xlsx") && !zip:
		return 0, &Problem{Message: "the file is no .xlsx spreadsheet, whatever its name says; expected one, or another ending"}
	case is(".csv", ".tsv", ".txt", ".jsonl", ".ndjson") && zip:
		return 0, &Problem{Message: "the file is a spreadsheet or an archive, whatever its name says; expected text"}
	case zip:
		return xlsxFormat, nil
	case noSheetText(head):
		return 0, &Problem{Message: "the file is no text; expected CSV, JSON Lines or an .xlsx spreadsheet"}
	case is(".csv", ".tsv", ".txt"):
		return csvFormat, nil
	case is(".jsonl", ".ndjson"):
		return jsonFormat, nil
	}
	switch text := bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\ufeff"))); {
	case len(text) > 0 && text[0] == '{':
		return jsonFormat, nil
	case len(text) > 0 && text[0] == '[':
		return 0, &Problem{Row: 1, Message: "the file is a list in brackets; expected JSON Lines, which have one object a line and nothing between them"}
	}
	return csvFormat, nil
}

// noSheetText reports whether the first bytes are those of no text at all: with NUL bytes, and a first line that is neither
// a JSON line nor text throughout. NUL bytes further down are the matter of their cells.
func noSheetText(head []byte) bool {
	if bytes.IndexByte(head, 0) < 0 {
		return false
	}
	first := bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n,;")
	if i := bytes.IndexAny(first, "\r\n"); i >= 0 {
		first = first[:i]
	}
	return !bytes.HasPrefix(first, []byte("{")) && unprintable(bytes.ReplaceAll(first, []byte("\t"), nil))
}

// fileOf is the name of a sheet without the spreadsheet's own sheet: "bag.xlsx" of "bag.xlsx#Irons".
func fileOf(name string) string {
	if i := strings.LastIndexByte(name, '#'); i > 0 && strings.HasSuffix(strings.ToLower(name[:i]), ".xlsx") {
		return name[:i]
	}
	return name
}

// headings looks over the row of headings.
func (r *Reader) headings(h *head) *Problem {
	for _, c := range h.columns {
		if c.fault != nil {
			return &Problem{Row: h.row, Column: c.heading, Read: c.fault.read, Message: c.fault.message, Hint: c.fault.hint}
		}
	}
	if f := repeated(h.columns); f != nil {
		return &Problem{Row: h.row, Column: f.column, Read: f.read, Message: f.message}
	}
	found := resolver{schema: r.opts.Schema}
	if h.find(clubColumn) < 0 && h.find(kindColumn) < 0 {
		p := &Problem{Row: h.row, Message: "no column is named club (or kind); expected one in the first row, whose cells say driver, 3w, 7i, PW and so on"}
		clubFound := false
		for _, c := range h.columns {
			p.Read += ", " + c.heading
			if near, ok := diag.Nearest(plainName(c.heading), []string{"club", "kind"}); ok {
				p.Column, p.Hint = c.heading, near
			}
			if n := nameOf(c.heading); !clubFound && c.heading != "" && n.fault == nil {
				clubFound = true
				p.Message = fmt.Sprintf("the first row holds a club, %s, instead of the names of the columns; expected names such as id, club, length, by above it", diag.Quote(c.heading))
			}
		}
		p.Read = shown(strings.TrimPrefix(p.Read, ", "))
		return p
	}
	for _, c := range h.columns {
		if w, ok := found.warning(c); ok {
			w.Row = h.row
			r.warn(w)
		}
	}
	return nil
}

// whole looks over the sheet after reading ahead.
func (r *Reader) whole() *Problem {
	switch h := r.source.columns(); {
	case r.problem != nil:
		return r.problem
	case r.rowsRead == 0 && r.done:
		return &Problem{Row: h.row, Message: "the sheet has no clubs; expected one club a row below the names of the columns"}
	case r.sawLength && !r.sawMethod && r.opts.By == "":
		p := &Problem{Row: h.row, Message: "the sheet has lengths and says nowhere how they were measured; expected the method in a column by, or --by METHOD once for all"}
		if h.length >= 0 {
			p.Column = h.columns[h.length].heading
		}
		return p
	}
	return nil
}
