package wording

// This file words what is missing, and why, and what a sheet and an order beside it differ in.

import (
	"fmt"
	"strconv"
	"strings"

	"ferrule/engine/club"
	"ferrule/engine/eval"
	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/engine/value"
	"ferrule/lang/lists"
)

// because words each kind of lack: members of the Lack are in braces.
var because = map[value.LackKind]string{
	value.NoReading:        "{club} has no {property}",
	value.NoColumn:         "the sheet has no column {property}",
	value.Odd:              "{club}: {words}",
	value.NoKind:           "the kind of club is not known",
	value.KindsDiffer:      "the clubs of the set differ",
	value.NoClubs:          "the set has no clubs",
	value.ClubsDiffer:      "the clubs of the set differ in {property}",
	value.RowRefused:       "row {row} was refused and could change it",
	value.RowBetween:       "row {row} was refused and could belong between them",
	value.RowBeside:        "row {row} was refused and could belong beside it",
	value.RowBesideAnother: "row {row} was refused and could belong beside another",
	value.RowMayHave:       "row {row} was refused and could have a {property}",
	value.RowOfSetting:     "row {row}, another setting of {club}, was refused and could change it",
	value.ManySettings:     "the set has too many combinations of settings to try them all",
	value.InParts:          "{words}",
	value.SameKey:          "{club} and {other} have the same {name}",
	value.NotCovered:       "the method {by} does not cover {words}",
	value.NoMethod:         "no book declares the method {by}",
	value.NotStated:        "no book states the {name} of {club}",
	value.RowsDiffer:       "two rows of {name} apply to {club} and differ",
	value.ChartOfOne:       "a chart is about one club",
	value.NoChartRow:       "the chart {name} has no row for {club}",
	value.Division:         "{at} is 0, and nothing can be divided by 0",
	value.OutOfRange:       "the result is far beyond any club",
	value.NoFormula:        "this formula cannot be worked out",
	value.OfSet:            "{at} asks about the whole set",
	value.ManyClubs:        "the set has too many clubs to compare each of them with {at}",
	value.NoMember:         "the set has no {at}",
	value.NoReadings:       "there are no readings",
	value.NonePasses:       "no value would pass, as the reading could be so far off: measure more finely",
	value.Twice:            "a sheet without ids has more than one {name}; add a column id",
	value.RefusedOnOther:   "{club} was refused on the other sheet, row {row}",
	value.OnOneSheet:       "{club} is on one sheet only",
	value.OtherClub:        "one sheet has {club} as {name}, the other as {other}",
	value.NoReadingOn:      "{club} has no {property} on the {to} sheet",
	value.NotSureOn:        "the {to} sheet gives the {property} without +/-",
	value.BeforeFulcrum: "the head of {club} is not beyond the fulcrum, 14 in from the end of the grip, " +
		"so no mass on it raises the swing weight",
	value.NoOrder:       "no order was given (--order)",
	value.NotOrdered:    "the order has no row for {club}",
	value.OrderedApart:  "the order has no row for {club}",
	value.OrderRefused:  "what was ordered for {club} is not known: {words}",
	value.NoOrderColumn: "the order has no column {name}",
	value.NoToday:       "the day of the check is not known",
	value.NotYet:        "{name} is a day still to come",
	value.NoMass:        "neither the sheet nor a book says the {property} of {club}'s shaft",
	value.MassesDiffer:  "the sheet does not say the {property} of {club}'s shaft, and the books state different ones",
}

// so words what follows from a lack.
var so = map[value.Consequence]string{
	value.LengthUnsure:   ", so how accurate its length is, is not known",
	value.NotConverted:   ", so its length by {by} cannot be converted to {to}",
	value.NotForeseen:    ", so what {to} reads beyond its shaft is not known",
	value.WrittenWithout: "; write 0 in where no tip is trimmed",
}

// Reason is why something is missing, a sentence without full stop; "" where it is beside other reasons.
func Reason(l value.Lack) string {
	words, at := because[l.Kind], ""
	if !l.At.IsZero() {
		at = l.At.OneLine()
	}
	if l.Kind == value.NotCovered && at != "" {
		words = "the method {by} covers only {at}"
	}
	members := map[string]string{"club": l.Club, "other": l.Other, "property": l.Property, "name": l.Name,
		"words": l.Words, "by": l.By, "to": l.To, "row": strconv.Itoa(l.Row), "at": at}
	parts := strings.Split(words+so[l.So], "{")
	for i, part := range parts[1:] {
		name, rest, _ := strings.Cut(part, "}")
		parts[i+1] = members[name] + rest
	}
	return strings.Join(parts, "")
}

// Note is what an exception gives, or why a measurement is not there.
func Note(s eval.Step) string {
	if s.Lack != nil {
		return Reason(*s.Lack)
	}
	return s.Note
}

// rowsDiffer says that two rows of a book do, whatever follows from it.
func rowsDiffer(l value.Lack) string {
	l.So = 0
	return Reason(l)
}

// Conflicting says how a book contradicts itself on a subject.
func Conflicting(c *judge.Conflict) string {
	if c.Rows.Kind != 0 {
		return rowsDiffer(c.Rows)
	}
	return fmt.Sprintf("two exceptions of %s apply to %s and disagree", c.Rule.Decl.Name.Text,
		Subject(c.Subject))
}

// RowsDiffer says of two rows of the books that differ where they are.
func RowsDiffer(l value.Lack) string { return rowsDiffer(l) + ": " + bookLines(l.At, l.And) }

// JoinReasons are why something is missing, on one line.
func JoinReasons(lacks []value.Lack) string { return strings.Join(Reasons(lacks), "; ") }

// Reasons are why something is missing, each once.
func Reasons(lacks []value.Lack) []string {
	said := func(why string) bool { return why != "" }
	return lists.Once(lists.Kept(lists.Each(lacks, Reason), said))
}

// ReasonsOf are the same behind the name of the club that something is missing of: "it has no lie". A name without an
// id may be that of a kind too, so it is replaced only where a reason begins with it.
func ReasonsOf(c *club.Club, lacks []value.Lack) string {
	name, all := c.Called(), Reasons(lacks)
	short := strings.NewReplacer("\x00"+name+": ", "", "\x00"+name+"'s ", "its ", "\x00"+name+" ", "it ", "\x00", "")
	if strings.HasSuffix(name, ")") {
		short = strings.NewReplacer("\x00", "", name+": ", "", name+"'s", "its", name, "it")
	}
	for i, why := range all {
		all[i] = short.Replace("\x00" + why)
	}
	return Visible(strings.Join(all, "; "))
}

// Covers says why a method does not cover a club, for who reads a sheet; "" where it does.
func Covers(p *judge.Program) func(method string, c *club.Club) string {
	return func(method string, c *club.Club) string {
		if why := p.Covers(method, c); why != nil {
			return Reason(*why)
		}
		return ""
	}
}

// Outcome says on one line what differs from an expectation, and why; "" where all is as expected.
func Outcome(o *trial.Outcome) string {
	return Join("; ", o.Words(), Because(o))
}

// Because is why there is nothing to hold against an expectation; "" where there is.
func Because(o *trial.Outcome) string {
	switch l := o.Uncovered; {
	case l != nil:
		return fmt.Sprintf("%s cannot have a length by %s: %s, and a row of a sheet that says so is refused",
			l.Club, l.By, Reason(*l))
	case o.Conflict != nil:
		return Conflicting(o.Conflict)
	}
	return o.Silent
}

// Unpaired says of clubs of a set, in one sentence, that they have no counterpart.
func Unpaired(m club.Mismatch, all ...club.Unpaired) string {
	parts := make([]string, len(all))
	for i, u := range all {
		if parts[i] = Visible(u.Called); m == club.OtherClub {
			parts[i] = fmt.Sprintf("%s is the %s on the sheet and the %s in row %d of the order", Visible(u.ID),
				Visible(u.Spoken), Visible(u.As), u.Ordered.Row)
		}
	}
	switch m {
	case club.NotOnSheet:
		return strings.Join(parts, ", ") + ": ordered, and not on the sheet"
	case club.NotOrdered:
		return strings.Join(parts, ", ") + ": on the sheet, and not ordered"
	}
	return strings.Join(parts, "; ")
}
