package report

// This file writes what every report says of the rows themselves: those that could not be read, and readings that a
// person should look at again.

import (
	"strconv"

	"ferrule/engine/club"
	"ferrule/engine/decide"
)

// rowNotes are the refused rows and the doubtful readings of a report that comes set by set.
type rowNotes struct {
	refused  []club.Refusal
	doubtful []club.Doubt
}

func (n *rowNotes) note(s *club.Set, doubtful []club.Doubt) {
	for _, f := range s.Refused {
		if !f.Again {
			f.Club = nil
			n.refused = append(n.refused, f)
		}
	}
	n.doubtful = append(n.doubtful, doubtful...)
}

// members are the last members of the report's JSON.
func (n *rowNotes) members() string {
	s := ",\n  \"refused\": " + listOf(n.refused, refusedOf)
	if len(n.doubtful) > 0 {
		s += ",\n  \"doubtful\": " + listOf(n.doubtful, doubtfulOf)
	}
	return s + "\n}\n"
}

// text is the same for the bench.
func (n *rowNotes) text(o Options) string { return doubtfulText(n.doubtful, o) + unread(n.refused, o) }

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

// doubtfulText is the section of the doubtful readings; nothing where there are none.
func doubtfulText(doubtful []club.Doubt, o Options) string {
	if len(doubtful) == 0 {
		return ""
	}
	s := o.title(decide.TooClose, "DOUBTFUL READINGS: "+strconv.Itoa(len(doubtful)))
	for _, d := range doubtful {
		s += doubtPlace(d) + "\n" + block(4, []entry{{label: "read", note: readWords(d.Read)}, {label: "doubt", note: Visible(d.Message)}})
	}
	return s + "\n"
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

// doubts is the table of the doubtful readings.
func (p *page) doubts() pagePart {
	t := pagePart{Title: "Doubtful readings: " + strconv.Itoa(len(p.doubtful))}
	if len(p.doubtful) == 0 {
		return t
	}
	one := pageTable{Name: "Look at these again", Heads: []string{"Row", "Column", "Read", "What is odd"}}
	for _, d := range p.doubtful {
		one.Rows = append(one.Rows, []string{rowWords(d.Row), Visible(d.Column), Visible(d.Read), Visible(d.Message)})
	}
	t.Tables = []pageTable{one}
	return t
}
