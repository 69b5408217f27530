package engine

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// TestAsks holds what the shipped books ask for to what their rules say they lack on bags in which nothing was
// measured: a bad cell of such a property refuses its row.
func TestAsks(t *testing.T) {
	var bag strings.Builder
	bag.WriteString("club,grip-model\n")
	for _, c := range []string{"driver", "3w", "4h", "5i", "6i", "7i", "PW", "SW", "putter", "chipper"} {
		bag.WriteString(c + ",x\n")
	}
	lacked := map[string]bool{}
	for _, name := range rulesets.Names() {
		books, list := Open(load.Root{Path: name, Show: name})
		if books == nil {
			t.Fatal(list)
		}
		asked := books.Asks()
		out, err := books.Check("bag.csv", strings.NewReader(bag.String()), "", book.NoDay)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range out.Sets {
			for _, r := range s.Results {
				for _, need := range value.Needs(r.Lacks) {
					if p, ok := books.Schema.Lookup(need); ok {
						if lacked[need] = true; !asked(p.ID) {
							t.Errorf("%s: %s lacks %s, which nothing asks for", name, r.Rule.Decl.Name.Text, need)
						}
					}
				}
			}
		}
		if name == "methods" && asked(catalogue.FrequencyID) {
			t.Errorf("%s asks for frequency", name)
		}
	}
	if len(lacked) < 10 {
		t.Errorf("only %d properties were lacked", len(lacked))
	}
}

// TestReadOnce opens a book without a method, whose sheets may name the shipped ones all the same.
func TestReadOnce(t *testing.T) {
	const text = "rule upright \"U\"\n  for every club\n  require lie at most 80 deg\n"
	folder := &counting{FS: fstest.MapFS{"a.ferrule": {Data: []byte(text)}}}
	books, list := Open(load.Root{FS: folder, Path: "a.ferrule", Show: "a.ferrule"})
	if books == nil || folder.opened != 1 || len(books.Methods()) > 0 || len(books.Measuring.Methods()) == 0 {
		t.Errorf("the book is opened %d times: %v, %v", folder.opened, books, list)
	}
}

// counting counts how often its files are opened.
type counting struct {
	fs.FS
	opened int
}

func (c *counting) Open(name string) (fs.File, error) {
	c.opened++
	return c.FS.Open(name)
}
