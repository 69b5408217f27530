package report

// This file writes what every report says of the rows themselves: those that could not be read, and readings that a
// person should look at again.

import (
	"ferrule/engine/club"
	"ferrule/engine/report/doc"
	"ferrule/lang/catalogue"
)

// rowNotes are the refused rows and the doubtful readings of a report that comes set by set.
type rowNotes struct {
	refused  []club.Refusal
	doubtful Doubtful
}

// Doubtful are doubtful readings in the order in which they came.
type Doubtful struct {
	List []club.Doubt
	told map[string]int // what was told once for its sheet, and by column how much that is
}

// mostTexts is how many unknown texts of one column are listed.
const mostTexts = 100

// Add takes doubtful readings in, those of which one note is enough once for each sheet.
func (n *Doubtful) Add(doubtful []club.Doubt) {
	for _, d := range doubtful {
		if d.Once {
			column := d.Row.File + "\x00" + d.Column
			text := column + "\x00" + catalogue.Key(d.Read)
			if n.told == nil {
				n.told = map[string]int{}
			}
			if n.told[text] > 0 || n.told[column] > mostTexts {
				continue
			}
			n.told[text]++
			if n.told[column]++; n.told[column] > mostTexts {
				d.Message = "this and further texts that no rule knows are not listed"
			}
		}
		n.List = append(n.List, d)
	}
}

func (n *rowNotes) note(s *club.Set, doubtful []club.Doubt) {
	for _, f := range s.Refused {
		if !f.Again {
			f.Club = nil
			n.refused = append(n.refused, f)
		}
	}
	n.doubtful.Add(doubtful)
}

// members are the last members of the report's JSON.
func (n *rowNotes) members() string {
	s := ",\n  \"refused\": " + listOf(n.refused, refusedOf)
	if len(n.doubtful.List) > 0 {
		s += ",\n  \"doubtful\": " + listOf(n.doubtful.List, doubtfulOf)
	}
	return s + "\n}\n"
}

// listOf is a list as JSON, its elements on lines of their own.
func listOf[T, J any](all []T, of func(T) J) string {
	var l jsonList
	for _, one := range all {
		line := appendJSON(nil, of(one))
		l.add(line[:len(line)-1])
	}
	return listed(&l)
}

type jsonDoubtful struct {
	Entry   string  `json:"entry,omitempty"`
	File    string  `json:"file"`
	Row     int     `json:"row"`
	Column  *string `json:"column"`
	Read    string  `json:"read"`
	Message string  `json:"message"`
}

func doubtfulOf(d club.Doubt) jsonDoubtful {
	return jsonDoubtful{File: d.Row.File, Row: d.Row.Row, Column: textOrNull(d.Column), Read: d.Read, Message: d.Message}
}

// blocks are the sections of the doubtful readings and of the refused rows.
func (n *rowNotes) blocks() []doc.Block {
	return append(doubtfulSection(n.doubtful.List), refusedSection(n.refused)...)
}

// doubtfulSection is the section of the doubtful readings; nothing where there are none.
func doubtfulSection(doubtful []club.Doubt) []doc.Block {
	return rowSection(doc.Open, "Doubtful readings", doubtful, doubtBlocks)
}

// refusedSection is the section of the refused rows; nothing where there are none.
func refusedSection(rows []club.Refusal) []doc.Block {
	return rowSection(doc.Fail, "Rows that could not be read", rows, refusalBlocks)
}

// rowSection is a section with what is said of each row; nothing where there are none.
func rowSection[T any](tone doc.Tone, title string, rows []T, of func(T) []doc.Block) []doc.Block {
	if len(rows) == 0 {
		return nil
	}
	out := []doc.Block{doc.Section{Tone: tone, Title: numbered(title, len(rows))}}
	for _, r := range rows {
		out = append(out, of(r)...)
	}
	return append(out, doc.Gap{})
}

// doubtBlocks are what is said of a doubtful reading.
func doubtBlocks(d club.Doubt) []doc.Block {
	return []doc.Block{doc.Subject{Name: doubtPlace(d)}, doc.Facts{Level: 2, List: []doc.Fact{{Label: "read", Note: readWords(d.Read)}, {Label: "doubt", Note: Visible(d.Message)}}}}
}

// refusalBlocks are what is said of a refused row.
func refusalBlocks(f club.Refusal) []doc.Block {
	left := rowWords(f.Row)
	if f.Column != "" {
		left += ", column " + Visible(f.Column)
	}
	if f.Set != "" {
		left = Visible(f.Set) + ", " + left
	}
	var list []doc.Fact
	if f.Read != "" {
		list = append(list, doc.Fact{Label: "read", Note: readWords(f.Read)})
	}
	list = append(list, doc.Fact{Label: "wrong", Note: Visible(f.Message)})
	if f.Hint != "" {
		list = append(list, doc.Fact{Label: "mend", Note: Visible(f.Hint)})
	}
	return []doc.Block{doc.Subject{Name: left}, doc.Facts{Level: 2, List: list}}
}

// readWords is what stood in a cell as a person looks at it, its first hundred characters.
func readWords(s string) string {
	const most = 100
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return Visible(s)
}

// doubtPlace is "bags.csv row 3, column length".
func doubtPlace(d club.Doubt) string {
	if d.Column == "" {
		return rowWords(d.Row)
	}
	return rowWords(d.Row) + ", column " + Visible(d.Column)
}

func doubtfulLine(d club.Doubt) line {
	one := line{colRecord: "doubtful"}
	one.text(colFile, d.Row.File)
	one.count(colRows, d.Row.Row)
	one.text(colMessage, d.Message)
	one.text(colColumn, d.Column)
	one.text(colRead, d.Read)
	return one
}
