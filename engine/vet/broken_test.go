package vet_test

import (
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/judge"
	"ferrule/engine/space"
	"ferrule/engine/vet"
	"ferrule/lang/book"
	"ferrule/lang/diag"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// Books with lines lost, doubled and swapped never stop the analysis, and a rule that has a mistake is not spoken of.
func TestBrokenBooks(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	faulty, found := 0, 0
	for _, name := range rulesets.Names() {
		text, err := fs.ReadFile(rulesets.FS(), name+".ferrule")
		if err != nil {
			t.Fatal(err)
		}
		for range 10 {
			lines := strings.SplitAfter(string(text), "\n")
			for range 1 + r.IntN(8) {
				i := r.IntN(len(lines))
				switch r.IntN(4) {
				case 0:
					lines = slices.Delete(lines, i, i+1)
				case 1:
					lines = slices.Insert(lines, i, lines[r.IntN(len(lines))])
				case 2:
					k := r.IntN(len(lines))
					lines[i], lines[k] = lines[k], lines[i]
				default:
					words := strings.Fields(lines[i])
					if len(words) > 1 {
						lines[i] = strings.Replace(lines[i], words[r.IntN(len(words))], words[r.IntN(len(words))], 1)
					}
				}
			}
			files := fstest.MapFS{"book.ferrule": {Data: []byte(strings.Join(lines, ""))}}
			l, list := load.Load(rulesets.FS(), []load.Root{{FS: files, Path: "book.ferrule", Show: "book.ferrule"}})
			b := l.Roots[0].Sound()
			if list.HasErrors() {
				faulty++
			}
			for _, f := range vet.Book(t.Context(), judge.Compile([]*book.Book{b}, l.Schema), b).List {
				found++
				for _, v := range verdictsOf(f.Witness) {
					for _, d := range list {
						if s := v.Rule.Decl.Span; d.Severity == diag.Error && d.Span.File == s.File && d.Span.Start >= s.Start && d.Span.Start < s.End {
							t.Errorf("%s is spoken of, which has a mistake: %s", v.Rule.Decl.Name.Text, d)
						}
					}
				}
			}
		}
	}
	if faulty < 10 || found < 4 {
		t.Errorf("only %d faulty books and %d findings were met", faulty, found)
	}
}

// A book with every sort of declaration, short of any one word or line, is looked into as well: what depends on the broken
// part is left out, and nothing falls over it.
func TestBookShortOfAWord(t *testing.T) {
	words := strings.SplitAfter(everySort, " ")
	lines := strings.SplitAfter(everySort, "\n")
	faulty := 0
	for i := range len(words) + len(lines) {
		parts, k := words, i
		if i >= len(words) {
			parts, k = lines, i-len(words)
		}
		files := fstest.MapFS{"book.ferrule": {Data: []byte(strings.Join(slices.Delete(slices.Clone(parts), k, k+1), ""))}}
		l, list := load.Load(rulesets.FS(), []load.Root{{FS: files, Path: "book.ferrule", Show: "book.ferrule"}})
		if list.HasErrors() {
			faulty++
		}
		b := l.Roots[0].Sound()
		vet.Book(t.Context(), judge.Compile([]*book.Book{b}, l.Schema), b)
	}
	if faulty < 60 {
		t.Errorf("only %d of the books were faulty", faulty)
	}
}

const everySort = `rulebook "Every sort"
  decision three-way at 95 %
use methods
group long = driver, iron where number <= 5
property weighed yes-no
chart lengths of length by mine per club
  iron 5 = 38 in
  iron 6 = 37 1/2 in
let span = length by mine - 2 in
method mine "Behind the shaft"
  covers every club
  stop   at lie
  top    at cap edge
  reads  to 1/8 in
  lie-set within 1 deg
allowance cap 1/8 in within 1/32 in where weighed
head iron
  reach  1 in within 0.25 in
  camber 9 in within 2 in
  toe    3 in within 0.25 in
  toe-radius 1 in within 0.25 in
  heel   0.5 in within 0.25 in
  heel-radius 0.5 in within 0.25 in
rule one "Spans"
  for every long where weighed
  require span at most 40 in allowing 1/8 in
  unless hand = left: at most 41 in
rule two "Charts"
  for every iron
  require length by mine within 1/4 in of lengths
rule three "Steps"
  for neighbours among iron by number
  require drop of length by mine per number is 1/2 in +/- 1/8 in
rule four "Sets"
  for each set
  require spread of length by wall among long at most 10 in
`

func verdictsOf(w *space.Witness) []space.RuleVerdict {
	if w == nil {
		return nil
	}
	return w.Verdicts
}
