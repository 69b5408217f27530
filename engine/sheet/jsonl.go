package sheet

// This file cuts JSON Lines into rows: one object a line, its names those that a heading would have.

import (
	"bytes"
	"encoding/json"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

const (
	manyNames   = 1000 // names, in all spellings, that the objects of a sheet may have between them
	manyUnknown = 100  // unknown names that are looked at, to warn of slips
)

// jsonSource is the source of a sheet of JSON Lines.
type jsonSource struct {
	lines
	reader  *Reader
	head    *head
	byName  map[string]int  // name to column
	unknown map[string]bool // names that mean nothing
	packed  []byte
	used    []bool // by column: it has a value in this line
	set     []byte
}

func newJSON(r *Reader, in io.Reader) *jsonSource {
	s := &jsonSource{lines: newLines(in), reader: r, byName: map[string]int{}, unknown: map[string]bool{}}
	s.ahead()
	s.head = newHead(r.name, nil, r.opts.Schema, 0, 0)
	return s
}

func (s *jsonSource) columns() *head { return s.head }

func (s *jsonSource) next() (line, bool) {
	for {
		text, f, ok := s.line()
		if !ok {
			return line{}, false
		}
		if f == sound && len(bytes.TrimSpace(text)) == 0 {
			continue
		}
		l := line{row: s.row, fault: f, noSet: f != sound}
		s.packed, s.set = s.packed[:0], s.set[:0]
		if f == sound {
			s.object(&l, text)
		}
		l.text = s.packed
		if l.set = s.set; len(l.set) > 0 && unprintable(l.set) {
			l.set, l.noSet = nil, true
			l.flaw(oddSetName)
		}
		return l, true
	}
}

// object packs the members of a line.
func (s *jsonSource) object(l *line, text []byte) {
	if !utf8.Valid(text) {
		l.fault, l.noSet = noText, true
		return
	}
	clear(s.used)
	d := json.NewDecoder(bytes.NewReader(text))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		l.fault, l.noSet = noObject, true
		return
	}
	for d.More() {
		var value json.RawMessage
		name, err := d.Token()
		if err == nil {
			err = d.Decode(&value)
		}
		if err != nil {
			l.fault, l.noSet = noObject, true
			return
		}
		if !s.member(l, name.(string), value) {
			l.fault, l.noSet = namesake, true
			return
		}
	}
	if _, err := d.Token(); err != nil {
		l.fault, l.noSet = noObject, true
	} else if _, err := d.Token(); err != io.EOF {
		l.fault, l.noSet = noObject, true
	}
}

// member packs one member; false where the sheet has too many names.
func (s *jsonSource) member(l *line, name string, value json.RawMessage) bool {
	i, ok := s.byName[name]
	if !ok && !s.unknown[name] {
		if i = s.learn(name, l.row); i >= 0 {
			s.byName[name] = i
			ok = true
		} else if len(s.head.columns) >= manyNames {
			return false
		}
	}
	if !ok {
		return true
	}
	c := &s.head.columns[i]
	sort, cell := cellOf(value, c.role == propertyColumn && c.property.Sort.Numeric())
	if cell == "" && sort == textCell {
		return true
	}
	for j, b := range s.head.columns { // another spelling of the name counts too
		if j < len(s.used) && s.used[j] && b.role == c.role && b.property.ID == c.property.ID {
			sort = twiceCell
		}
	}
	for len(s.used) <= i {
		s.used = append(s.used, false)
	}
	s.used[i] = true
	switch c.role {
	case setColumn:
		if sort != textCell {
			l.noSet = true
		} else {
			s.set = append(s.set, cell...)
		}
	case byColumn:
		l.method = true
	case propertyColumn:
		l.length = l.length || c.property.ByMethod
	}
	s.packed = pack(s.packed, i, sort, cell)
	return true
}

// learn adds the column of a name; -1 where it means nothing.
func (s *jsonSource) learn(name string, row int) int {
	r := resolver{schema: s.reader.opts.Schema}
	c := r.column(name)
	if c.role == ignored {
		if len(s.unknown) < manyUnknown {
			s.unknown[name] = true
			if w, ok := r.warning(c); ok {
				w.Row = row
				s.reader.warn(w)
			}
		}
		return -1
	}
	if len(s.head.columns) >= manyNames {
		return -1
	}
	columns := append(slices.Clip(s.head.columns), c)
	s.head = newHead(s.reader.name, columns, s.reader.opts.Schema, 0, 0)
	return len(columns) - 1
}

// cellOf is a value as a cell would hold it, trimmed: a list of readings with a stroke between them.
func cellOf(value json.RawMessage, readings bool) (sort byte, cell string) {
	switch value[0] {
	case '"':
		var text string
		if json.Unmarshal(value, &text) != nil {
			return nestedCell, string(value)
		}
		return textCell, strings.TrimSpace(text)
	case 't':
		return textCell, "true"
	case 'f':
		return textCell, "false"
	case 'n':
		return textCell, ""
	case '{':
		return nestedCell, string(value)
	case '[':
		var list []json.RawMessage
		if !readings || json.Unmarshal(value, &list) != nil {
			return nestedCell, string(value)
		}
		var texts []string
		for _, v := range list {
			if v[0] == '[' {
				return nestedCell, string(value)
			}
			sort, text := cellOf(v, false)
			if sort != textCell {
				return nestedCell, string(value)
			}
			texts = append(texts, text)
		}
		return textCell, strings.Join(texts, " | ")
	}
	return textCell, plainNumber(string(value))
}

// plainNumber is a number without an exponent; one that is beyond the range of numbers stays as it is.
func plainNumber(s string) string {
	if i := strings.IndexAny(s, "eE"); i >= 0 {
		f, err := strconv.ParseFloat(s, 64)
		if err == nil && f < 1e15 && f > -1e15 && (f != 0 || strings.Trim(s[:i], "-0.") == "") {
			return strconv.FormatFloat(f, 'f', -1, 64)
		}
	}
	return s
}
