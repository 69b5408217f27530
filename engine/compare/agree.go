// Package compare compares two people's readings of the same clubs, and works out how often a rule is wrong that is
// decided on readings.
//
// agree.go pairs the rows of two sheets and compares their readings.
package compare

import (
	"cmp"
	"math"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/measure"
	"ferrule/engine/value"
	"ferrule/lang/catalogue"
	"ferrule/lang/lists"
	"ferrule/lang/unit"
)

// Pair is one club, at one of its settings, as it is on two sheets.
type Pair struct {
	Set, ID, Setting string
	First, Second    *club.Club // nil where only the other sheet has it
	Refused          *club.Refusal
	Twice            bool // a sheet without ids has more than one such club, so they cannot be told apart
}

// place is what the rows of one club have in common.
type place struct {
	set, setting string
	club.Spot
}

func placeOf(set string, c *club.Club, byID bool) place {
	return place{catalogue.Key(set), catalogue.Key(c.Setting), c.Spot(byID)}
}

// Pairs pairs the rows of two sheets: those of equal set, setting and id, or, where a sheet has no ids, of equal
// kind, number and mark. Where one sheet has no sets and the other exactly one, they are one set. They come in the
// order of the first sheet, then what the second alone has. Where a row of a club is missing because it was refused,
// Refused is that row.
func Pairs(first, second []*club.Set) []Pair {
	var out []Pair
	at := map[place]int{}
	byID := slices.ContainsFunc(first, (*club.Set).HasIDs) && slices.ContainsFunc(second, (*club.Set).HasIDs)
	only := onlySet(first, second)
	for i, sets := range [][]*club.Set{first, second} {
		for _, s := range sets {
			name := cmp.Or(s.Name, only)
			for _, c := range s.Clubs {
				for ; c != nil; c = c.Next {
					k := placeOf(name, c, byID)
					n, ok := at[k]
					twice := ok && (i == 0 || out[n].Second != nil)
					if twice {
						out[n].Twice = true
					} else if !ok {
						at[k] = len(out)
					}
					if twice || !ok {
						n = len(out)
						out = append(out, Pair{Set: name, ID: c.ID, Setting: c.Setting, Twice: twice})
					}
					if i == 0 {
						out[n].First = c
					} else if out[n].Second = c; !twice && ok && c.Named && !out[n].First.Named {
						out[n].ID = c.ID // which the other may state
					}
				}
			}
		}
	}
	for _, sets := range [][]*club.Set{first, second} {
		for _, s := range sets {
			for i, f := range s.Refused {
				k := placeOf(cmp.Or(s.Name, only), f.Club, byID)
				n, ok := at[k]
				if ok && k.Known() && (out[n].First == nil || out[n].Second == nil) {
					out[n].Refused = &s.Refused[i]
				}
			}
		}
	}
	return out
}

// onlySet is the one set that a sheet has where the other has none; "" of any other two.
func onlySet(first, second []*club.Set) string {
	a, b := lists.Kept(first, (*club.Set).Own), lists.Kept(second, (*club.Set).Own)
	if len(a) != 1 || len(b) != 1 || a[0].Name != "" && b[0].Name != "" {
		return ""
	}
	return a[0].Name + b[0].Name
}

// Alone is which of the sheets, 0 or 1, is the only one that has the club, by no fault of a row; -1 where both have it.
func (p *Pair) Alone() int {
	switch {
	case p.Twice || p.Refused != nil:
		return -1
	case p.Second == nil:
		return 0
	case p.First == nil:
		return 1
	}
	return -1
}

// unpaired says why the two readings of a pair cannot be compared; nil where they can.
func (p *Pair) unpaired(property string) *value.Lack {
	a, b := p.First, p.Second
	switch {
	case p.Twice:
		return &value.Lack{Kind: value.Twice, Property: "id", Name: cmp.Or(a, b).Name}
	case (a == nil || b == nil) && p.Refused != nil:
		return &value.Lack{Kind: value.RefusedOnOther, Property: property, Club: cmp.Or(a, b).Called(),
			Row: p.Refused.Row.Row}
	case p.Alone() >= 0:
		return &value.Lack{Kind: value.OnOneSheet, Property: property, Club: cmp.Or(a, b).Called()}
	}
	if !a.SameClub(b) {
		return &value.Lack{Kind: value.OtherClub, Property: "club", Club: p.ID, Name: a.Spoken(), Other: b.Spoken()}
	}
	return nil
}

// Agreement compares two readings of a club. A zero amount is not an amount.
type Agreement struct {
	Pair
	Property   catalogue.Property
	By         string          // the method that both lengths are brought to: that of the first's row
	Readings   [2]judge.Length // of the first and the second, by By
	En         float64         // the difference divided by Expanded; NaN where it is not known, or where Expanded is 0
	Told, Same bool            // whether that is known, and whether they agree
	Lacks      []value.Lack
	Suspects   []Suspect // of two that disagree, the likeliest first

	judge.Difference // the first less the second
}

// Suspect is a component that would have to be wrong, alone, by so much that two
// readings differ as they do.
type Suspect struct {
	Name string     // of the component, as in a budget
	Of   *club.Club // the row in which it was read; nil where it belongs to no one row
	Off  unit.Amount
	Half unit.Amount // what the budget allows for it; no amount for repeats
}

// mostSuspects is how many components are named.
const mostSuspects = 3

// Agree holds the two readings of a property against each other. Lengths are brought to the method of the
// first's row, each by its own row's lie; a lie that one row lacks is taken from the other. Anything else
// needs a stated half-width on both rows. They agree when |En| is at most 1; where nothing is uncertain, when
// they are equal (normalised error; ISO 13528 has it for two laboratories, from memory).
func Agree(j *judge.Judge, p *judge.Program, pair Pair, property catalogue.Property) Agreement {
	a := Agreement{Pair: pair, Property: property, En: math.NaN()}
	if why := pair.unpaired(property.Name); why != nil {
		a.Lacks = []value.Lack{*why}
		return a
	}
	if property.ID == catalogue.LengthID {
		a.lengths(j, p)
	} else {
		a.others(j)
	}
	if a.Readings[0].Value.Known() && a.Readings[1].Value.Known() {
		a.compare(j)
	}
	return a
}

// lacks notes what is missing.
func (a *Agreement) lacks(lacks ...value.Lack) { a.Lacks = value.Merge(a.Lacks, lacks) }

// lengths brings both lengths to the first's method.
func (a *Agreement) lengths(j *judge.Judge, p *judge.Program) {
	rows := [2]*club.Club{a.First, a.Second}
	for i, c := range rows {
		if c.Method == "" || p.Method(c.Method) == nil {
			a.lacks(value.Lack{Kind: value.NoReadingOn, Property: a.Property.Name, Club: a.First.Called(), To: nth[i]})
		}
	}
	if a.Lacks != nil {
		return
	}
	a.By = a.First.Method
	for i, c := range rows {
		a.Readings[i] = j.Length(c, rows[1-i], p.Method(a.By))
		a.lacks(a.Readings[i].Lacks...)
	}
}

var nth = [...]string{"first", "second"}

// others reads a property that is not a length by a method.
func (a *Agreement) others(j *judge.Judge) {
	of := a.Property
	for i, c := range []*club.Club{a.First, a.Second} {
		r := j.Measured(c, of)
		switch {
		case c.Slip(of.ID) != "":
			a.lacks(r.Lacks...)
		case !c.Has(of.ID):
			a.lacks(value.Lack{Kind: value.NoReadingOn, Property: of.Name, Club: a.First.Called(), To: nth[i]})
		case !c.Reading(of.ID).HasHalf:
			a.lacks(value.Lack{Kind: value.NotSureOn, Property: of.Name, Club: a.First.Called(), To: nth[i]})
		default:
			a.lacks(r.Lacks...)
		}
		a.Readings[i] = r
	}
}

// compare divides the difference of both readings by its expanded uncertainty.
func (a *Agreement) compare(j *judge.Judge) {
	d := j.Less(a.Readings[0], a.Readings[1])
	if len(value.Needs(a.Lacks)) > 0 || !d.Expanded.Known() {
		a.Value = d.Value
		return
	}
	a.Difference, a.Told = d, true
	if d.Expanded.Base == 0 {
		a.Same = d.Value.Base == 0
		return
	}
	a.En, a.Same = d.Value.Base/d.Expanded.Base, d.Within()
	if !a.Same {
		a.suspect()
	}
}

// Forget drops how the two readings were built up and keeps the result, and what a picture shows of them: of very
// many pairs the steps are not shown.
func (a *Agreement) Forget() {
	a.Difference = judge.Difference{Value: a.Value, Expanded: a.Expanded}
	for i, l := range a.Readings {
		a.Readings[i] = judge.Length{From: l.From, To: l.To, Value: l.Value, Expanded: l.Expanded}
	}
}

// suspect names the components with the largest shares, and how far each would have to be
// off by itself.
func (a *Agreement) suspect() {
	for _, c := range a.Budget {
		if c.Sensitivity == 0 || len(a.Suspects) == mostSuspects {
			continue
		}
		off := unit.Amount{Base: math.Abs(a.Value.Base / c.Sensitivity), Unit: c.Source.Unit}
		a.Suspects = append(a.Suspects, Suspect{Name: c.Name, Of: a.owner(c), Off: off, Half: c.Half})
	}
}

// owner is the row in which a component of the difference was read. The ruler of the second sheet counts with
// the other sign. What is known of the club apart from its readings, a cap or the shape of its head, belongs
// to neither.
func (a *Agreement) owner(c judge.Component) *club.Club {
	if c.What != measure.Ruler {
		return c.Of
	}
	for i, sensitivity := range []float64{c.Sensitivity, -c.Sensitivity} {
		if slices.ContainsFunc(a.Readings[i].Budget, func(d judge.Component) bool {
			return d.What == c.What && d.Sensitivity == sensitivity && d.Source == c.Source
		}) {
			return [...]*club.Club{a.First, a.Second}[i]
		}
	}
	return nil
}
