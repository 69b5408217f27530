package catalogue

// This file holds the properties that the tool knows: all that it knows of each is on one line of a table. Ranges,
// common figures and the other names of columns are common practice, from memory.

import (
	"cmp"
	"math"

	"ferrule/lang/unit"
)

// ID is the index of a property in its Schema. The known properties have the
// constants below; what books declare follows them.
type ID int

// The properties known to the tool.
const (
	KindID ID = iota
	Number
	Mark
	Hand
	LengthID
	Lie
	Loft
	Bounce
	MassID
	Balance
	SwingWeightID
	FrequencyID
	VolumeID
	InertiaID
	GripLength
	GripDiameter
	ButtMass
	TipMass

	KnownProperties // how many there are
)

type (
	names  = []string
	byKind = map[Kind]Span
)

// A line is what the tool knows of a known property or of a column of a cutting list. Ranges and figures are in the
// units that unit.Base shows. The ranges are wide on purpose, with juniors' clubs in them; a property without any is
// not bounded, and one without a usual range is usual wherever it is possible.
type line struct {
	name     string
	sort     Sort
	byMethod bool
	also     names   // other names of its column
	possible Span    // what a club can have
	usual    Span    // what most clubs have
	usualOf  byKind  // the same where it differs from kind to kind
	common   float64 // of what differs little from kind to kind
	turn     int     // when it is measured at the bench: what needs the loft and lie machine, the ruler, the scales
	like     ID      // the property that it is one more of, so that the same readings are possible
	methodIn string  // the column that names its method
}

// known are the known properties.
var known = [KnownProperties]line{
	KindID: {name: "kind", sort: KindSort},
	Number: {name: "number", sort: Count},
	Mark:   {name: "mark", sort: Text},
	Hand:   {name: "hand", sort: Text, also: names{"rh/lh", "dexterity"}},
	LengthID: {name: "length", sort: Length, byMethod: true, turn: 3, possible: Span{10, 72},
		usualOf: byKind{Driver: {30, 48}, Fairway: {28, 47}, Hybrid: {26, 44}, Iron: {24, 42}, Wedge: {24, 38},
			Putter: {20, 55}, Chipper: {20, 42}},
		also: names{"len", "club length", "overall length", "finished length"}},
	Lie: {name: "lie", sort: Angle, turn: 2, possible: Span{20, 90}, usual: Span{50, 80}, also: names{"lie angle"}},
	Loft: {name: "loft", sort: Angle, turn: 1, possible: Span{-20, 90}, usual: Span{0, 70},
		usualOf: byKind{Driver: {2, 30}, Putter: {-5, 70}}, also: names{"loft angle"}},
	Bounce: {name: "bounce", sort: Angle, possible: Span{-45, 90}, usual: Span{-5, 30}, common: 8},
	MassID: {name: "mass", sort: Mass, turn: 5, possible: Span{80, 2000}, usual: Span{150, 700}, common: 400,
		also: names{"weight", "total weight", "wt"}},
	Balance: {name: "balance", sort: Length, turn: 6, possible: Span{1, 72}, common: 29, also: names{"balance point"}},
	SwingWeightID: {name: "swingweight", sort: SwingWeight, turn: 4, possible: Span{-50, 150}, common: 32,
		also: names{"swing weight", "swing wt", "sw"}},
	FrequencyID: {name: "frequency", sort: Frequency, turn: 7, possible: Span{20, 2000}, common: 300,
		also: names{"cpm", "freq"}},
	VolumeID: {name: "volume", sort: Volume, possible: Span{1, 1000}, usualOf: byKind{Driver: {100, 480}},
		common: 400},
	InertiaID:  {name: "inertia", sort: Inertia, possible: Span{50, 50000}, common: 4000},
	GripLength: {name: "grip-length", sort: Length, possible: Span{1, 60}, usual: Span{4, 30}, common: 10},
	GripDiameter: {name: "grip-diameter", sort: Length, possible: Span{0.1, 4}, usual: Span{0.4, 2}, common: 0.9,
		also: names{"grip size", "grip dia"}},
	ButtMass: {name: "butt-mass", sort: LineMass, possible: Span{0.05, 50}, common: 1.6},
	TipMass:  {name: "tip-mass", sort: LineMass, possible: Span{0.05, 50}, common: 2},
}

// parts are the columns of a cutting list, which a Schema has once DeclarePart adds them.
var parts = []line{
	{name: "shaft", sort: Text},
	{name: "raw-length", sort: Length, possible: Span{10, 72}, usual: Span{20, 54}},
	{name: "tip-trim", sort: Length, possible: Span{0, 20}, usual: Span{0, 8}},
	{name: "bore", sort: Length, possible: Span{0, 10}, usual: Span{0, 6}, also: names{"ground-to-tip"}},
	{name: "target-length", sort: Length, like: LengthID},
	{name: "dry-by", sort: Text},
	{name: "dry-length", sort: Length, like: LengthID, methodIn: "dry-by"},
	{name: "head-mass", sort: Mass, possible: Span{50, 1500}, usual: Span{120, 700},
		usualOf: byKind{Driver: {120, 260}, Fairway: {130, 300}, Hybrid: {140, 330}, Iron: {140, 380},
			Wedge: {160, 420}}},
	{name: "shaft-mass", sort: Mass, possible: Span{15, 400}, usual: Span{30, 180}},
	{name: "shaft-balance", sort: Length, possible: Span{1, 72}, usual: Span{8, 36}},
	{name: "grip-mass", sort: Mass, possible: Span{5, 500}, usual: Span{15, 200}},
	{name: "grip-balance", sort: Length, possible: Span{0.5, 60}, usual: Span{2, 20}},
	{name: "target-swingweight", sort: SwingWeight, like: SwingWeightID},
}

// lines are all of them. Property.Like is an index of it.
var lines = append(known[:], parts...)

// Turn is when a property has its turn as a club is measured at the bench: less is earlier. Those that have no place of
// their own come last, as they are declared.
func Turn(p ID) int {
	if p < KnownProperties && known[p].turn > 0 {
		return known[p].turn
	}
	return int(KnownProperties + p)
}

// Common is a common figure of a property that differs little from kind to kind, in base units.
func Common(p Property) float64 {
	n := sorts[p.Sort].common
	if p.ID < KnownProperties && known[p.ID].common != 0 {
		n = known[p.ID].common
	}
	return unit.Base(p.Sort.Dim()).ToBase(n)
}

// Span is a range of amounts in base units, its ends included.
type Span struct{ Low, High float64 }

// Holds reports whether an amount lies in the range.
func (s Span) Holds(v float64) bool { return v >= s.Low && v <= s.High }

// Text is the range as a person says it: "10 to 72 in".
func (s Span) Text(p Property) string {
	u := unit.Base(p.Sort.Dim())
	if p.Sort == SwingWeight {
		return unit.FormatSwing(s.Low) + " to " + unit.FormatSwing(s.High)
	}
	return unit.Format(u.FromBase(s.Low), nil) + " to " + unit.Format(s.High, u)
}

// Range is what the readings of a property can possibly be, and what they usually are, for clubs of one kind.
type Range struct{ Possible, Usual Span }

// MostHalf is the largest half-width that a reading can have: a tenth of all that is possible. One that wide
// says next to nothing of the club.
func (r *Range) MostHalf() float64 { return (r.Possible.High - r.Possible.Low) / 10 }

// HighestNumber is the highest number that a club may have.
const HighestNumber = 1000

// The ranges of the known properties, kind by kind, in base units.
var (
	everything = Span{math.Inf(-1), math.Inf(1)}
	boundless  = Range{everything, everything}
	ranges     = worked()
)

func worked() [][Chipper + 1]Range {
	out := make([][Chipper + 1]Range, len(lines))
	for i, p := range lines {
		u := unit.Base(p.sort.Dim())
		for kind := range out[i] {
			r := &out[i][kind]
			*r = boundless
			for _, s := range []Span{p.possible, p.usual, p.usualOf[Kind(kind)]} {
				if s == (Span{}) {
					continue
				}
				r.Usual = Span{u.ToBase(s.Low), u.ToBase(s.High)}
				if r.Possible == everything {
					r.Possible = r.Usual
				}
			}
		}
	}
	return out
}

// RangeOf returns what readings of a property of a kind of club can be; of NoKind what those of any club can.
func RangeOf(p *Property, k Kind) *Range {
	switch {
	case p.Method != "":
		return &ranges[LengthID][k]
	case p.Like != 0:
		return &ranges[cmp.Or(lines[p.Like].like, p.Like)][k]
	case p.ID < KnownProperties:
		return &ranges[p.ID][k]
	}
	return &boundless
}

// Possible reports whether some club can have an amount of a property.
func Possible(p Property, amount float64) bool { return RangeOf(&p, NoKind).Possible.Holds(amount) }

// Senseless says what the amount of a numeric property, in base units, must be where no measurement gives it
// at all; "" for an amount that a bench could read.
func Senseless(p Property, amount float64) string {
	if p.ID == Number {
		if amount != math.Trunc(amount) || amount < 1 || amount > HighestNumber {
			return "a whole number above zero"
		}
		return ""
	}
	if amount > 0 {
		return ""
	}
	switch p.Sort {
	case Mass, Time, Frequency, Volume, Inertia: // of anything that there is to measure
		return "above zero"
	}
	switch low := RangeOf(&p, NoKind).Possible.Low; {
	case low > 0:
		return "above zero"
	case low == 0 && amount < 0:
		return "of zero or more"
	}
	return ""
}
