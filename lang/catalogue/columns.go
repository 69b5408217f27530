package catalogue

// This file names the columns of a sheet.

import (
	"slices"
	"strings"
	"unicode"
)

// Columns lists the names of a sheet's columns that are not properties.
func Columns() []string { return []string{"id", "set", "club", "by", "on", "who", "note", "setting"} }

// otherNames are the other names of columns (common practice), by the column's own name: these, and those of the
// properties that the tool knows.
var otherNames = func() map[string][]string {
	all := map[string][]string{
		"set":  {"bag", "player", "customer", "golfer", "set name"},
		"id":   {"club id", "tag", "ref"},
		"club": {"club type", "club name"},
		"on":   {"date", "day", "measured on"},
		"who":  {"inspector", "fitter", "measured by"},
		"note": {"notes", "comment", "remarks"},
	}
	for _, p := range lines {
		all[p.name] = p.also
	}
	return all
}()

// ownNames are the columns by their other names, as Heading has them.
var ownNames = func() map[string]string {
	names := map[string]string{}
	for own, others := range otherNames {
		for _, other := range others {
			names[Heading(other)] = own
		}
	}
	return names
}()

// OwnName returns the column whose other name a heading is; false if it is not one.
func OwnName(heading string) (string, bool) {
	own, ok := ownNames[Heading(heading)]
	return own, ok
}

// OtherNames lists the names by which columns are known beside their own.
func OtherNames() []string {
	var names []string
	for _, others := range otherNames {
		names = append(names, others...)
	}
	slices.Sort(names)
	return names
}

// Heading is what a heading is known by: small letters without blanks, hyphens, underscores and dots.
func Heading(s string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsSpace(c) || strings.ContainsRune("-_.", c) || unicode.Is(unicode.Pd, c) {
			return -1
		}
		return unicode.ToLower(c)
	}, s)
}
