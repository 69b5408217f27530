// Package doc holds what a report for a reader is made of, and draws it as text. A view of a result makes blocks and
// knows no format; a drawing draws blocks and knows no command.
//
// doc.go and pictures.go hold the blocks, text.go draws them as text, layout.go lays that out for a page of 80 columns,
// and scale.go draws the steps of a set.
package doc

import (
	"strings"

	"ferrule/lang/unit"
)

// Drawing appends blocks, drawn, to dst. It may be called on several goroutines at once. A document is a Head, what
// follows it, and End; all between may be drawn in pieces and in any order.
type Drawing func(dst []byte, blocks ...Block) []byte

// Tone is what a part says of the clubs. The zero value says nothing.
type Tone uint8

// The tones. Open is neither good nor bad: it could not be decided.
const (
	Plain Tone = iota
	Pass
	Open
	Fail
)

// Block is a part of a document, one of those below.
type Block interface{ block() }

// Head begins a document. Right is shown at the right end of its line, the notes below, a paragraph each.
type Head struct {
	Title, Right string
	Notes        []string
}

// Outcome is what came of the whole, and comes first.
type Outcome struct {
	Tone
	Lead, Text string
}

// Section begins a part of the document. Page: it is about one bag, and begins a sheet of paper.
type Section struct {
	Title, Right string
	Tone         Tone
	Page         bool
	Dense        bool // on paper what is said of the bag may be in two columns
}

// Subject names what the next blocks are about, and where that was read.
type Subject struct {
	Name, Place string
	Level       int
}

// Para is a paragraph; its further lines are indented by Hang more. The tone is that of Text; Lead comes before it.
type Para struct {
	Tone
	Lead, Text  string
	Level, Hang int
}

// List is a list of sentences.
type List []string

// Fact is an amount with its label and what is said of it. What is behind a fact has one more Level.
type Fact struct {
	Label, Amount, Note string
	Level               int
}

// Facts are shown one below the other, indented by Level.
type Facts struct {
	Level int
	List  []Fact
}

// Finding is a line under a stamp, and what belongs to it: what came of a rule on a club, a row that was not read.
type Finding struct {
	Tone
	Stamp string // a word or two: the verdict, the row
	Text  string
	Next  string // what to do before anything else
	Title string // of the rule
	Mend  string
	Line  *Lanes // nil: none
	Facts []Fact
	Rule  *Source // nil: its own words are not shown
	More  *Table  // nil: none
}

// Source is where a rule is written, and its own words.
type Source struct {
	Place string
	Lines []string
}

// Table has a heading for each column, or none. What does not fit on a page of text goes below its row.
type Table struct {
	Name, Place string // above it, where it is not named before
	Level       int
	Heads       []string
	Right       int // so many of the first columns stand against their right edge
	Rows        []Row
}

// Row is a row of a table, and what is said below it. Its last cell may be a bar, with what its text says behind.
type Row struct {
	Cells []string
	Bar   *Bar // nil: none
	Below []Block
}

// Bar divides a whole of 1 into parts by their tones; what Pass and Open leave fails.
type Bar struct{ Pass, Open float64 }

// BarLegend explains the bars above it; Open where there may be open parts.
type BarLegend struct{ Open bool }

// Verbatim is text whose lines stay as they are.
type Verbatim []string

// Steps is a set as it steps from one club to the next, in the order of a key.
type Steps struct {
	Title, Sub string
	Key        string                    // what the clubs are in the order of
	Unit       *unit.Unit                // of the values; nil where none is known
	Figure     func(base float64) string // a value of the scale, without its unit
	Stands     []Stand
	After      []Block
}

// Stand is a club in its place.
type Stand struct {
	Before           string // said before it, instead of its step
	Key, Name, Value string
	Parts            []Stretch // its value, and where the rule allows it
	Step             *Step     // from the club before; nil where none is shown
}

// Step is what lies between two clubs: its size, what the rule asks of it, and what came of it.
type Step struct {
	Tone
	Size, Bound, Verdict string
}

// Lanes is the picture of the steps: each club with where the club before it allows it.
func (b *Steps) Lanes() *Lanes {
	out := &Lanes{Title: b.Title, Text: b.Sub + ".", Unit: b.Unit, Figure: b.Figure}
	for _, s := range b.Stands {
		if s.Before != "" {
			out.List = append(out.List, Lane{Words: s.Before})
		}
		words := s.Name + " " + s.Value
		out.Text += " " + words
		if s.Step != nil {
			out.Text += ": " + s.Step.Size + ", " + strings.TrimPrefix(s.Step.Bound+": "+s.Step.Verdict, ": ")
			if s.Step.Tone != Pass {
				words += ": " + s.Step.Verdict
			}
		}
		out.Text += "."
		out.List = append(out.List, Lane{Words: words, Parts: s.Parts})
	}
	return out
}

// Aside explains the document to a reader who was not there when the clubs were measured. Text leaves it out.
type Aside []Block

// Gap is an empty line of text; two in a row are one.
type Gap struct{}

// End ends a document, on a page with a line for a date and a signature.
type End struct{}

func (Head) block()      {}
func (Outcome) block()   {}
func (Section) block()   {}
func (Subject) block()   {}
func (Para) block()      {}
func (List) block()      {}
func (Facts) block()     {}
func (*Finding) block()  {}
func (*Table) block()    {}
func (*Source) block()   {}
func (Verbatim) block()  {}
func (BarLegend) block() {}
func (*Steps) block()    {}
func (Aside) block()     {}
func (Gap) block()       {}
func (End) block()       {}
