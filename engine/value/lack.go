package value

// This file holds what is missing where a value or a verdict is not known, as data: engine/report words it.

import (
	"slices"
	"strconv"

	"ferrule/lang/lists"
	"ferrule/lang/source"
)

// LackKind says why something is missing. The zero value is invalid.
type LackKind uint8

// The kinds, with the members of a Lack that they use besides Property.
const (
	Wanted           LackKind = iota + 1 // no reason of its own: it is beside others
	NoReading                            // Club has none of Property
	NoColumn                             // the sheet has none for Property
	Odd                                  // what was read of Club counts as not read: Words
	NoKind                               // it is not known what kind of club it is
	KindsDiffer                          // the clubs of the set do
	NoClubs                              // the set has none
	ClubsDiffer                          // they do not carry one Property
	RowRefused                           // Row could change it
	RowBetween                           // Row was refused and could be between two clubs
	RowBeside                            // beside the one that it is about
	RowBesideAnother                     // beside any
	RowMayHave                           // Row was refused and could have Property
	RowOfSetting                         // Row was refused and is another setting of Club
	ManySettings                         // too many combinations of settings
	InParts                              // the set is too large to be in hand at once: Words
	SameKey                              // Club and Other have the same Name
	NotCovered                           // By does not cover clubs of such a kind, Words, or only those At
	NoMethod                             // no book says how By is read
	NotStated                            // no book says the Name of Club
	RowsDiffer                           // two rows of Name, At and And, hold for Club and differ
	ChartOfOne                           // a chart is about one club
	NoChartRow                           // the chart Name has no row for Club
	Division                             // At is 0 and cannot divide
	OutOfRange                           // no sheet can mean such a number
	NoFormula                            // the formula cannot be worked out
	OfSet                                // At asks about the whole set
	ManyClubs                            // too many to compare each with At
	NoMember                             // the set has none of At
	NoReadings                           // there are no readings
	NonePasses                           // no value would, so large is the uncertainty
	Twice                                // a sheet without ids has more than one Name
	RefusedOnOther                       // Club was, on the other sheet, Row
	OnOneSheet                           // Club is on one sheet only
	OtherClub                            // Club is Name on one sheet, Other on the other
	NoReadingOn                          // Club has none of Property on the sheet To
	NotSureOn                            // the sheet To does not say how sure Property of Club is
	BeforeFulcrum                        // no mass on the head of Club raises its swing weight
	NoMass                               // neither the sheet nor a book says Property of Club's shaft
	NoToday                              // the day of the check is not known
	NotYet                               // the day of Name is still to come
	NoOrder                              // no order was given beside the sheet
	NotOrdered                           // the order has no row for Club
	OrderedApart                         // it has one for another setting of Club, which is on the sheet
	OrderRefused                         // its row cannot be used for Club: Words
	NoOrderColumn                        // it has no column Name
	MassesDiffer                         // the sheet does not say it, and the books state different ones
)

// Consequence is what follows from a lack for what was asked. The zero value is nothing more.
type Consequence uint8

// The consequences.
const (
	LengthUnsure   Consequence = iota + 1 // nobody knows how sure the length is
	NotConverted                          // the length by By cannot be brought to To
	NotForeseen                           // what To reads beyond the shaft is not known
	WrittenWithout                        // 0 is to be written if there is none
)

// Lack is one thing that is missing. Two are equal where they read alike.
type Lack struct {
	Kind        LackKind
	So          Consequence
	Property    string // what is to be measured, by name; "" where no measurement helps
	Name        string // of a chart, a key, what a book states
	Words       string // what the sheet says of it
	Club, Other string // ids
	By, To      string // methods
	Row         int
	At, And     source.Span
}

// MaxLacks is how many reasons a result gives at the most: nobody reads more, and a bag
// may have refused rows without number.
const MaxLacks = 32

// Merge joins what two values lack, each thing once, up to MaxLacks.
func Merge(a, b []Lack) []Lack {
	if len(a) == 0 {
		return b
	}
	out := slices.Clip(a)
	for _, l := range b {
		if len(out) >= MaxLacks {
			break
		}
		if !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	return out
}

// Needs are the names of what is to be measured, sorted.
func Needs(lacks []Lack) []string {
	return slices.Sorted(slices.Values(Needed(lacks)))
}

// Needed are the names of what is to be measured, in the order of the lacks. Where that is anything of a row that was
// refused, it is the row.
func Needed(lacks []Lack) []string {
	var out []string
	for _, l := range lacks {
		name := l.Property
		if name == "" && l.Row > 0 {
			name = "row " + strconv.Itoa(l.Row)
		}
		if name != "" {
			out = lists.Also(out, name)
		}
	}
	return out
}
