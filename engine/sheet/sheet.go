// Package sheet reads the clubs of a sheet, set by set, with the row and column of
// every fault. A sheet is CSV, JSON Lines or a spreadsheet; all of them give the same
// clubs.
//
// The way of a row: package cells cuts the bytes into rows, and rows.go finds the set of each. The Reader (gather.go)
// keeps them (store.go) and lays those of one set together as a RawSet. A Parser (parse.go) cuts these into cells and
// makes clubs of them. All but the last run in order and are quick; Parsers may work on several sets at once.
// head.go finds what each heading means, values.go and names.go read single cells, faults.go says what is wrong
// with them and with a sheet.
//
// Every row that is not blank counts: rows read = rows that became clubs + rows refused. A
// blank row, one whose cells are all empty, is not a row of the sheet but keeps its number.
package sheet

import (
	"io"
	"strconv"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/engine/spool"
	"ferrule/lang/catalogue"
)

const refusedRun = 4096 // refused rows that are given at a time

// Options says how a sheet is read.
type Options struct {
	Schema      *catalogue.Schema // the properties that a sheet may hold; never nil
	By          string            // the method of lengths in rows that name none; "" where nobody said
	MethodNames []string          // the known methods; nil: every name is one
	// Asked reports whether something looks at a property, so that a bad cell of it refuses its row; nil: all are.
	Asked func(catalogue.ID) bool
	// Target is one more length whose method the column by names: what a club is to be built to; 0 for none.
	Target catalogue.ID
	// DryBy is a text that names a method too: that of a dry fit; 0 for none.
	DryBy catalogue.ID
	// Covers says why a method does not cover a club, "" where it does; nil: all cover all. It is safe for concurrent
	// use.
	Covers func(method string, c *club.Club) string

	// Standard: the sheet is an order, whose figures may be relative to a standard; nil: it is not.
	Standard Standard
	// Order is what the clubs of the sheet are held against; nil: nothing is. With Last, what it has for sets that were
	// on no sheet comes behind the sets of this one.
	Order *Order
	Last  bool

	SameID SameID // what a further row of one id in a set is, beside a setting of its club

	// Scratch opens a file for the rows, where they are too many to be kept in memory; nil: all are.
	Scratch func() (spool.File, error)
	// Runs: a set that is too large to be in hand at once is given in runs of its rows. Otherwise the rows beyond are
	// refused.
	Runs bool
	// Begun: the sheet is being filled in, and one without clubs is fine.
	Begun bool

	caps caps // the zero value stands for the usual ones
}

// SameID is what a further row of one id in a set is. The zero value refuses it.
type SameID uint8

// What a further row of an id can be.
const (
	Refused SameID = iota
	Repeats        // further readings of the club
	Latest         // the row that counts, in the place of those before
)

// caps are how much of a sheet may be in hand at a time.
type caps struct {
	gathered          int // up to so many rows, those of a set may stand anywhere
	setRows, setBytes int // of a set that is given whole
	runRows, runBytes int // of a further run of a set that is not
	kept              int // bytes of rows in memory, where there may be a file
	names             int // sets of a streamed sheet, and ids of a set that is given in runs
	unpacked          cells.Limits
}

func usualCaps(runs bool) caps {
	c := caps{gathered: 50_000, setRows: 250_000, setBytes: 64 << 20, runRows: 4096, runBytes: 1 << 20, kept: 4 << 20,
		names: 12_000_000, unpacked: cells.UsualLimits}
	if runs {
		c.setRows, c.setBytes = 50_000, 16<<20
	}
	return c
}

// Problem is why a sheet as a whole cannot be read, or what a person should look at in one that can be.
type Problem struct {
	File    string
	Row     int    // 0 where no row is to blame
	Column  string // the heading; "" where no column is to blame
	Message string // what is wrong and what was expected, one line
	Hint    string // the nearest right thing; may be empty
}

// Error returns the message with its place: "bag.csv:9: length: ".
func (p *Problem) Error() string {
	place := p.File
	if p.Row > 0 {
		place += ":" + strconv.Itoa(p.Row)
	}
	if p.Column != "" {
		place += ": " + p.Column
	}
	return place + ": " + p.Message
}

// Reader cuts one sheet into sets. It is for one goroutine; the RawSets it gives may be
// parsed on others. Sets come in the order of their first rows.
//
// A row whose set cannot be read is among the Refused of every set, and of one set at least. It is listed and counted
// with the first of them; with the others it is marked Again. Past 64 of such rows the others get 64 clubs of which
// nothing is known in their place.
type Reader struct {
	name   string // as the caller has it: bag.csv, bag.xlsx#Irons
	opts   Options
	source cells.Source
	csv    *cells.CSV // the source, where it is CSV; else nil
	head   *head      // the columns of the rows so far
	parser *Parser

	warnings []Problem
	aside    club.Aside   // what goes with the next set
	stray    map[int]bool // the columns without a heading that hold something, as was noted
	problem  *Problem
	rowsRead int // so far; in the end the sum of Rows and of the Refused that are not Again over all sets

	queue     []*pending          // sets in order of first appearance
	byName    map[string]*pending // while gathering
	last      *pending            // while reading: the set of the last row
	why       flaw                // and why its rows are refused
	refused   []club.Refusal      // rows whose set cannot be read; of those that went out only a few are kept
	given     int                 // how many of refused went out already
	store     store               // all rows
	back      cursor              // at a row of a set in hand
	lost      int                 // rows whose set cannot be read and that are not in refused yet
	atLost    cursor              // from where on these are
	streamed  bool                // the sheet is large, and rows follow those that are gathered
	seen      *seen               // the names of its sets
	late      map[uint64][]int64  // places of those that come after another set, by the bits of their set
	at        cursor              // at those that follow
	ahead     line                // the next of them that is given in its place; without a number where there is none
	sawSet    bool                // some row names its set
	sawLength bool                // some row has a length
	sawMethod bool                // some row names a method
	alone     bool                // the sheet has one set
	ended     bool                // the rest of the order is given, but for
	rest      []RawSet            // of the order: the sets that were on no sheet

	lastSet string          // the last name of a set that was found good
	cells   []string        // of CSV: of the row in hand, as far as they are cut
	packed  []byte          // the row in hand, packed
	columns map[string]int  // of JSON Lines: names to columns
	unknown map[string]bool // of JSON Lines: names that mean nothing, or nothing beside another one
}

// flaw is what is wrong with a row as a whole: with how it is cut, or with its set.
type flaw = cells.Flaw

const (
	sound = cells.Sound

	manyNamed  = cells.Flaws + iota // a JSON line with one more name than a sheet may have
	noSetName                       // the cell of the set is empty
	oddSetName                      // or cannot be printed, or is an error of a spreadsheet
	setAgain                        // its set was given already
	manySets                        // its set is one too many
	manyRows                        // its set has too many rows
	tooHeavy                        // or too many bytes
	// Those that follow are of rows of a set that is given in runs.
	twice   // its id was there already
	setting // there is a column of settings
	manyIDs // one id too many
)

// RawSet is the rows of one set, not yet read. It may be parsed once, on any goroutine.
type RawSet struct {
	name    string
	rows    []rawRow
	size    int // bytes of the rows
	head    *head
	refused []club.Refusal // rows whose set cannot be read; the last fresh of them are given for the first time
	fresh   int
	aside   club.Aside
	run     int      // of a set that is given in runs: which of them, counted from 1; else 0
	heavy   bool     // because of its bytes, not of its rows
	ordered *ordered // what it is held against; nil for nothing
}

// Rows returns how many rows of the sheet the set brings: its own, and those that are
// refused with it for the first time.
func (s RawSet) Rows() int { return len(s.rows) + s.fresh }

// Name returns the name of the set; "" where the sheet has none.
func (s RawSet) Name() string { return s.name }

// Size returns how many bytes the rows of the set have.
func (s RawSet) Size() int { return s.size }

// Open starts to read the sheet of that name, in the format that cells.Open recognises. What is told of the sheet names
// it as it was called. It is read to its end before Open returns.
func Open(name string, r io.Reader, o Options) (*Reader, *Problem) {
	o.Runs = o.Runs && o.Order == nil
	d := &Reader{name: name, opts: o, byName: map[string]*pending{}}
	if o.caps == (caps{}) {
		d.opts.caps = usualCaps(o.Runs)
	}
	d.store.Open, d.store.Most = o.Scratch, d.opts.caps.kept
	if p := d.start(r); p != nil {
		d.store.Close()
		p.File, p.Column = d.name, shown(p.Column)
		return nil, p
	}
	return d, nil
}

// NewParser returns a Parser for the sets of this sheet.
func (r *Reader) NewParser() *Parser {
	return &Parser{opts: r.opts, named: map[string]*clubName{"": {}}}
}

// Next returns the next set, read; false if there is none left.
func (r *Reader) Next() (*club.Set, bool) {
	raw, ok := r.NextRaw()
	if !ok {
		return nil, false
	}
	s := new(club.Set)
	r.parser.Parse(raw, s)
	return s, true
}

// Streamed reports whether the sheet is too large to be gathered, so that the rows of a set
// must be adjacent.
func (r *Reader) Streamed() bool { return r.streamed }

// Warnings returns what a person should look at. It is complete when NextRaw has said false.
func (r *Reader) Warnings() []Problem { return r.warnings }

// Problem returns why the sheet could not be read to its end; nil where it could. It is
// known when NextRaw has said false.
func (r *Reader) Problem() *Problem { return r.problem }
