package cells

// This file writes sheets with changes. What is not changed stays as it was, byte for byte. CSV and JSON Lines are
// here, .xlsx is in writexlsx.go.

import (
	"bytes"
	"encoding/json"
	"errors"
	"path"
	"slices"
	"strings"
)

// Frame is where the columns of a sheet are.
type Frame struct {
	Comma byte                           // of CSV: what divides its cells
	Head  int                            // the row of the headings; 0 in JSON Lines
	Heads []string                       // the headings; of JSON Lines the names that its lines have between them
	Same  func(member, head string) bool // of JSON Lines: whether a member of a line is that of a column
}

// Edits are changes of a sheet.
type Edits struct {
	Frame
	New   []string               // headings of further columns, behind those of the frame
	Cells map[int]map[int]string // texts by row, as the sheet counts them, and column, from 0
	Rows  []AddedRow             // further rows; of two behind the same row the first comes first
	Soft  []int                  // columns that are left as they are where a cell is one with those of other rows
}

// AddedRow is a row that is put behind row After: texts by column.
type AddedRow struct {
	After int
	Cells map[int]string
}

// ErrFormat says that a sheet is in a format that cannot be written.
var ErrFormat = errors.New("an .ods sheet can be read and not written; save it as .xlsx or .csv, and go on with that")

// Begin returns a new sheet of that name with headings. The error, for a person, says why a sheet of such a name cannot
// be begun.
func Begin(name string, heads []string) ([]byte, error) {
	file := FileOf(name)
	switch strings.ToLower(path.Ext(file)) {
	case ".csv", ".txt":
		return []byte(strings.Join(heads, ",") + "\n"), nil
	case ".jsonl", ".ndjson":
		return nil, nil
	case ".xlsx":
		return newBook(strings.TrimPrefix(name[len(file):], "#"), heads)
	}
	return nil, errors.New("bench begins a new sheet as .csv, .jsonl or .xlsx")
}

// Write returns the sheet of that name, whose file holds text, with changes.
func Write(name string, text []byte, e *Edits) ([]byte, error) {
	is, t := formatOf(name, text[:min(len(text), sniffed)])
	switch {
	case t != nil || len(e.Cells) == 0 && e.New == nil && e.Rows == nil && is != spreadsheet:
		return text, nil // what is wrong with it shows when it is read
	case is == spreadsheet:
		return writeXLSX(name, text, e)
	case is == jsonLines:
		return writeJSON(text, e), nil
	}
	return writeCSV(string(text), e), nil
}

// CellOf returns what a sheet holds in a row and a column; "" where there is nothing.
func CellOf(name string, text []byte, f *Frame, row, column int) string {
	source, t := Open(name, bytes.NewReader(text), UsualLimits)
	if t != nil {
		return ""
	}
	if csv, ok := source.(*CSV); ok {
		csv.Comma = f.Comma
	}
	for r := source.Next(); r != nil && r.Number <= row; r = source.Next() {
		for _, c := range r.Cells {
			if r.Number == row && (f.Head == 0 && f.Same(c.Name, f.Heads[column]) || f.Head > 0 && c.Column == column) {
				return c.Text
			}
		}
	}
	return ""
}

// changes are the texts of a row that exists; those of the headings are the new ones.
func (e *Edits) changes(row int) map[int]string {
	if row != e.Head || len(e.New) == 0 {
		return e.Cells[row]
	}
	texts := map[int]string{}
	for i, head := range e.New {
		texts[len(e.Heads)+i] = head
	}
	return texts
}

// behind are the rows that are put behind a row.
func (e *Edits) behind(row int) []AddedRow {
	return slices.DeleteFunc(slices.Clone(e.Rows), func(r AddedRow) bool { return r.After != row })
}

// writeCSV writes a sheet with its separator, its mark, its line ends and the rows above its headings. A row that is at
// fault stays at fault: a new column gives each row one more cell.
func writeCSV(text string, e *Edits) []byte {
	rest, _ := strings.CutPrefix(text, byteOrderMark)
	s := &CSV{lines: lines{rest: rest, ended: true, eol: lineEnd(text)}, Form: Form{Comma: e.Comma}}
	end := string(s.eol)
	if s.eol == '\n' && strings.Contains(text, "\r\n") {
		end = "\r\n"
	}
	out := []byte(text[:len(text)-len(rest)])
	for s.record() {
		row := &s.cut
		if row.Number == e.Head {
			s.Width = len(e.Heads)
		}
		line, behind := row.Text, rest[len(row.Text):len(rest)-len(s.rest)]
		rest = s.rest
		if row.Number >= e.Head && row.Flaw == Sound && !s.blank(row.Text) {
			line = s.changed(row.Text, e.changes(row.Number), len(e.New))
		}
		out = append(append(out, line...), behind...)
		for _, r := range e.behind(row.Number) {
			texts := make([]string, len(e.Heads)+len(e.New))
			for at, text := range r.Cells {
				texts[at] = csvCell(text, s.Comma)
			}
			if line := strings.Join(texts, string(s.Comma)); behind == "" { // the last line has no end
				out = append(append(out, end...), line...)
			} else {
				out = append(append(out, line...), end...)
			}
		}
	}
	return out
}

// changed is a sound row with other texts and so many new columns.
func (f Form) changed(row string, texts map[int]string, more int) string {
	var parts []string
	for i := 0; i <= len(row); {
		end, _, _ := cellEnd(row, i, f.Comma, f.Comma)
		parts = append(parts, row[i:end])
		i = end + 1
	}
	whole := f.Whole(row) // else a cell is missing or there is one too many, nobody knows which
	for n := len(parts); len(parts) < n+more && (!whole || len(parts) < f.Width+more); {
		parts = append(parts, "")
	}
	for at, text := range texts {
		parts[at] = csvCell(text, f.Comma)
	}
	return strings.Join(parts, string(f.Comma))
}

// csvCell is a text as a cell of CSV (RFC 4180).
func csvCell(text string, comma byte) string {
	if strings.ContainsAny(text, string(comma)+"\"\r\n") {
		text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
	}
	return text
}

// writeJSON writes JSON Lines.
func writeJSON(text []byte, e *Edits) []byte {
	rest, marked := bytes.CutPrefix(text, []byte(byteOrderMark))
	out := bytes.Clone(text[:len(text)-len(rest)])
	for n, line := range slices.Concat([][]byte{nil}, bytes.SplitAfter(rest, []byte{'\n'})) {
		if texts := e.Cells[n]; texts != nil {
			line = e.jsonLine(line, texts)
		}
		out = append(out, line...)
		for _, r := range e.behind(n) {
			if len(out) > 0 && !marked && out[len(out)-1] != '\n' {
				out = append(out, '\n')
			}
			out = append(append(out, e.jsonLine([]byte("{}"), r.Cells)...), '\n')
		}
	}
	return out
}

// jsonLine is a line with other texts. The values of the other members stay as they were.
func (e *Edits) jsonLine(line []byte, texts map[int]string) []byte {
	var names []string
	values := map[string][]byte{}
	d := json.NewDecoder(bytes.NewReader(line))
	for d.Token(); d.More(); {
		name, err := d.Token()
		text, ok := name.(string)
		var value json.RawMessage
		if err != nil || !ok || d.Decode(&value) != nil {
			return line
		}
		names, values[text] = append(names, text), value
	}
	for at, head := range slices.Concat(e.Heads, e.New) {
		text, ok := texts[at]
		if !ok {
			continue
		}
		if i := slices.IndexFunc(names, func(n string) bool { return n == head || e.Same(n, head) }); i >= 0 {
			head = names[i]
		} else {
			names = append(names, head)
		}
		values[head] = quotedJSON(text)
	}
	var parts [][]byte
	for _, name := range names {
		parts = append(parts, slices.Concat(quotedJSON(name), []byte(": "), values[name]))
	}
	d.Token() // the brace
	tail := line[d.InputOffset():]
	return slices.Concat([]byte("{"), bytes.Join(parts, []byte(", ")), []byte("}"), tail)
}

// quotedJSON is a text as a JSON string.
func quotedJSON(s string) []byte {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.Encode(s)
	return bytes.TrimSpace(b.Bytes())
}
