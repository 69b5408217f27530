package vet_test

// This file holds the rings that are found against brute force: every set of the clubs of a random book is tried, by a small
// solver of its own, and GLPK is asked about some of them.

import (
	"flag"
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"ferrule/engine/vet"
)

var long = flag.Bool("long", false, "try many more random books")

// meets reports whether lengths of some clubs can meet what is asked: by the shortest ways between any two (Floyd, Warshall).
func meets(n int, asked []apart) bool {
	var d [12][12]float64
	for i := range n + 1 {
		for k := range n + 1 {
			d[i][k] = math.Inf(1)
		}
		d[i][i] = 0
	}
	for _, a := range asked {
		d[a.minus+1][a.plus+1] = min(d[a.minus+1][a.plus+1], a.most)
	}
	for m := range n + 1 {
		for i := range n + 1 {
			for k := range n + 1 {
				d[i][k] = min(d[i][k], d[i][m]+d[m][k])
			}
		}
	}
	for i := range n + 1 {
		if d[i][i] < -1e-9 {
			return false
		}
	}
	return true
}

// some are the clubs of a choice, as bits.
func (b *ringBook) some(choice int) []stick {
	var out []stick
	for i, c := range b.clubs {
		if choice>>i&1 == 1 {
			out = append(out, c)
		}
	}
	return out
}

// least are the rules, as bits, that some set of clubs of one hand cannot meet, of which no fewer cannot be met by any set.
func (b *ringBook) least() []int {
	var found []int
	hands := []bool{false}
	if b.handed {
		hands = append(hands, true)
	}
	choices := make([]int, 1<<len(b.rules))
	for i := range choices {
		choices[i] = i
	}
	slices.SortStableFunc(choices, func(x, y int) int { return bits.OnesCount(uint(x)) - bits.OnesCount(uint(y)) })
	type case_ struct {
		n     int
		asked [][]apart
	}
	var open []case_
	for _, left := range hands {
		for set := range 1 << len(b.clubs) {
			clubs := b.some(set)
			c := case_{n: len(clubs)}
			for _, rule := range b.rules {
				c.asked = append(c.asked, rule(clubs, left))
			}
			if !meets(c.n, slices.Concat(c.asked...)) {
				open = append(open, c)
			}
		}
	}
	for _, rules := range choices {
		if slices.ContainsFunc(found, func(f int) bool { return f&rules == f }) {
			continue
		}
		if slices.ContainsFunc(open, func(c case_) bool {
			var asked []apart
			for i := range b.rules {
				if rules>>i&1 == 1 {
					asked = append(asked, c.asked[i]...)
				}
			}
			return !meets(c.n, asked)
		}) {
			found = append(found, rules)
		}
	}
	slices.Sort(found)
	return found
}

// told are the rules of each contradiction and each rule that can never be met, as bits.
func (b *ringBook) told(list []vet.Finding) []int {
	var out []int
	for _, f := range list {
		if f.Code != vet.Contradiction && f.Code != vet.NeverMet {
			continue
		}
		rules := 0
		for _, v := range f.Witness.Verdicts {
			rules |= 1 << slices.Index(b.names, v.Rule.Decl.Name.Text)
		}
		out = append(out, rules)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Of each random book exactly those rules are told to contradict each other that some set of its clubs cannot meet and of
// which none can be left out. GLPK, where it is there, is of the same mind about what some sets can meet.
func TestRingsByBruteForce(t *testing.T) {
	books := 300
	if *long {
		books = 4000
	}
	r := rand.New(rand.NewPCG(10, 22))
	_, err := exec.LookPath("glpsol")
	rings, sound := map[int]int{}, 0
	for k := range books {
		b := newRingBook(r)
		found := analysed(t, b.text)
		want, got := b.least(), b.told(found.List)
		if !slices.Equal(got, want) {
			t.Errorf("book %d: told %b, there are %b\n%s%v", k, got, want, b.text, found.LeftOut)
		}
		if len(want) == 0 {
			sound++
		}
		for _, w := range want {
			rings[bits.OnesCount(uint(w))]++
		}
		if err == nil && k%4 == 0 && !strings.Contains(b.text, " < ") { // an open limit is too fine for it
			clubs := b.some(1<<len(b.clubs) - 1)
			var asked []apart
			for _, rule := range b.rules {
				asked = append(asked, rule(clubs, false)...)
			}
			if meets(len(clubs), asked) != feasible(t, len(clubs), asked) {
				t.Errorf("book %d: GLPK is of another mind\n%s", k, b.text)
			}
		}
	}
	t.Log(rings, sound)
	if sound < books/10 || rings[2] < books/10 || rings[3] < books/10 || rings[4] == 0 {
		t.Errorf("rings by the number of rules %v, sound books %d", rings, sound)
	}
}

// feasible has GLPK report whether lengths of n clubs can meet what is asked.
func feasible(t *testing.T, n int, asked []apart) bool {
	t.Helper()
	var b strings.Builder
	b.WriteString("Minimize\n obj: z\nSubject To\n z = 0\n")
	for _, a := range asked {
		switch {
		case a.plus < 0:
			fmt.Fprintf(&b, " x%d >= %v\n", a.minus, -a.most)
		case a.minus < 0:
			fmt.Fprintf(&b, " x%d <= %v\n", a.plus, a.most)
		default:
			fmt.Fprintf(&b, " x%d - x%d <= %v\n", a.plus, a.minus, a.most)
		}
	}
	b.WriteString("Bounds\n")
	for i := range n {
		fmt.Fprintf(&b, " x%d free\n", i)
	}
	in := filepath.Join(t.TempDir(), "ring.lp")
	if err := os.WriteFile(in, []byte(b.String()+"End\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	said, err := exec.Command("glpsol", "--lp", in).CombinedOutput()
	none := strings.Contains(string(said), "NO PRIMAL FEASIBLE") || strings.Contains(string(said), "NO FEASIBLE")
	if err != nil || !none && !strings.Contains(string(said), "OPTIMAL") {
		t.Fatalf("GLPK does not tell: %v %s\n%s", err, said, b.String())
	}
	return !none
}
