// Package report shows what judging gave, to a person at the bench (text), to a customer or a committee (html), and to
// other programs. It writes to an io.Writer and decides nothing: every number and reason comes with the results.
//
// report.go picks the writer; sheaf.go holds what is said of sets until it is written. Reports for a reader are
// documents: check.go is the view of a check, with finding.go, bagpage.go, lacks.go, rows.go and summary.go. Each other
// command has its view in a file of its name; about.go is the head and the tail of all pages. stream.go writes a check
// for programs, as engine/report/data has it.
package report

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report/data"
	"ferrule/engine/report/doc"
	"ferrule/engine/report/page"
	"ferrule/engine/report/picture"
	"ferrule/engine/report/wording"
	"ferrule/engine/spool"
	"ferrule/lang/book"
)

// Depth says how much is said of a result. The zero value is what is usual: of text Line, of pages Steps for what
// does not pass.
type Depth int

// The depths, in the words of the option.
const (
	Usual Depth = iota
	Line
	Steps
	Full
)

var depthNames = []string{"line", "steps", "full"}

// Depths lists the words for depths.
func Depths() []string { return slices.Clone(depthNames) }

// DepthOf returns the depth of that word; false where there is none.
func DepthOf(word string) (Depth, bool) {
	i := slices.Index(depthNames, word)
	return Depth(i + 1), i >= 0
}

// Options says how a report is written.
type Options struct {
	Format string // "" is text
	Depth  Depth  // of text and pages
	Colour bool   // of text: verdicts may be coloured; they are never told by colour alone

	Tool  data.Tool    // that writes the report
	Books []*book.Book // that are asked, the named ones first, for the head and the tail of pages
	Notes []string     // on what was asked for, below the title of text and pages: sentences with their full stops

	Scratch func() (spool.File, error) // opens a file for a report that is too large for memory; nil: none is
}

// Writer writes one report. Begin comes first and End last. In between it takes sets, each in a Sheaf that has
// begun it: of its results in the order of the rules, then of the clubs, of its conflicts, and last of what is to be
// said of its rows. That may be on any goroutine, for each Sheaf on one; Add, in the order of the sheets, is not.
type Writer interface {
	Begin(*data.Head) error
	Result(*Sheaf, *judge.Result)
	Conflict(*Sheaf, *judge.Conflict)
	// Close ends the set. Each refused row of a sheet is told of with one set only.
	Close(s *Sheaf, doubtful []club.Doubt, refused []club.Refusal)
	// Add takes what was said of sets, after which the Sheaf may be used for others.
	Add(*Sheaf) error
	// End writes what is left, for the function End.
	End(*data.Totals) error
	// WantsPasses reports whether it is to be told of results that pass, and WantsFacts whether of more than that.
	WantsPasses() bool
	WantsFacts() bool
}

// End ends a report behind all sets. Once are the readings of which one note a sheet is enough.
func End(w Writer, once []club.Doubt, t *data.Totals) error {
	last := NewSheaf(nil)
	last.Begin(new(club.Set))
	w.Close(last, once, nil)
	if err := w.Add(last); err != nil {
		return err
	}
	return w.End(t)
}

// drawings are the formats for a reader; any report can be drawn in each.
var drawings = []struct {
	format string
	of     func(Options) doc.Drawing
}{
	{"text", func(o Options) doc.Drawing { return doc.Text(o.Colour) }},
	{"html", func(Options) doc.Drawing {
		draw := page.New()
		return func(dst []byte, blocks ...doc.Block) []byte {
			return append(dst, wording.ForXML(draw(nil, blocks...))...)
		}
	}},
}

// Formats lists the formats of a report that has these for programs: text, those, and what else is for a reader.
func Formats(machine ...string) []string {
	all := append([]string{drawings[0].format}, machine...)
	for _, d := range drawings[1:] {
		all = append(all, d.format)
	}
	return all
}

// paper is a document on its way to a reader. What goes wrong with w stays with it until the end.
type paper struct {
	w     *bufio.Writer
	draw  doc.Drawing // nil where the report is for a program
	notes []string    // for below the title, until that is drawn
	depth Depth       // Line, Steps or Full
	tool  data.Tool
	page  bool     // it is a page
	gap   bool     // what was drawn last ends with an empty line
	doc   document // what waits for the outcome of the whole, which comes first
	about
}

// newPaper returns a document for a reader. Text is a line a finding unless more is asked for, a page has the steps.
func newPaper(w io.Writer, o Options) paper {
	page := o.Format == "html"
	p := paper{w: bufio.NewWriter(w), notes: o.Notes, depth: o.Depth, tool: o.Tool, page: page, doc: newDocument(o)}
	p.asked = o.Books
	if p.depth == Usual {
		p.depth = Line
		if page {
			p.depth = Steps
		}
	}
	for _, d := range drawings {
		if d.format == cmp.Or(o.Format, "text") {
			p.draw = d.of(o)
		}
	}
	return p
}

// holding draws how lengths are taken; nil, which draws nothing, where it is not on a page.
func (p *paper) holding(h *data.Head) *picture.Holder {
	if !p.page || h.Program == nil {
		return nil
	}
	return picture.NewHolder(h.Program, h.On)
}

// put writes blocks, behind the head the notes and of a page what it is about.
func (p *paper) put(blocks ...doc.Block) {
	if len(blocks) > 0 {
		if h, ok := blocks[0].(doc.Head); ok {
			h.Notes = append(slices.Clip(h.Notes), p.notes...)
			blocks = slices.Concat([]doc.Block{h, p.below(h)}, blocks[1:])
		}
	}
	p.Write(p.draw(nil, blocks...))
}

// later keeps blocks for below the outcome.
func (p *paper) later(blocks ...doc.Block) { p.doc.add(secBag, p.joined(p.draw(nil, blocks...))) }

// joined leaves out the empty line with which text begins behind text that ends with one.
func (p *paper) joined(text []byte) []byte {
	if p.gap {
		text = bytes.TrimPrefix(text, []byte("\n"))
	}
	p.gap = bytes.HasSuffix(text, []byte("\n\n")) || p.gap && len(text) == 0
	return text
}

// finish writes a report that came set by set: the head, the outcome and doubtful readings, the sets, what else is said
// of the rows of the sheet, and the totals.
func (p *paper) finish(head doc.Head, outcome doc.Outcome, n *data.Notes, more ...doc.Fact) error {
	doubtful, others := rowSectionsApart(n)
	p.put(slices.Concat([]doc.Block{head, outcome}, doubtful)...)
	p.doc.write(secBag, p)
	p.put(others...)
	rows := doc.Fact{Label: "rows", Note: rowTotals(n.Rows, len(n.Refused), n.Aside)}
	return p.end(totals(slices.Insert(more, 0, rows)...)...)
}

// end ends the document with what comes below all else, and of a page with its tail.
func (p *paper) end(below ...doc.Block) error {
	defer p.doc.Close()
	p.put(append([]doc.Block{doc.Apart{}}, below...)...)
	p.put(p.tail()...)
	return cmp.Or(p.doc.Err(), p.w.Flush())
}

// CheckFormats lists the formats of a check.
func CheckFormats() []string { return Formats("short", "json", "jsonl", "csv") }

// New returns the writer of a check. The error, one line for a person, says which formats there are.
func New(w io.Writer, o Options) (Writer, error) {
	switch o.Format {
	case "short":
		return &stream{w: w, of: data.Short{}, section: sectionOf}, nil
	case "json":
		of := data.JSON{Elements: true, Tool: o.Tool}
		return &gathered{stream{w: w, of: of, all: true, section: inOrder}, newDocument(o)}, nil
	case "jsonl":
		return &stream{w: w, of: data.JSON{Tool: o.Tool}, all: true, section: failuresFirst}, nil
	case "csv":
		return &stream{w: w, of: data.CSV{}, all: true, section: failuresFirst, first: data.CSVHeadings()}, nil
	}
	if p := newPaper(w, o); p.draw != nil {
		return &check{paper: p, passes: o.Depth == Full || o.Depth == Steps && !p.page}, nil
	}
	return nil, fmt.Errorf("there is no format %q for this report; there are %s", wording.Visible(o.Format),
		strings.Join(CheckFormats(), ", "))
}
