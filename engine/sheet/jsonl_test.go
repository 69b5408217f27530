package sheet

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
)

// TestJSONLines reads what the same names and values give in a sheet with headings.
func TestJSONLines(t *testing.T) {
	s := one(t, "a.jsonl", `{"id": "d1", "club": "driver", "length (in)": 45.75, "by": "soled", "lie": "58 +/- 0.5 deg", "conforming": true, "mass": null}

{"kind": "iron", "number": 7, "length (in)": [37.5, "37 5/8"], "by": "soled", "length_in": null, "shaft": {"maker": "x"}}
{"id": 3, "club": "8i", "length": ["37 in", "37 1/4 in"], "by": "soled", "loft (deg)": 3.8e1}
`)
	if len(s.Refused) > 0 || s.Rows != 3 {
		t.Fatalf("%d rows, refused %+v", s.Rows, s.Refused)
	}
	d, i, e := s.Clubs[0], s.Clubs[1], s.Clubs[2]
	amount(t, d, catalogue.LengthID, inches(45.75))
	amount(t, d, catalogue.Lie, 58e6)
	amount(t, i, catalogue.LengthID, inches(37.5625))
	amount(t, i, catalogue.Number, 7)
	amount(t, e, catalogue.LengthID, inches(37.125))
	amount(t, e, catalogue.Loft, 38e6)
	if r := d.Reading(catalogue.Lie); r.Half != 0.5e6 {
		t.Errorf("half-width of the lie is %v", r.Half)
	}
	if len(i.Readings(catalogue.LengthID)) != 2 || d.Has(catalogue.MassID) {
		t.Errorf("readings %v, mass %v", i.Readings(catalogue.LengthID), d.Has(catalogue.MassID))
	}
	if got := fmt.Sprint(d.ID, " ", i.ID, " ", e.ID, " ", d.Row, i.Row, e.Row); got != "d1 iron 7 3 1 3 4" {
		t.Errorf("ids and rows are %s", got)
	}
}

// TestOddLines holds each odd line to its message. The line above it is good and stays so.
func TestOddLines(t *testing.T) {
	for _, c := range []struct{ line, column, message string }{
		{`7i, 37 in`, "", `the line is not an object; expected one club in braces, as in {"club": "7i", "length": "37 1/2 in", "by": "soled"}`},
		{`["7i"]`, "", `the line is not an object; expected one club in braces, as in {"club": "7i", "length": "37 1/2 in", "by": "soled"}`},
		{`{"club": "7i"`, "", `the line is not an object; expected one club in braces, as in {"club": "7i", "length": "37 1/2 in", "by": "soled"}`},
		{`{"club": "7i"} {"club": "8i"}`, "", `the line is not an object; expected one club in braces, as in {"club": "7i", "length": "37 1/2 in", "by": "soled"}`},
		{`{"club": "7i", "lie": 3..4}`, "", `the line is not an object; expected one club in braces, as in {"club": "7i", "length": "37 1/2 in", "by": "soled"}`},
		{"{\"club\": \"7i\xff\"}", "", "the line has a character that is not in UTF-8; save the sheet in UTF-8"},
		{`{"club": "` + strings.Repeat("x", cells.MaxRow) + `"}`, "", "the row is longer than 64 KiB; expected one club, and short notes"},
		{`{"set": "a", "club": "7i", "lie": "62 deg", "lie": "63 deg"}`, "lie", `the row has two values for "lie"; expected each name once`},
		{`{"set": "a", "club": "7i", "lie": "62 deg", "Lie (deg)": 63}`, "Lie (deg)", `the row has two values for "Lie (deg)"; expected each name once`},
		{`{"set": "a", "club": "7i", "lie": {"deg": 62}}`, "lie", `the value of "lie" is made up of other values; expected an angle, or a list of them in brackets`},
		{`{"set": "a", "club": "7i", "lie": [[62]]}`, "lie", `the value of "lie" is made up of other values; expected an angle, or a list of them in brackets`},
		{`{"set": "a", "club": ["7i"]}`, "club", `the value of "club" is made up of other values; expected a text`},
		{`{"set": "a", "club": "7i", "lie": 62}`, "lie", `"62" has no unit, and neither has the heading; expected an angle, as in 58 deg`},
		{`{"set": "a", "club": "7i", "lie (deg)": 1e-400}`, "lie (deg)", `"1e-400" is written with an exponent; expected plain digits`},
		{`{"set": "a", "club": "7i", "lie (deg)": -1e400}`, "lie (deg)", `"-1e400" is written with an exponent; expected plain digits`},
		{`{"set": "a", "club": "7i", "lie": true}`, "lie", `"true" is not a number; expected an angle, as in 58 deg`},
		{`{"set": "a", "club": "7i", "lie (deg)": [62, null]}`, "lie (deg)", `"62 |" has an empty place among its readings; expected readings separated by ; or |, as in 44 3/4 | 44 7/8`},
		{`{"set": "a", "club": "7i", "lie (in)": 62}`, "lie (in)", `the heading "lie (in)" has the unit in, which is a length, but lie is for an angle`},
		{`{"set": "a", "lie": "62 deg"}`, "club", "the cell is empty; expected a club, as in driver, 3w, 7i, PW or putter"},
		{`{"club": "7i"}`, "set", "the cell of the set is empty; expected the name of a set, as in the other rows"},
		{`{"set": "a\u0007", "club": "7i"}`, "set", "the name of the set has a character that cannot be printed; expected plain text in UTF-8"},
		{`{"set": ["a"], "club": "7i"}`, "set", `the value of "set" is made up of other values; expected a text`},
	} {
		s := one(t, "odd.jsonl", `{"set": "a", "id": "good", "club": "9i"}`+"\n"+c.line+"\n")
		if s.Rows != 1 || len(s.Refused) != 1 {
			t.Errorf("%.60s: %d rows read and %d refused, want 1 and 1", c.line, s.Rows, len(s.Refused))
			continue
		}
		if f := s.Refused[0]; f.Message != c.message || f.Column != c.column || f.Row.Row != 2 {
			t.Errorf("%.60s: row %d, %q: %s\nwant %q: %s", c.line, f.Row.Row, f.Column, f.Message, c.column, c.message)
		}
	}
}

func TestJSONWarnings(t *testing.T) {
	_, r, p := read(t, "w.jsonl", `{"club": "7i", "shaft": 1}`+"\n"+`{"club": "8i", "lofft": "3"}`+"\n"+`{"club": "9i", "lofft": "3"}`+"\n", testOptions(t))
	if p != nil {
		t.Fatal(p)
	}
	if w := r.Warnings(); len(w) != 1 || w[0].Row != 2 || w[0].Hint != "loft" {
		t.Errorf("warnings are %+v", w)
	}
}

// TestManyNames holds that a sheet cannot bring names without end.
func TestManyNames(t *testing.T) {
	var b strings.Builder
	for i := range 3000 {
		fmt.Fprintf(&b, "{\"club\": \"7i\", \"lie%s(deg)\": 62, \"unknown%d\": 1}\n", strings.Repeat(" ", i%1500), i)
	}
	sets, r, p := read(t, "n.jsonl", b.String(), testOptions(t))
	if p != nil {
		t.Fatal(p)
	}
	if n := len(r.head.columns); n > manyNames || sets[0].Rows < 900 || len(sets[0].Refused) == 0 {
		t.Errorf("%d columns, %d rows, %d refused", n, sets[0].Rows, len(sets[0].Refused))
	}
}
