package cli

// This file takes sheets through the engine: one goroutine cuts a sheet into sets,
// workers read and judge batches of them, and what they find is written in the
// order of the sheet.

import (
	"runtime"
	"slices"
	"sync"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/report"
	"ferrule/engine/report/data"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/diag"
)

// judging is one check on its way.
type judging struct {
	*call
	books   *rulebooks
	writers []report.Writer // of its reports
	reading sheet.Options   // how the sheets are read, beside which order
	like    *club.Set       // a club that is judged without a sheet; or nil

	counting sync.Mutex // of what workers add to the totals
	totals   data.Totals
	faults   []string      // where the books disagree with themselves, the first of them
	once     data.Doubtful // readings of which one note a sheet is enough
	large    []string      // sets that are too large to be judged whole, the first of them
	opened   int           // sheets that could be read
	judges   []*judge.Judge
}

const (
	batchRows = 1024 // a batch has no more sets when it has so many rows
	fewRows   = 128  // the same where every result is reported
	maxFaults = 20   // faults of the books that are named on the error stream

	maxFlying = 16 << 20 // bytes of rows that are read and not yet judged, but for those of one batch
)

// batch is a number of sets on their way through a worker.
type batch struct {
	reader *sheet.Reader
	raw    []sheet.RawSet
	rows   int
	size   int // bytes of the rows
	ready  chan struct{}

	sheaves []*report.Sheaf // one a writer
	faults  []string
	large   []string
	once    []club.Doubt // one note for the whole sheet is enough
}

// run judges every sheet. One that cannot be read is reported, and the others are judged.
func (j *judging) run() error {
	asked := j.asked()
	resting := slices.DeleteFunc(j.books.NotInForce(j.day), func(r *book.Rule) bool { return !asked(r) })
	head := &data.Head{Books: j.books.Judging(), On: j.day.String(), NotInForce: resting, Program: j.books.Program,
		Order: j.order}
	if err := j.each(func(_ int, w report.Writer) error { return w.Begin(head) }); err != nil {
		return err
	}
	if j.like != nil {
		if err := j.alone(); err != nil {
			return err
		}
	}
	for i, name := range j.args {
		j.reading.Last = i == len(j.args)-1
		if err := j.sheet(name); err != nil {
			return err
		}
	}
	if j.opened == 0 {
		return errReported
	}
	if err := j.missing("sheets"); err != nil {
		return err
	}
	j.done.faulty = j.done.faulty || j.large != nil
	whole := j.totals.RowsRefused == 0 && j.only == nil && !j.narrowed() && j.like == nil
	j.totals.Waivers = j.books.Waived(j.day, whole, j.judges...)
	for i, one := range j.judges {
		unmet := one.MetNothing()
		if i == 0 {
			j.totals.MetNothing = unmet
		}
		met := func(r *book.Rule) bool { // of single clubs nothing is asked as a set
			return !slices.Contains(unmet, r) || j.clubs.named != nil && r.Subject == ast.OfSet
		}
		j.totals.MetNothing = slices.DeleteFunc(j.totals.MetNothing, met)
	}
	j.done.checked, j.done.tally = true, j.totals.Tally
	j.done.refused, j.done.order = j.totals.RowsRefused, j.totals.Order
	end := func(_ int, w report.Writer) error { return report.End(w, j.once.List, &j.totals) }
	if err := j.each(end); err != nil {
		return err
	}
	j.afterword()
	return nil
}

// each does something with each writer until that fails.
func (j *judging) each(do func(i int, w report.Writer) error) error {
	for i, w := range j.writers {
		if err := do(i, w); err != nil {
			return err
		}
	}
	return nil
}

// wantsPasses reports whether one of the reports shows results that pass.
func (j *judging) wantsPasses() bool {
	return slices.ContainsFunc(j.writers, report.Writer.WantsPasses)
}

// afterword says on the error stream why a check that gave a report could still not be done whole.
func (j *judging) afterword() {
	for _, what := range slices.Concat(j.faults, j.large) {
		j.note("ferrule: %s", what)
	}
	if more := j.totals.Tally.Conflicts - len(j.faults); more > 0 {
		j.note("ferrule: and %s; the report lists each", wording.Counted(more, "more fault", "more faults"))
	}
	if j.totals.Tally.Results() == 0 && j.totals.Tally.Conflicts == 0 {
		why := "no rule in force applies to these clubs"
		switch {
		case j.totals.RowsJudged > 0:
		case j.totals.RowsRefused == 0 && j.totals.Order.Of[club.NotOnSheet] > 0:
			why = "what was ordered there is not on the sheet"
		default:
			why = "no row could be read as a club"
		}
		j.note("ferrule: nothing was judged: %s", why)
	}
}

// alone judges a club that is on no sheet.
func (j *judging) alone() error {
	w, b := j.newWorker(), j.newBatch(nil, new(batch))
	w.bag = j.like
	w.set(b)
	j.opened++
	return j.emit(b)
}

// sheet judges one sheet.
func (j *judging) sheet(name string) error {
	o := j.reading
	o.Asked, o.Runs = j.books.Asks(), true
	reader, in, err := j.openSheet(name, o)
	if err != nil {
		j.say(err)
		j.done.faulty = true
		return nil
	}
	defer in.Close()
	j.opened++
	err = j.stream(reader)
	if j.readWhole(reader) != nil {
		j.done.faulty = true
	}
	return err
}

// stream takes the batches of a sheet through workers and writes what they find in
// order. There are no more workers than batches.
func (j *judging) stream(reader *sheet.Reader) error {
	workers, started, size := runtime.GOMAXPROCS(0), 0, 0
	work := make(chan *batch, workers)
	defer close(work)
	var flying []*batch
	spare := new(batch)
	for b := j.nextBatch(reader, new(batch)); b != nil || len(flying) > 0; {
		if b != nil && (len(flying) == 0 || len(flying) < 2*workers && size+b.size <= maxFlying) {
			if workers > started {
				started++
				go j.newWorker().run(work)
			}
			work <- b
			flying = append(flying, b)
			size += b.size
			b = j.nextBatch(reader, spare)
			spare = new(batch)
			continue
		}
		<-flying[0].ready
		if err := j.emit(flying[0]); err != nil {
			return err
		}
		size -= flying[0].size
		spare, flying = flying[0], flying[1:]
	}
	return nil
}

// newBatch is an empty batch that uses the memory of an old one.
func (j *judging) newBatch(reader *sheet.Reader, old *batch) *batch {
	b := &batch{reader: reader, raw: old.raw[:0], sheaves: old.sheaves, ready: make(chan struct{}, 1)}
	for len(b.sheaves) < len(j.writers) {
		b.sheaves = append(b.sheaves, report.NewSheaf(j.scratch))
	}
	for _, s := range b.sheaves {
		s.Reset()
	}
	return b
}

// nextBatch cuts the next sets off a sheet, using the memory of an old batch; nil
// where there are none left.
func (j *judging) nextBatch(reader *sheet.Reader, old *batch) *batch {
	b := j.newBatch(reader, old)
	rows := batchRows
	if j.wantsPasses() {
		rows = fewRows
	}
	for b.rows < rows && b.size < maxFlying/4 {
		raw, ok := reader.NextRaw()
		if !ok {
			break
		}
		b.raw = append(b.raw, raw)
		b.rows += raw.Rows()
		b.size += raw.Size()
	}
	if len(b.raw) == 0 {
		return nil
	}
	return b
}

// emit writes what a batch gave.
func (j *judging) emit(b *batch) error {
	j.once.Add(b.once)
	j.faults = append(j.faults, b.faults[:min(len(b.faults), maxFaults-len(j.faults))]...)
	j.large = append(j.large, b.large[:min(len(b.large), maxFaults-len(j.large))]...)
	return j.each(func(i int, w report.Writer) error { return w.Add(b.sheaves[i]) })
}

// worker judges batches on one goroutine, using its memory again where it may.
type worker struct {
	j       *judging
	judger  *judge.Judge
	parser  *sheet.Parser
	bag     *club.Set
	refused []club.Refusal // of it, for the first time

	doubtful []club.Doubt // of it
}

func (j *judging) newWorker() *worker {
	w := &worker{j: j, bag: new(club.Set)}
	o := judge.Options{Day: j.day, All: j.wantsPasses(), Rules: j.asked()}
	o.Bare = !slices.ContainsFunc(j.writers, report.Writer.WantsFacts)
	if j.narrowed() {
		o.All, o.About = true, j.about
	}
	w.judger = j.books.NewJudge(o)
	j.judges = append(j.judges, w.judger)
	return w
}

// asksFor reports whether a rule is among those asked for; all are where none is named.
func asksFor(only []string) func(*book.Rule) bool {
	return func(r *book.Rule) bool { return len(only) == 0 || slices.Contains(only, r.Decl.Name.Text) }
}

// asked reports whether a rule is to be judged by. A club without a set has no neighbours.
func (j *judging) asked() func(*book.Rule) bool {
	asked := asksFor(j.only)
	return func(r *book.Rule) bool { return asked(r) && (j.like == nil || r.Subject == ast.OfClub) }
}

// narrowed reports whether the call is about some clubs or sets alone.
func (n *narrowing) narrowed() bool { return n.clubs.named != nil || n.sets.named != nil }

// run judges the batches of a sheet.
func (w *worker) run(work <-chan *batch) {
	for b := range work {
		if w.parser == nil {
			w.parser = b.reader.NewParser()
		}
		for _, raw := range b.raw {
			w.parser.Parse(raw, w.bag)
			w.set(b)
		}
		clear(b.raw)
		b.ready <- struct{}{}
	}
}

// set judges the bag in hand.
func (w *worker) set(b *batch) {
	bag := w.bag
	if w.j.narrowed() {
		bag = w.narrow()
	}
	w.refused = slices.AppendSeq(w.refused[:0], bag.NewlyRefused())
	for _, s := range b.sheaves {
		s.Begin(bag)
	}
	inParts := func(l value.Lack) bool { return l.Kind == value.InParts }
	t := w.judger.Set(w.bag, judge.Sink{
		Result: func(r *judge.Result) {
			for i, to := range w.j.writers {
				to.Result(b.sheaves[i], r)
			}
			if w.bag.Part == 1 && b.large == nil && slices.ContainsFunc(r.Lacks, inParts) {
				b.large = []string{large(w.bag)}
			}
		},
		Conflict: func(c *judge.Conflict) {
			for i, to := range w.j.writers {
				to.Conflict(b.sheaves[i], c)
			}
			if len(b.faults) < maxFaults {
				b.faults = append(b.faults, wording.Conflict(c))
			}
		},
	})
	w.doubtful = w.doubtful[:0]
	for _, d := range w.judger.Doubts(bag) {
		if d.Once {
			b.once = append(b.once, d)
		} else {
			w.doubtful = append(w.doubtful, d)
		}
	}
	for i, to := range w.j.writers {
		to.Close(b.sheaves[i], w.doubtful, w.refused)
	}
	w.j.counting.Lock()
	defer w.j.counting.Unlock()
	w.j.totals.Count(bag, len(w.refused), t)
}

// large says that a set could not be judged whole.
func large(s *club.Set) string {
	of := diag.Visible(s.File) + ": "
	if s.Name != "" {
		of += "set " + diag.Quote(s.Name) + ": "
	}
	return of + s.Large + "; its rules about neighbours and about the whole set were not judged"
}

// narrow returns of the bag what the report is about.
func (w *worker) narrow() *club.Set {
	narrow := *w.bag
	w.j.counting.Lock()
	defer w.j.counting.Unlock()
	w.j.onlySets(&narrow)
	w.j.onlyClubs(&narrow)
	return &narrow
}
