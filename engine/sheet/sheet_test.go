package sheet

import (
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
)

// testOptions are those of a shop whose books know four methods and two columns of their own.
func testOptions(t testing.TB) Options {
	schema := catalogue.NewSchema()
	for _, p := range []catalogue.Property{
		{Name: "made", Sort: catalogue.Date}, {Name: "conforming", Sort: catalogue.YesNo}, {Name: "grip-model", Sort: catalogue.Text},
		{Name: "old-length", Sort: catalogue.Length, Method: "soled"}, {Name: "share", Sort: catalogue.Ratio},
	} {
		if _, err := schema.Declare(p); err != nil {
			t.Fatal(err)
		}
	}
	names := []string{"axis", "plane-60", "soled", "wall"}
	return Options{
		Schema: schema, MethodNames: names,
		Covers: func(method string, c *club.Club) string {
			if method == "plane-60" && c.Kind == catalogue.Putter {
				return "the method plane-60 does not cover a putter"
			}
			return ""
		},
	}
}

// read reads a whole sheet and holds the account: rows read = rows that became clubs + rows refused.
func read(t testing.TB, name, text string, o Options) ([]*club.Set, *Reader, *Problem) {
	t.Helper()
	r, p := Open(name, strings.NewReader(text), o)
	if p != nil {
		return nil, nil, p
	}
	var sets []*club.Set
	rows := 0
	for {
		s, ok := r.Next()
		if !ok {
			break
		}
		sets = append(sets, s)
		rows += s.Rows
		for _, f := range s.Refused {
			if f.Message == "" || f.Club == nil || f.Row.Row == 0 {
				t.Errorf("refusal without message, club or row: %+v", f)
			}
			if !f.Again {
				rows++
			}
		}
		n := 0
		for _, c := range s.Clubs {
			for ; c != nil; c = c.Next {
				n++
			}
		}
		if n != s.Rows {
			t.Errorf("set %q holds %d rows and says %d", s.Name, n, s.Rows)
		}
	}
	if rows != r.rowsRead {
		t.Errorf("%d rows were read, %d became clubs or were refused", r.rowsRead, rows)
	}
	return sets, r, nil
}

// one reads a sheet of one set and returns it.
func one(t testing.TB, name, text string) *club.Set {
	t.Helper()
	sets, _, p := read(t, name, text, testOptions(t))
	if p != nil {
		t.Fatalf("%s: %v", name, p)
	}
	if len(sets) != 1 {
		t.Fatalf("%s: %d sets, want 1", name, len(sets))
	}
	return sets[0]
}

// inches is a length as the sheet's unit has it: 1 in = 25.4 mm, held in nanometres.
func inches(n float64) float64 { return n * 25.4e6 }

func amount(t testing.TB, c *club.Club, p catalogue.ID, want float64) {
	t.Helper()
	if got, ok := c.Amount(p); !ok || got != want {
		t.Errorf("%s: property %d is %v (%v), want %v", c.ID, p, got, ok, want)
	}
}
