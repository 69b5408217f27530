package rivals

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"github.com/expr-lang/expr"
)

// The sheet has the rows asked for, whole sets of 14 or 15, the same clubs in either
// spelling, and each of the six faults about as often as it says.
func TestSheet(t *testing.T) {
	const rows = 100_000
	var decimals, fractions bytes.Buffer
	found, err := Sheet{Rows: rows, Seed: 3}.Write(&decimals)
	if err != nil {
		t.Fatal(err)
	}
	same, err := Sheet{Rows: rows, Seed: 3, Mixed: true}.Write(&fractions)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(found, same) {
		t.Error("the spelling of lengths changes the faults")
	}
	plain, mixed := parse(t, &decimals), parse(t, &fractions)
	if len(plain) != rows+1 || len(mixed) != rows+1 {
		t.Fatalf("%d and %d rows, expected %d and the headings", len(plain), len(mixed), rows)
	}
	size := map[string]int{}
	spelt := 0
	for i, cells := range plain[1:] {
		size[cells[0]]++
		if other := mixed[i+1]; cells[3] != other[3] {
			spelt++
			if got := inches(t, other[3]); got != inches(t, cells[3]) {
				t.Fatalf("row %d: %s is not %s", i+2, other[3], cells[3])
			}
		}
	}
	if spelt < rows/2 {
		t.Errorf("%d lengths of %d are written as fractions", spelt, rows)
	}
	last := plain[rows][0]
	for set, n := range size {
		if n != Bag && n != Bag+1 && set != last {
			t.Errorf("set %s has %d clubs", set, n)
		}
	}
	count := map[string]int{}
	for _, f := range found {
		count[f.Rule]++
	}
	for _, rule := range []string{LongestClub, ShortestClub, UprightLie, PutterLoft, HeaviestClub, ClubsCarried} {
		if count[rule] < rows/10_000 {
			t.Errorf("%s: %d faults in %d clubs", rule, count[rule], rows)
		}
	}
	if share := float64(len(found)) / rows; share < 0.007 || share > 0.013 {
		t.Errorf("%.3f of the clubs fail, expected about 0.01", share)
	}
	if !slices.IsSortedFunc(found, func(a, b Finding) int { return a.Row - b.Row }) {
		t.Error("the faults are not in the order of the rows")
	}
}

func parse(t *testing.T, sheet *bytes.Buffer) [][]string {
	t.Helper()
	rows, err := csv.NewReader(sheet).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// inches reads "45", "45.75" and "45 3/4" by letting a calculator read "45 + 3/4".
func inches(t *testing.T, cell string) any {
	t.Helper()
	got, err := expr.Eval("0.0 + "+strings.Replace(cell, " ", " + ", 1), nil)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// The long book has as many rules as were asked for, and ferrule finds no mistake in it.
func TestBook(t *testing.T) {
	path := book(t, 1000)
	run(t, vet(t, path), nil, 0)
}
