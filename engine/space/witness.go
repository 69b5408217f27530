package space

// This file turns bags that were tried into witnesses: rows of a sheet, read and judged again as any
// other sheet is.

import (
	"bytes"
	"encoding/json"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/sheet"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/lists"
)

// Example is a bag as rows that a check could be given, and the subject that shows something.
type Example struct {
	On    book.Day // NoDay: the day does not matter
	Rows  []Row
	Of    ast.SubjectKind
	Set   string   // its name; "" where the rows are of no named set
	Clubs []string // ids of the subject; none of a set
	Bag   Bag
}

// Example is a bag as rows for books whose waivers lift nothing there: those of a club or a pair alone are for sheets
// without sets.
func (b Bag) Example(on book.Day, programs ...*judge.Program) Example {
	e := Example{On: on, Rows: b.Rows(), Bag: b, Of: ast.OfClub}
	for _, p := range programs {
		unset := func(w *book.Waiver) bool { return w.Decl.On.Set == nil }
		if e.Set == "" && slices.ContainsFunc(book.Waivers(p.Books), unset) {
			e.InSet("one")
		}
	}
	return e
}

// InSet gives the set of the rows a name.
func (e *Example) InSet(name string) {
	e.Set = name
	e.Rows = lists.Each(e.Rows, func(r Row) Row { return append(Row{{"set", name}}, r...) })
}

// Witness is an example that shows a finding, with what the rules say of it.
type Witness struct {
	Example
	Verdicts []RuleVerdict
	Said     []Saying
}

// RuleVerdict is the worst verdict of a rule on the clubs of a witness; 0 where the rule gives none.
type RuleVerdict struct {
	Rule    *book.Rule
	Verdict decide.Verdict
	Taken   bool     // an exception was taken for it
	On      []string // ids of its subject; none of a set
}

// Verdict is the verdict of a rule; 0 where it gives none.
func (w *Witness) Verdict(r *book.Rule) decide.Verdict {
	for _, v := range w.Verdicts {
		if v.Rule == r {
			return v.Verdict
		}
	}
	return 0
}

// ReadRows reads rows of one set as a sheet of JSON Lines is read, with the order that is taken off them; false where a
// row would be refused.
func ReadRows(p *judge.Program, rows []Row) (*club.Set, bool) {
	own, ordered := Split(rows)
	set, ok := readRows(p, own)
	if !ok || ordered == nil {
		return set, ok
	}
	order, ok := readRows(p, ordered)
	if !ok {
		return nil, false
	}
	for _, c := range set.Clubs {
		c.Sheet.Order = order.Clubs[0].Sheet
		if i := slices.IndexFunc(order.Clubs, func(o *club.Club) bool { return o.ID == c.ID }); i >= 0 {
			c.Order = order.Clubs[i]
		}
	}
	return set, true
}

func readRows(p *judge.Program, rows []Row) (*club.Set, bool) {
	var text bytes.Buffer
	for _, row := range rows {
		if json.NewEncoder(&text).Encode(row) != nil {
			return nil, false
		}
	}
	covers := func(m string, c *club.Club) string {
		return map[bool]string{true: "not covered"}[p.Covers(m, c) != nil]
	}
	r, problem := sheet.Open("witness.jsonl", &text, sheet.Options{Schema: p.Schema, Covers: covers,
		MethodNames: p.Methods()})
	if problem != nil {
		return nil, false
	}
	set, ok := r.Next()
	if !ok || len(set.Refused) > 0 || len(set.Clubs) != len(rows) {
		return nil, false
	}
	return set, true
}

// Witness reads a bag as a sheet and has it judged by some rules on a day. ok is false where a row would
// be refused. The subject is the one club, the set, or the first pair that the first rule is about.
func (a *Search) Witness(b Bag, on book.Day, rules ...*book.Rule) (*Witness, bool) {
	a.Pay(150 + (20+a.CostOf(rules...))*len(b) + a.Size/100)
	w := &Witness{Example: b.Example(on, a.Program)}
	set, ok := ReadRows(a.Program, w.Rows)
	if !ok {
		return nil, false
	}
	for _, r := range rules {
		w.Verdicts = append(w.Verdicts, RuleVerdict{Rule: r})
	}
	Listen(a.Program.Only(on, rules...), set, func(s Saying) { w.Said = append(w.Said, s) })
	if len(rules) > 0 {
		w.Of = rules[0].Subject
	}
	for i := range b {
		if w.Of == ast.OfClub || w.Of == ast.OfNeighbours && i < 2 {
			w.Clubs = append(w.Clubs, ID(i))
		}
	}
	pair := func(s Saying) bool { return s.Rule == rules[0] && len(s.Clubs) == 2 }
	if i := slices.IndexFunc(w.Said, pair); i >= 0 {
		w.Clubs = w.Said[i].Clubs
	}
	w.About(w.Of, w.Clubs)
	return w, true
}

// About makes a witness one of a subject: each rule's verdict is what it says of that, or where it is about others
// the worst that it says.
func (w *Witness) About(of ast.SubjectKind, clubs []string) {
	w.Of, w.Clubs = of, clubs
	for i := range w.Verdicts {
		v := &w.Verdicts[i]
		*v = RuleVerdict{Rule: v.Rule}
		met := false
		for _, s := range w.Said {
			if s.Rule != v.Rule {
				continue
			}
			own, is := s.Of == of && slices.Equal(s.Clubs, clubs), s.Verdict(true)
			if own || !met || is == 0 || v.Verdict != 0 && v.Verdict != is && decide.Worse(v.Verdict, is) == is {
				v.Verdict, v.Taken, v.On = is, s.Result != nil && s.Result.Exception != nil, s.Clubs
			}
			if met = true; own {
				break
			}
		}
	}
}
