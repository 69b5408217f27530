package space

// This file walks over the cells: it lays out the clubs of one question, within the work that may be done.

import "iter"

// MostCells bounds how many clubs are laid out for one question.
const MostCells = 200_000

// Walk lays out the representatives of one question.
type Walk struct {
	*Search
	*Space
	Forms map[string][]Sum           // by property: where something turns for it, once those before it are chosen
	Left  int                        // clubs that may still be laid out
	Cut   bool                       // not all were
	known map[string][]float64       // amounts that were worked out, by property, turns and common amount
	by    []string                   // methods by which lengths are read, those that are asked for first
	full  bool                       // clubs have every method that covers them, else the first; and uncommon amounts
	read  func(string, *Draft) bool  // whether a club's length can be read by a method
	skip  func(*Draft, []*Axis) bool // clubs, still without readings of some axes, that are not laid out; or nil
	moves map[*Axis]move             // which readings each property is given; nil for everything
}

// move is which readings a property is given. The zero value is a common one.
type move uint8

const (
	everything move = iota + 1
	nothing         // it is not measured
)

// Walk is a walk that chooses properties in an order. Its work counts.
func (a *Search) Walk(s *Space, order []*Axis) *Walk {
	a.Pay(20 + 5*len(order))
	w := &Walk{Search: a, Space: s, Forms: s.Project(order), Left: MostCells, known: map[string][]float64{}}
	w.read = func(m string, d *Draft) bool { return a.Program.Covers(m, d.Club(a.Program.Schema)) == nil }
	for _, m := range s.Methods {
		w.by = append(w.by, m.Decl.Name.Text)
	}
	if len(w.by) == 0 { // it is asked whether there is a length, by whatever method
		w.by = a.Program.Methods()
	}
	return w
}

// spend notes work; where no more may be done no more clubs are laid out.
func (w *Walk) spend(work int) { w.Cut = w.Cut || !w.Pay(work) }

// take takes a club from those that may be laid out; false if there are none left.
func (w *Walk) take() bool {
	w.Left--
	w.Cut = w.Cut || w.Left < 0
	w.spend(3)
	return !w.Cut
}

// All are the shapes of the space with every combination of readings of its properties.
func (w *Walk) All() iter.Seq[*Draft] {
	return func(yield func(*Draft) bool) { w.EachClub(w.Axes, yield) }
}

// EachClub gives every shape every combination of readings of some axes, until f is false; it is false then too.
func (w *Walk) EachClub(axes []*Axis, f func(*Draft) bool) bool {
	for _, d := range w.Shapes() {
		if !w.Each(&d, axes, f) {
			return false
		}
	}
	return true
}

// Each gives a club every combination of readings of some axes, on top of what it has, and calls f with each
// until that is false; it is false then too. A length that no method covers is not read.
func (w *Walk) Each(d *Draft, axes []*Axis, f func(*Draft) bool) bool {
	switch {
	case w.skip != nil && w.skip(d, axes):
		return true
	case len(axes) == 0:
		return w.take() && f(d)
	}
	for _, e := range w.readings(axes[0], d) {
		if !w.Each(&e, axes[1:], f) {
			return false
		}
	}
	return true
}

// readings are a club with each reading of a property that it is to be given, by each method.
func (w *Walk) readings(a *Axis, d *Draft) []Draft {
	move := everything
	if w.moves != nil {
		move = w.moves[a]
	}
	ways := w.ways(a, d)
	switch {
	case len(ways) == 0 || move == nothing:
		return []Draft{*d}
	case move != everything:
		return []Draft{w.common(a, &ways[0])}
	}
	var out []Draft
	var more []float64
	if w.full && a.Free && a.Unit != nil && len(a.Turns) == 0 {
		more = append(more, Typical(a.Prop, d))
	}
	for i := range ways {
		for _, r := range w.Options(a, &ways[i], more) {
			if r.there() || i == 0 {
				out = append(out, With(ways[i], r))
			}
		}
	}
	return out
}

// common is a club with a common reading of a property.
func (w *Walk) common(a *Axis, d *Draft) Draft {
	if a.Unit != nil {
		if e, ok := d.Moved(&Reading{Prop: a.Prop, Unit: a.Unit}, Typical(a.Prop, d)); ok {
			return e
		}
	}
	for _, r := range w.Options(a, d, nil) {
		return With(*d, r)
	}
	return *d
}

// Plain is a club with common readings of some properties, as far as it can have them.
func (w *Walk) Plain(d Draft, axes ...*Axis) Draft {
	for _, a := range axes {
		for _, e := range w.ways(a, &d) {
			d = w.common(a, &e)
			break
		}
	}
	return d
}

// ways is a club with each method by which its length may be read; the club as it is for another property, and none
// where it cannot be read at all.
func (w *Walk) ways(a *Axis, d *Draft) []Draft {
	var out []Draft
	switch {
	case a.Prop.Method != "":
		if w.read(a.Prop.Method, d) {
			out = append(out, *d)
		}
	case !a.Prop.ByMethod:
		out = append(out, *d)
	default:
		for _, m := range w.by {
			if w.read(m, d) && (w.full || out == nil) {
				e := *d
				e.Method = m
				out = append(out, e)
			}
		}
	}
	return out
}
