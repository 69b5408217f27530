// Package compare holds readings against each other, and a rule against the readings
// that it is decided on: whether two people's readings of the same clubs are the same
// lengths, and how often a decision errs.
//
// agree.go pairs the rows of two sheets and tells whether they agree.
package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/lang/unit"
)

// Pair is one club, at one of its settings, as it stands on two sheets.
type Pair struct {
	Set, ID, Setting string
	First, Second    *club.Club // nil where only the other sheet has it
	Refused          *club.Refusal
}

// Pairs pairs the rows of two sheets: those of equal set, id and setting. They come in
// the order of the first sheet, then what the second alone has. Where a row of a club is
// missing because it was refused, Refused is that row.
func Pairs(first, second []*club.Set) []Pair {
	type key struct{ set, id, setting string }
	var out []Pair
	at := map[key]int{}
	for i, sets := range [][]*club.Set{first, second} {
		for _, s := range sets {
			for _, c := range s.Clubs {
				for ; c != nil; c = c.Next {
					k := key{s.Name, c.ID, c.Setting}
					n, ok := at[k]
					if !ok {
						n = len(out)
						at[k] = n
						out = append(out, Pair{Set: s.Name, ID: c.ID, Setting: c.Setting})
					}
					if i == 0 {
						out[n].First = c
					} else {
						out[n].Second = c
					}
				}
			}
		}
	}
	for _, sets := range [][]*club.Set{first, second} {
		for _, s := range sets {
			for i, f := range s.Refused {
				n, ok := at[key{s.Name, f.Club.ID, f.Club.Setting}]
				if ok && f.Club.ID != "" && (out[n].First == nil || out[n].Second == nil) {
					out[n].Refused = &s.Refused[i]
				}
			}
		}
	}
	return out
}

// Agreement tells whether two readings of a club are the same length. The zero values of
// amounts are no amount.
type Agreement struct {
	Pair
	By             string           // the method that both are brought to: that of the first's row
	Lengths        [2]engine.Length // of the first and the second, by By
	Difference     engine.Amount    // the first less the second
	Expanded       engine.Amount    // expanded uncertainty of the difference
	Budget         []engine.Component
	En             float64 // Difference / Expanded; NaN where it cannot be told, or where Expanded is 0
	Told, Same     bool    // whether it can be told, and whether they agree
	Needs, Reasons []string
	Suspects       []Suspect // of two that disagree, the likeliest first
}

// Suspect is a component that would have to be wrong, alone, by so much that two
// readings differ as they do.
type Suspect struct {
	Name string     // of the component, as in a budget
	Of   *club.Club // the row in which it was read; nil where it belongs to no one row
	Off  engine.Amount
	Half engine.Amount // what the budget allows for it; no amount for repeats
}

// mostSuspects is how many components are named.
const mostSuspects = 3

// Agree holds the two readings of a pair against each other, by the method of the first's
// row, each brought there by its own row's lie; a lie that one row lacks is taken from
// the other. They agree when |En| is at most 1; where nothing is uncertain, when they
// are equal (normalised error; ISO 13528 has it for two laboratories, from memory).
func Agree(j *engine.Judge, p *engine.Program, pair Pair) Agreement {
	a := Agreement{Pair: pair, En: math.NaN()}
	first, second := pair.First, pair.Second
	lacks := func(need, reason string) Agreement {
		a.Needs, a.Reasons = []string{need}, []string{reason}
		return a
	}
	switch {
	case (first == nil || second == nil) && pair.Refused != nil:
		return lacks("length", fmt.Sprintf("%s was refused on the other sheet, row %d", pair.ID, pair.Refused.Row.Row))
	case first == nil || second == nil:
		return lacks("length", pair.ID+" is on one sheet only")
	case first.Kind != second.Kind:
		return lacks("club", fmt.Sprintf("one sheet has %s as %s, the other as %s", pair.ID, first.Kind, second.Kind))
	}
	for i, c := range []*club.Club{first, second} {
		if c.Method == "" || p.Method(c.Method) == nil {
			return lacks("length", fmt.Sprintf("%s has no length on the %s sheet", pair.ID, [...]string{"first", "second"}[i]))
		}
	}
	a.By = first.Method
	to := p.Method(a.By)
	a.Lengths = [2]engine.Length{j.Length(first, second, to), j.Length(second, first, to)}
	for _, l := range a.Lengths {
		a.Needs, a.Reasons = join(a.Needs, l.Needs), join(a.Reasons, l.Reasons)
	}
	slices.Sort(a.Needs)
	if !a.Lengths[0].Value.Known() || !a.Lengths[1].Value.Known() {
		return a
	}
	d := j.Less(a.Lengths[0], a.Lengths[1])
	a.Difference, a.Expanded, a.Budget = d.Value, d.Expanded, d.Budget
	if unit.Compare(a.Lengths[0].Value.Base, a.Lengths[1].Value.Base) == 0 {
		a.Difference.Base = 0
	}
	if !d.Expanded.Known() {
		return a
	}
	a.Told = true
	if d.Expanded.Base == 0 {
		a.Same = a.Difference.Base == 0
		return a
	}
	a.En = a.Difference.Base / d.Expanded.Base
	a.Same = unit.Compare(math.Abs(a.Difference.Base), d.Expanded.Base) <= 0
	if !a.Same {
		a.suspect()
	}
	return a
}

// Forget lets go of how the two lengths were built up, and keeps what came out: of very
// many pairs nobody looks at the steps.
func (a *Agreement) Forget() {
	a.Lengths, a.Budget = [2]engine.Length{}, nil
}

// suspect names the components with the largest shares, and how far each would have to be
// off by itself.
func (a *Agreement) suspect() {
	for _, c := range a.Budget {
		if c.Sensitivity == 0 || len(a.Suspects) == mostSuspects {
			continue
		}
		a.Suspects = append(a.Suspects, Suspect{
			Name: strings.TrimSuffix(c.Name, " of "+a.ID), Of: a.owner(c),
			Off: engine.Amount{Base: math.Abs(a.Difference.Base / c.Sensitivity), Unit: c.Source.Unit}, Half: c.Half,
		})
	}
}

// owner is the row in which a component of the difference was read: one of the second
// sheet counts with the other sign. What is known of the club apart from its readings, a
// cap or the shape of its head, belongs to neither.
func (a *Agreement) owner(c engine.Component) *club.Club {
	if c.Name != "ruler" && !strings.HasSuffix(c.Name, " of "+a.ID) {
		return nil
	}
	has := func(l engine.Length, sensitivity float64) bool {
		return slices.ContainsFunc(l.Budget, func(d engine.Component) bool {
			return d.Name == c.Name && d.Sensitivity == sensitivity && d.Source == c.Source
		})
	}
	switch {
	case has(a.Lengths[0], c.Sensitivity):
		return a.First
	case has(a.Lengths[1], -c.Sensitivity):
		return a.Second
	}
	return nil
}

// join appends the texts that are not there yet.
func join(to, from []string) []string {
	for _, s := range from {
		if !slices.Contains(to, s) {
			to = append(to, s)
		}
	}
	return to
}
