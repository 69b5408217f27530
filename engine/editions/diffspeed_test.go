package editions_test

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/editions"
)

// manyRules is a book of 300 rules of eight sorts; the limits move with by.
func manyRules(by float64, name string) string {
	var b strings.Builder
	b.WriteString(measuring)
	for i := range 300 {
		n := i%7 + 3
		fmt.Fprintf(&b, "rule %s-%d\n", name, i)
		switch i % 8 {
		case 0:
			fmt.Fprintf(&b, "  for every iron %d to %d\n  require length by soled at most %g in allowing 1/8 in\n", n, n+1, 40+by)
		case 1:
			fmt.Fprintf(&b, "  for every iron %d where lie > %d deg\n  require loft between %g deg and 60 deg\n  unless hand = left: exempt\n", n, 50+n, 10+by)
		case 2:
			fmt.Fprintf(&b, "  for neighbours among iron %d to %d by number\n  require drop of length by soled per number is 1/2 in +/- %g in\n", n, n+2, 0.25+by/16)
		case 3:
			fmt.Fprintf(&b, "  for each set\n  require count of wedge at most %g\n", 4+by)
		case 4:
			fmt.Fprintf(&b, "  for every club except putter\n  require length by plane-60 at most %g in\n  decision three-way at 95 %%\n", 46+by)
		case 5:
			fmt.Fprintf(&b, "  for every wedge\n  require lie - loft at most %g deg\n  from 2026-04-0%d\n", 20+by, n-2)
		case 6:
			fmt.Fprintf(&b, "  for every driver, fairway where loft < %d deg\n  require mass * (balance - 14 in) at most %g oz in\n", n+8, 210+by)
		case 7:
			fmt.Fprintf(&b, "  for neighbours among wedge by loft\n  require rise of loft between 4 deg and %g deg\n", 6+by)
		}
	}
	return b.String()
}

// BenchmarkDiff compares two books of 300 rules: the same, all limits moved, and all rules renamed.
func BenchmarkDiff(b *testing.B) {
	old := compiled(b, manyRules(0, "rule"))
	for _, one := range []struct {
		name, text string
		changes    int
	}{{"same", manyRules(0, "rule"), 0}, {"moved", manyRules(1, "rule"), 300}, {"renamed", manyRules(0, "other"), 0}, {"replaced", manyRules(1, "other"), 600}} {
		new := compiled(b, one.text)
		b.Run(one.name, func(b *testing.B) {
			for b.Loop() {
				if d := editions.Compare(b.Context(), old, new); len(d.Changes) != one.changes || len(d.LeftOut) > 0 {
					b.Fatalf("%d changes, not %d; left out: %v", len(d.Changes), one.changes, d.LeftOut)
				}
			}
		})
	}
}
