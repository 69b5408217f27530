// Package engine is the front door for other Go programs: rule books are opened, sheets of clubs are judged by them,
// and what came of it is there as data and as the reports that the command ferrule writes. A pre-check is not a
// ruling, which rests with the event's Committee.
package engine

import (
	"cmp"
	"io"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// Rulebooks are rule books, checked and ready to judge. They may be used by several goroutines.
type Rulebooks struct {
	*judge.Program
	Measuring *judge.Program // the methods that a sheet may name
}

// Open reads and checks rule books with all that they use. A root without a file system is a shipped book. Where the
// list holds an error there are none; warnings may be in it beside them. diag.Render shows it to a person.
func Open(roots ...load.Root) (*Rulebooks, diag.List) {
	methods := load.Root{Path: "methods", Show: "methods", Spare: true} // their names serve for the sheets
	loaded, list := load.Load(rulesets.FS(), append(slices.Clone(roots), methods))
	if list.HasErrors() {
		return nil, list
	}
	b := &Rulebooks{Program: judge.Compile(loaded.Roots[:len(roots)], loaded.Schema)}
	b.Measuring = b.Program
	if len(loaded.Roots) > len(roots) {
		b.Measuring = judge.Compile(loaded.Roots[len(roots):], loaded.Schema)
	}
	return b, list
}

// Judging lists the named books and, after them, the others whose rules are judged.
func (b *Rulebooks) Judging() []*book.Book {
	return lists.Also(slices.Clone(b.Books), lists.Each(b.Rules(), func(r *book.Rule) *book.Book { return r.Book })...)
}

// SheetOptions says how a sheet is read whose methods are those of a program. By is the method of lengths in rows that
// name none; "" where nobody said.
func SheetOptions(by string, measuring *judge.Program) sheet.Options {
	return sheet.Options{Schema: measuring.Schema, By: by, MethodNames: measuring.Methods(),
		Covers: wording.Covers(measuring)}
}

// OrderOptions says how an order is read that the clubs of a sheet are held against on a day. By is as for
// SheetOptions. A figure that is relative to a standard needs a chart of its property, one among all the books.
func (b *Rulebooks) OrderOptions(by string, day book.Day) sheet.Options {
	o, j := SheetOptions(by, b.Measuring), b.NewJudge(judge.Options{Day: day})
	o.Asked = b.AsksOrder()
	o.Standard = func(p catalogue.Property, c *club.Club) (base float64, method, why string) {
		other := func(h *book.Chart) bool { return h.Of == nil || h.Of.Property.ID != p.ID }
		charts := slices.DeleteFunc(book.Charts(b.Books), other)
		switch len(charts) {
		case 0:
			return 0, "", "no book has a chart of " + p.Name
		case 1:
		default:
			return 0, "", "the books have more than one chart of " + p.Name
		}
		if charts[0].Of.Method != nil {
			method = charts[0].Of.Method.Decl.Name.Text
		}
		said := c.Clone()
		for id := range catalogue.ID(b.Schema.Len()) {
			if said.Empty(id) { // what an empty cell means on a sheet says nothing of an order
				said.SetOpen(id)
			}
		}
		standard := j.Chart(charts[0], said)
		if why = wording.JoinReasons(standard.Lacks); !standard.Value.Known() {
			why = cmp.Or(why, "its chart says nothing of this club")
		}
		return standard.Value.Base, method, why
	}
	return o
}

// Outcome is what came of judging a sheet, set by set.
type Outcome struct {
	Sets     []Set
	Warnings []sheet.Problem // what a person should look at in the sheet
	head     data.Head
	totals   data.Totals
}

// Set is one bag of a sheet as it was judged.
type Set struct {
	*club.Set
	Results  []*judge.Result // passes too; in the order of the rules, then of the clubs
	Faults   []*judge.Conflict
	Doubtful []club.Doubt   // readings that are perhaps slips
	Refused  []club.Refusal // rows that could not be read, each with one set only
}

// Tally counts the verdicts.
func (o *Outcome) Tally() judge.Tally { return o.totals.Tally }

// Check judges a sheet as it is on a day (book.NoDay: every rule is in force). The format of the sheet is told by what
// is in r; name is what reports call it, and by is as for SheetOptions. The error says why the sheet could not be read
// to its end, in words for a person; what was read before is judged, and is no whole answer.
func (b *Rulebooks) Check(name string, r io.Reader, by string, day book.Day) (*Outcome, error) {
	return b.CheckBeside(nil, name, r, by, day)
}

// CheckBeside is Check beside an order, as sheet.ReadOrder reads it with OrderOptions; nil is none.
func (b *Rulebooks) CheckBeside(
	order *sheet.Order, name string, r io.Reader, by string, day book.Day,
) (*Outcome, error) {
	o := &Outcome{head: data.Head{Books: b.Judging(), NotInForce: b.NotInForce(day), Program: b.Program}}
	if day != book.NoDay {
		o.head.On = day.String()
	}
	options := SheetOptions(by, b.Measuring)
	options.Asked, options.Order, options.Last = b.Asks(), order.Anew(), true
	if order != nil {
		o.head.Order = order.File
	}
	reader, problem := sheet.Open(name, r, options)
	if problem != nil {
		return o, problem
	}
	j := b.NewJudge(judge.Options{Day: day, All: true})
	for bag, ok := reader.Next(); ok; bag, ok = reader.Next() {
		s := Set{Set: bag, Refused: slices.Collect(bag.NewlyRefused())}
		o.totals.Count(bag, len(s.Refused), j.Set(bag, judge.Sink{
			Result:   func(r *judge.Result) { s.Results = append(s.Results, r) },
			Conflict: func(c *judge.Conflict) { s.Faults = append(s.Faults, c) },
		}))
		s.Doubtful = slices.Clone(j.Doubts(bag))
		o.Sets = append(o.Sets, s)
	}
	o.totals.MetNothing, o.totals.Waivers = j.MetNothing(), b.Waived(day, o.totals.RowsRefused == 0, j)
	o.Warnings = reader.Warnings()
	if p := reader.Problem(); p != nil {
		return o, p
	}
	return o, nil
}

// Write writes the report of a check. Its formats are those of report.CheckFormats.
func (o *Outcome) Write(w io.Writer, options report.Options) error {
	to, err := report.New(w, options)
	if err != nil {
		return err
	}
	if err := to.Begin(&o.head); err != nil {
		return err
	}
	var once data.Doubtful
	for _, s := range o.Sets {
		sheaf := report.NewSheaf(options.Scratch)
		sheaf.Begin(s.Set)
		for _, r := range s.Results {
			if r.Verdict != decide.Pass || to.WantsPasses() {
				to.Result(sheaf, r)
			}
		}
		for _, c := range s.Faults {
			to.Conflict(sheaf, c)
		}
		isOnce := func(d club.Doubt) bool { return d.Once }
		to.Close(sheaf, slices.DeleteFunc(slices.Clone(s.Doubtful), isOnce), s.Refused)
		once.Add(slices.DeleteFunc(slices.Clone(s.Doubtful), func(d club.Doubt) bool { return !d.Once }))
		if err := to.Add(sheaf); err != nil {
			return err
		}
	}
	return report.End(to, once.List, &o.totals)
}
