package analyse

// This file turns bags that were tried into witnesses: rows of a sheet, read and judged again as any
// other sheet is.

import (
	"bytes"
	"encoding/json"
	"slices"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/sheet"
	"ferrule/lang/ast"
	"ferrule/lang/check"
)

// Witness is a bag that shows a finding, as rows that a check could be given, with what the rules say
// of it.
type Witness struct {
	On       check.Day // NoDay: the day does not matter
	Rows     []Row
	Of       ast.SubjectKind
	Clubs    []string // ids of the subject; none of a set
	Verdicts []RuleVerdict

	bag bag
}

// RuleVerdict is the worst verdict of a rule on the clubs of a witness; 0 where the rule gives none.
type RuleVerdict struct {
	Rule    *check.Rule
	Verdict decide.Verdict
	Taken   bool     // an exception was taken for it
	On      []string // ids of its subject; none of a set
}

// of is the verdict of a rule; 0 where it gives none.
func (w *Witness) of(r *check.Rule) decide.Verdict {
	for _, v := range w.Verdicts {
		if v.Rule == r {
			return v.Verdict
		}
	}
	return 0
}

// read reads the rows of a bag as a sheet of JSON Lines is read; false where a row would be
// refused.
func read(p *engine.Program, b bag) (*club.Set, bool) {
	var text bytes.Buffer
	for _, row := range b.rows() {
		line, err := json.Marshal(row)
		if err != nil {
			return nil, false
		}
		text.Write(append(line, '\n'))
	}
	r, problem := sheet.Open("witness.jsonl", &text, sheet.Options{Schema: p.Schema, Covers: p.Covers,
		Methods: func(name string) bool { return slices.Contains(p.Methods(), name) }, MethodNames: p.Methods()})
	if problem != nil {
		return nil, false
	}
	set, ok := r.Next()
	if !ok || len(set.Refused) > 0 || len(set.Clubs) != len(b) {
		return nil, false
	}
	return set, true
}

// witness reads a bag as a sheet and has it judged by some rules on a day. ok is false where a row would
// be refused. The subject is the i-th of the clubs, the first two or, for a rule about sets, none.
func (a *analyst) witness(b bag, on check.Day, rules ...*check.Rule) (*Witness, bool) {
	set, ok := read(a.program, b)
	if !ok {
		return nil, false
	}
	w := &Witness{On: on, Rows: b.rows(), bag: b}
	for _, r := range rules {
		w.Verdicts = append(w.Verdicts, RuleVerdict{Rule: r})
	}
	disagree := map[*check.Rule]bool{}
	j := a.program.NewJudge(engine.Options{Day: on, All: true, Rules: func(r *check.Rule) bool { return slices.Contains(rules, r) }})
	j.Set(set, engine.Sink{
		Conflict: func(c *engine.Conflict) { disagree[c.Rule] = true },
		Result: func(r *engine.Result) {
			for i := range w.Verdicts {
				v := &w.Verdicts[i]
				if v.Rule == r.Rule && decide.Worse(v.Verdict, r.Verdict) == r.Verdict && v.Verdict != r.Verdict {
					v.Verdict, v.Taken, v.On = r.Verdict, r.Exception != nil, nil
					for _, c := range r.Subject.Clubs {
						v.On = append(v.On, c.ID)
					}
				}
			}
		},
	})
	for i := range w.Verdicts {
		if disagree[w.Verdicts[i].Rule] {
			w.Verdicts[i] = RuleVerdict{Rule: w.Verdicts[i].Rule}
		}
	}
	w.Of = ast.OfClub
	if len(rules) > 0 {
		w.Of = rules[0].Decl.For.Kind
	}
	for i := range b {
		if w.Of != ast.OfSet {
			w.Clubs = append(w.Clubs, ids(i))
		}
	}
	return w, true
}
