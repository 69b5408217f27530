package vet_test

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/vet"
)

// largeBook is a book of 300 sound rules, as a shop with many customers may have: limits kind by kind and number by
// number for what a bench reads, with exceptions, days and charts.
func largeBook() string {
	var b strings.Builder
	b.WriteString("use methods\nchart house-lofts of loft per club\n")
	for n := 1; n <= 9; n++ {
		fmt.Fprintf(&b, "  iron %d = %d deg\n", n, 14+4*n)
	}
	values := []struct{ name, low, high, wide, unit string }{
		{"length by soled", "30", "45", "46", "in"}, {"length by plane-60", "29", "46", "47", "in"}, {"lie", "50", "70", "72", "deg"}, {"mass", "250", "500", "510", "g"}, {"grip-diameter", "0.7", "1.2", "1.3", "in"},
		{"grip-length", "8", "12", "13", "in"}, {"frequency", "200", "350", "360", "cpm"}, {"bounce", "-2", "20", "22", "deg"}, {"volume", "20", "480", "490", "cm3"}, {"inertia", "1000", "5900", "6000", "g cm2"},
	}
	n := 0
	for _, kind := range []string{"iron 1", "iron 2", "iron 3", "iron 4", "iron 5", "iron 6", "iron 7 to 9", "wedge", "hybrid, fairway", "driver"} {
		for k, v := range values {
			n++
			fmt.Fprintf(&b, "rule high-%d \"H\"\n  for every %s\n  require %s at most %s %s\n  unless hand = left: at most %s %s\n", n, kind, v.name, v.high, v.unit, v.wide, v.unit)
			fmt.Fprintf(&b, "rule low-%d \"L\"\n  for every %s where loft > %d deg\n  require %s at least %s %s\n", n, kind, k, v.name, v.low, v.unit)
			fmt.Fprintf(&b, "rule close-%d \"C\"\n  for every %s\n  require %s between %s %s and %s %s\n  from 2026-0%d-01\n  until 2026-0%d-28\n", n, kind, v.name, v.low, v.unit, v.high, v.unit, 1+k%9, 1+k%9)
		}
	}
	return b.String()
}

func BenchmarkLargeBook(b *testing.B) {
	p, book := loaded(b, largeBook())
	for b.Loop() {
		vet.Book(b.Context(), p, book)
	}
}

// BenchmarkOverlapping looks at 1,000 rules that all limit one value of the same clubs.
func BenchmarkOverlapping(b *testing.B) {
	var text strings.Builder
	for n := range 1000 {
		fmt.Fprintf(&text, "rule r-%d \"R\"\n  for every iron where loft > %d.%02d deg\n  require lie at most %d.%02d deg\n", n, 10+n/100, n%100, 60+n/100, n%100)
	}
	p, book := loaded(b, text.String())
	for b.Loop() {
		vet.Book(b.Context(), p, book)
	}
}
