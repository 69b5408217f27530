package editor

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// largeBook is a book of 300 rules for what a bench reads, kind by kind, with exceptions and days.
func largeBook() string {
	var b strings.Builder
	b.WriteString("rulebook \"Large\"\n  decision three-way at 95 %\nuse methods\n")
	values := []struct{ name, low, high, unit string }{{"length by soled", "30", "45", "in"}, {"length by plane-60", "29", "46", "in"},
		{"lie", "50", "70", "deg"}, {"mass", "250", "500", "g"}, {"grip-diameter", "0.7", "1.2", "in"}, {"grip-length", "8", "12", "in"},
		{"frequency", "200", "350", "cpm"}, {"bounce", "-2", "20", "deg"}, {"volume", "20", "480", "cm3"}, {"inertia", "1000", "5900", "g cm2"}}
	for n := range 300 {
		v := values[n%10]
		fmt.Fprintf(&b, "rule r-%d \"R\"\n  for every iron %d where loft > %d deg\n  require %s between %s %s and %s %s\n  unless hand = left: at most %s %s\n  from 2026-0%d-01\n",
			n, 1+n%9, n%7, v.name, v.low, v.unit, v.high, v.unit, v.high, v.unit, 1+n%9)
	}
	return b.String()
}

// BenchmarkKeystroke is from a keystroke in a book of 300 rules, which changes what is wrong with it, to the list of that: the
// median of 40.
func BenchmarkKeystroke(b *testing.B) {
	s := started(b)
	text := largeBook()
	s.open("a.ferrule", text)
	s.told("a.ferrule")
	line := strings.Count(text[:strings.Index(text, "rule r-150 ")], "\n") + 2
	var took []time.Duration
	for b.Loop() {
		took = nil
		for n := range 40 {
			start := time.Now()
			if n%2 == 0 {
				s.edit("a.ferrule", &Range{Position{line, 3}, Position{line, 4}}, "x")
			} else {
				s.edit("a.ferrule", &Range{Position{line, 3}, Position{line, 4}}, "e")
			}
			if got := s.told("a.ferrule"); (got == "") == (n%2 == 0) {
				b.Fatalf("after %d keystrokes it says %q", n+1, got)
			}
			took = append(took, time.Since(start))
		}
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[20].Microseconds())/1000, "ms/keystroke")
}
