package data

// This file holds the members of the schema "ferrule.report/1".

import (
	"math"
	"strconv"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/value"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

const schema = "ferrule.report/1"

// jsonUnused is a column that nothing was read from.
type jsonUnused struct {
	Entry   string  `json:"entry,omitempty"`
	File    string  `json:"file"`
	Column  string  `json:"column"`
	Nearest *string `json:"nearest"`
}

// jsonDoubtful is a doubtful reading, and what a refused row has as well.
type jsonDoubtful struct {
	Entry   string  `json:"entry,omitempty"`
	File    string  `json:"file"`
	Row     int     `json:"row"`
	Column  *string `json:"column"`
	Read    string  `json:"read"`
	Message string  `json:"message"`
}

type jsonRefused struct {
	jsonDoubtful
	Hint *string `json:"hint"`
}

// jsonClub names a club; what a person calls it is in tables alone.
type jsonClub struct {
	Set  string `json:"set"`
	ID   string `json:"id"`
	Club string `json:"-" csv:"club"`
}

func clubOf(set string, c *club.Club) jsonClub { return jsonClub{set, c.ID, c.Spoken()} }

// jsonLacks says what is to be measured, and in words what is missing.
type jsonLacks struct {
	Needs   []string `json:"needs"`
	Reasons []string `json:"reasons,omitempty"`
}

func lacksOf(lacks []value.Lack) jsonLacks {
	return jsonLacks{append([]string{}, value.Needs(lacks)...), wording.Reasons(lacks)}
}

// jsonUnpaired is a row without its counterpart in the order, or on the sheet.
type jsonUnpaired struct {
	Entry string `json:"entry,omitempty"`
	jsonClub
	Row      int  `json:"row"`
	OrderRow *int `json:"order_row,omitempty"`
}

type jsonConflict struct {
	Entry   string      `json:"entry,omitempty"`
	Rule    string      `json:"rule"`
	Book    string      `json:"book"`
	Line    int         `json:"line"`
	Books   [2]string   `json:"books"`
	Lines   [2]int      `json:"lines"`
	Subject jsonSubject `json:"subject"`
	Message string      `json:"message"`
}

// jsonRow is a row of a sheet with what travels along in it.
type jsonRow struct {
	File string `json:"file"`
	Row  int    `json:"row"`
	On   string `json:"on,omitempty"`
	Who  string `json:"who,omitempty"`
	Note string `json:"note,omitempty"`
}

func rowOf(c *club.Club) jsonRow {
	at := c.Place()
	return jsonRow{at.File, at.Row, c.On, c.Who, c.Note}
}

// rowCells are the columns of rows and their cells, in turn. What the rows have in common is in them once.
func rowCells(rows []jsonRow) []any {
	var cells [5][]string
	for _, r := range rows {
		for i, text := range []string{r.File, r.On, r.Who, r.Note} {
			if text != "" {
				cells[i] = lists.Also(cells[i], text)
			}
		}
		cells[4] = append(cells[4], strconv.Itoa(r.Row))
	}
	return []any{"file", cells[0], "measured_on", cells[1], "who", cells[2], "note", cells[3], "rows", cells[4]}
}

// jsonShown is the subject of a witness.
type jsonShown struct {
	Of    string   `json:"of"`
	Set   string   `json:"set"`
	Clubs []string `json:"clubs"`
}

type jsonSubject struct {
	jsonShown
	Names []string  `json:"names"` // what a person calls each club
	Rows  []jsonRow `json:"rows"`
}

type jsonAmount struct {
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
	Text   string  `json:"text,omitempty"`
}

type jsonLimit struct {
	Lower *jsonAmount `json:"lower,omitempty"`
	Upper *jsonAmount `json:"upper,omitempty"`
	Open  bool        `json:"open,omitempty"`
}

type jsonException struct {
	Line int    `json:"line"`
	Text string `json:"text"`
}

// jsonWaiver is the waiver that lifted a result, and what the rule would have said.
type jsonWaiver struct {
	Text  string  `json:"text"`
	Book  string  `json:"book"`
	Line  int     `json:"line"`
	From  *string `json:"from"`
	Until *string `json:"until"`
	Would string  `json:"would"`
}

type jsonStep struct {
	What        string     `json:"what"`
	Name        string     `json:"name,omitempty"`
	Club        string     `json:"club,omitempty"`
	Method      string     `json:"method,omitempty"`
	Amount      *float64   `json:"amount,omitempty"`
	Unit        *string    `json:"unit,omitempty"`
	Uncertainty *float64   `json:"standard_uncertainty,omitempty"`
	Text        string     `json:"text,omitempty"`
	Truth       string     `json:"truth,omitempty"`
	File        string     `json:"file,omitempty"`
	Row         int        `json:"row,omitempty"`
	Column      string     `json:"column,omitempty"`
	Book        string     `json:"book,omitempty"`
	Line        int        `json:"line,omitempty"`
	Note        string     `json:"note,omitempty"`
	From        []jsonStep `json:"from,omitempty"`
}

type jsonSettle struct {
	Measure string      `json:"measure"`
	Of      []string    `json:"of"`
	Within  *jsonAmount `json:"within"`
}

type jsonResult struct {
	Entry       string         `json:"entry,omitempty"`
	Rule        string         `json:"rule"`
	Weight      string         `json:"weight"`
	Book        string         `json:"book"`
	Line        int            `json:"line"`
	Subject     jsonSubject    `json:"subject"`
	Verdict     string         `json:"verdict"`
	Value       *jsonAmount    `json:"value"`
	Uncertainty *jsonAmount    `json:"standard_uncertainty"`
	Limit       *jsonLimit     `json:"limit"`
	Acceptance  *jsonLimit     `json:"acceptance,omitempty"`
	Rejection   *jsonLimit     `json:"rejection,omitempty"`
	Margin      *jsonAmount    `json:"margin"`
	Probability *float64       `json:"conformance_probability"`
	Decision    string         `json:"decision"`
	Exception   *jsonException `json:"exception"`
	Waiver      *jsonWaiver    `json:"waiver,omitempty"`
	jsonLacks
	ToSettle *jsonSettle `json:"to_settle,omitempty"`
	Steps    []jsonStep  `json:"steps"`
	Mend     *string     `json:"mend"`
}

func booksOf(books []*book.Book) []object {
	return lists.Each(books, func(b *book.Book) object {
		return object{"title", b.Title, "edition", textOrNull(b.Edition), "file", b.Name}
	})
}

// waivedOf are waivers and what became of them.
func waivedOf(list []judge.Waived) []object {
	return lists.Each(list, func(w judge.Waived) object {
		return object{"rule", nameOf(w.Rule), "text", w.Decl.Text.Value, "book", w.Book.Name,
			"line", w.Decl.Span.Line(), "state", w.State.String()}
	})
}

func nameOf(r *book.Rule) string { return r.Decl.Name.Text }

// checkOf are the members that a check has beside its lists.
func checkOf(h *Head, t *Totals) object {
	rests := lists.Each(h.NotInForce, func(r *book.Rule) object {
		return object{"rule", nameOf(r), "from", textOrNull(r.From.String()), "until", textOrNull(r.Until.String())}
	})
	return object{"books", booksOf(h.Books), "on", h.On, "summary", summaryOf(t), "not_in_force", rests}.
		with(len(t.MetNothing) > 0, "met_nothing", lists.Each(t.MetNothing, nameOf)).
		with(len(t.Waivers) > 0, "waivers", waivedOf(t.Waivers))
}

func summaryOf(t *Totals) object {
	out := object{"rows_read", t.RowsRead(), "rows_judged", t.RowsJudged, "rows_refused", t.RowsRefused}.
		with(t.RowsSuperseded > 0, "rows_superseded", t.RowsSuperseded).
		with(t.RowsSkipped > 0, "rows_skipped", t.RowsSkipped)
	for _, v := range decide.Verdicts() {
		out = append(out, v.String(), t.Tally.Verdicts[v])
	}
	return append(out, "advised", t.Tally.Advised).with(t.Tally.Conflicts > 0, "conflicts", t.Tally.Conflicts)
}

func (m *Remark) json(entry string) any {
	if u := &m.Unpaired; m.Of >= Mismatched {
		one := jsonUnpaired{Entry: entry, jsonClub: jsonClub{u.Set, u.ID, u.Called}, Row: u.Row.Row}
		if u.Ordered.Row > 0 {
			one.OrderRow = &u.Ordered.Row
		}
		return one
	}
	at := jsonDoubtful{entry, m.Row.File, m.Row.Row, textOrNull(m.Column), m.Read, m.Message}
	switch m.Of {
	case DoubtfulReading:
		return at
	case UnusedColumn:
		return jsonUnused{entry, m.Row.File, m.Column, textOrNull(m.Hint)}
	}
	return jsonRefused{at, textOrNull(m.Hint)}
}

func conflictOf(c *judge.Conflict, bag *club.Set) jsonConflict {
	at := wording.ConflictPlaces(c)
	return jsonConflict{
		Rule: c.Rule.Decl.Name.Text, Book: c.Rule.Book.Name, Line: c.Rule.Decl.Span.Line(),
		Books: [2]string{at[0].File.Name, at[1].File.Name},
		Lines: [2]int{at[0].Line(), at[1].Line()}, Subject: subjectJSON(c.Subject, bag), Message: wording.Conflict(c),
	}
}

func idOf(c *club.Club) string { return c.ID }

func subjectJSON(s judge.Subject, bag *club.Set) jsonSubject {
	out := jsonSubject{jsonShown{wording.Kind(s.Kind), s.Set, lists.Each(s.Clubs, idOf)},
		lists.Each(s.Clubs, (*club.Club).Spoken), lists.Each(s.Clubs, rowOf)}
	if s.Kind == ast.OfSet && len(s.Clubs) == 0 {
		at := wording.Place(s, bag)
		out.Rows = append(out.Rows, jsonRow{File: at.File, Row: at.Row})
	}
	return out
}

func amountOf(a unit.Amount, withText bool) *jsonAmount {
	if !a.Known() {
		return nil
	}
	out := &jsonAmount{Amount: a.Unit.Clean(a.Base, 0), Unit: a.Unit.Name}
	if Number(out.Amount) == nil {
		return nil
	}
	if withText {
		out.Text = a.String()
	}
	return out
}

// settleOf is what would settle a result; nil where there is nothing to settle.
func settleOf(s *judge.Settle) *jsonSettle {
	if s == nil || s.Measure == "" {
		return nil
	}
	out := &jsonSettle{s.Measure, lists.Each(s.Of, idOf), amountOf(s.Within, false)}
	if out.Within != nil {
		out.Within.Text = wording.Rounded(s.Within, math.Floor)
	}
	return out
}

// upOf is an uncertainty, its text rounded up.
func upOf(u unit.Amount) *jsonAmount {
	out := amountOf(u, false)
	if out != nil {
		out.Text = wording.Above(u)
	}
	return out
}

// clearOf is the margin without the dust of its difference.
func clearOf(r *judge.Result) *jsonAmount {
	m := amountOf(r.Margin, false)
	if m != nil {
		m.Amount = r.Margin.Unit.Clean(r.Margin.Base, r.Value.Base)
	}
	return m
}

// valueOf is the value, with the text that a bench reads.
func valueOf(r *judge.Result) *jsonAmount {
	v := amountOf(r.Value, true)
	if v != nil {
		v.Text = r.Figure(r.Value)
	}
	return v
}

func stepsOf(r *judge.Result, steps []eval.Step) []jsonStep {
	out := []jsonStep{}
	for _, s := range steps {
		one := jsonStep{
			What: s.What.String(), Name: s.Name, Club: s.Club, Method: s.Method, Text: s.Text,
			File: s.Place.File, Row: s.Place.Row, Column: s.Column, Note: wording.Note(s),
		}
		if a := amountOf(s.Amount, true); a != nil {
			one.Amount, one.Unit, one.Text = &a.Amount, &a.Unit, wording.StepAmount(r, s)
		}
		if s.U.Known() {
			one.Uncertainty = Number(s.U.Unit.FromBase(s.U.Base))
		} else if s.Half.Known() {
			one.Uncertainty = Number(s.Half.Unit.FromBase(s.Half.Base) / math.Sqrt(3))
		}
		if s.What == eval.StepCondition || s.What == eval.StepException {
			one.Truth = s.Truth.String()
		}
		if !s.Line.IsZero() {
			one.Book, one.Line = s.Line.File.Name, s.Line.Line()
		}
		if len(s.Sub) > 0 {
			one.From = stepsOf(r, s.Sub)
		}
		out = append(out, one)
	}
	return out
}

func weightOf(r *book.Rule) string {
	if r.Decl.Advice {
		return "advice"
	}
	return "rule"
}

// limitOf are a lower and an upper limit, either of which may be no amount; nil without both.
func limitOf(lower, upper unit.Amount) *jsonLimit {
	l := jsonLimit{Lower: amountOf(lower, false), Upper: amountOf(upper, false)}
	if l.Lower == nil && l.Upper == nil {
		return nil
	}
	return &l
}

func resultOf(r *judge.Result, bag *club.Set) jsonResult {
	out := jsonResult{
		Rule: r.Rule.Decl.Name.Text, Weight: weightOf(r.Rule), Book: r.Rule.Book.Name, Line: r.Rule.Decl.Span.Line(),
		Subject: subjectJSON(r.Subject, bag), Verdict: r.Verdict.String(),
		Value: valueOf(r), Uncertainty: amountOf(r.Uncertainty, false),
		Limit: limitOf(r.Lower, r.Upper), Margin: clearOf(r),
		Probability: Number(r.Probability), Decision: wording.Decision(r.Decision),
		Acceptance: limitOf(r.PassFrom, r.PassTo),
		Rejection:  limitOf(r.FailBelow, r.FailAbove), ToSettle: settleOf(r.Settle),
		jsonLacks: lacksOf(r.Lacks), Steps: stepsOf(r, r.Steps), Mend: textOrNull(r.Mend),
	}
	if out.Limit != nil {
		out.Limit.Open = r.Open
	}
	if r.Exception != nil {
		out.Exception = &jsonException{Line: r.Exception.Span.Line(), Text: wording.OneLine(r.Exception.Span)}
	}
	if w := r.Waiver; w != nil {
		out.Waiver = &jsonWaiver{w.Decl.Text.Value, w.Book.Name, w.Decl.Span.Line(), textOrNull(w.From.String()),
			textOrNull(w.Until.String()), w.Would.String()}
	}
	return out
}
