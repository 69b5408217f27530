package vet_test

import (
	"io/fs"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine"
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
		for range 5 {
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
			for _, f := range vet.Book(t.Context(), engine.Compile([]*book.Book{b}, l.Schema), b).List {
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

func verdictsOf(w *space.Witness) []space.RuleVerdict {
	if w == nil {
		return nil
	}
	return w.Verdicts
}
