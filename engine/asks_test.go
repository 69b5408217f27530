package engine

import (
	"strings"
	"testing"

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
