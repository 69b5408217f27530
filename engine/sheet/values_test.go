package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
)

// oddColumns are the headings of the sheet in which odd cells stand.
const oddColumns = "set,id,club,length,by,lie,loft (deg),mass (g),on,made,conforming,hand,grip-model,share,setting,number,mark,swingweight,old-length,note"

// oddRow is a good row of such a sheet, but for one cell.
func oddRow(column, cell string) string {
	good := map[string]string{"set": "a", "club": "7i", "length": "37 1/2 in", "by": "soled", "lie": "62 deg", column: cell}
	var cells []string
	for _, h := range strings.Split(oddColumns, ",") {
		name, _, _ := strings.Cut(h, " ")
		cells = append(cells, good[name])
	}
	return strings.Join(cells, ",") + "\n"
}

// TestOddCells holds each odd cell to its message and its hint. The row above it is good and stays so.
func TestOddCells(t *testing.T) {
	for _, c := range []struct{ column, cell, message, hint string }{
		{"length", "fourty", "\"fourty\" is not a number; expected a length, as in 45 3/4 in", ""},
		{"length", "37.5", "\"37.5\" has no unit, and neither has the heading; expected a length, as in 45 3/4 in", "length (in) in the heading"},
		{"length", "37.5 deg", "\"37.5 deg\" is an angle, but the column is for a length; expected a length, as in 45 3/4 in", ""},
		{"length", "-3 in", "\"-3 in\" cannot be the length of a club; expected a length above zero", ""},
		{"length", "0 in", "\"0 in\" cannot be the length of a club; expected a length above zero", ""},
		{"by", "", "a length without a method; expected the method in the column by of its row", ""},
		{"by", "solde", "\"solde\" is not a method that the rule books know; expected one of axis, plane-60, soled, wall", "soled"},
		{"length", "3-Apr", "\"3-Apr\" is a date, but the column is for a length. A spreadsheet makes a date of a fraction such as 3/4: set the column to text and type it again", "3/4"},
		{"length", "2026-04-03", "\"2026-04-03\" is a date, but the column is for a length. A spreadsheet makes a date of a fraction such as 3/4: set the column to text and type it again", "3/4"},
		{"length", "16-Mar", "\"16-Mar\" is a date, but the column is for a length. A spreadsheet makes a date of a fraction such as 3/4: set the column to text and type it again", "3/16"},
		{"length", "3.4.2026", "\"3.4.2026\" is a date, but the column is for a length. A spreadsheet makes a date of a fraction such as 3/4: set the column to text and type it again", "3/4"},
		{"lie", "62 %", "\"62 %\" is a percentage, but the column is for an angle; expected an angle, as in 58 deg", ""},
		{"length", "#REF!", "\"#REF!\" is a spreadsheet's own error, not a value; expected the value (mend the formula of the cell)", ""},
		{"length", "#N/A", "\"#N/A\" is a spreadsheet's own error, not a value; expected the value (mend the formula of the cell)", ""},
		{"length", "=A1+2", "\"=A1+2\" is a formula without its value; expected the value (calculate the sheet, then save it again)", ""},
		{"length", "#####", "\"#####\" is what a spreadsheet shows in a column too narrow for its value; expected the value", ""},
		{"club", "", "the cell is empty; expected a club, as in driver, 3w, 7i, PW or putter", ""},
		{"club", "7x", "\"7x\" is not a club; expected one as in driver, 3w, 5h, 7i, PW or putter", ""},
		{"club", "iorn 7", "\"iorn 7\" is not a club; expected one as in driver, 3w, 5h, 7i, PW or putter", "7 iron"},
		{"club", "drivr", "\"drivr\" is not a club; expected one as in driver, 3w, 5h, 7i, PW or putter", "driver"},
		{"club", "7", "\"7\" does not say which kind of club it is; expected the kind beside the number, as in 7i, 3w or 5h", "7i"},
		{"club", "0i", "\"0i\" has no club's number; expected a whole number above zero, as in 7i", ""},
		{"club", "3 driver", "\"3 driver\" is not a club: a driver's number is 1; expected driver", "driver"},
		{"club", "pv", "\"pv\" is not a club; expected one as in driver, 3w, 5h, 7i, PW or putter", "PW"},
		{"club", "#REF!", "\"#REF!\" is a spreadsheet's own error, not a value; expected the value (mend the formula of the cell)", ""},
		{"club", "99999i", "\"99999i\" is not a club's number; expected a whole number above zero, as in 7", ""},
		{"club", "7i\a", "\"7i<U+0007>\" has a character that cannot be printed; expected plain text in UTF-8", ""},
		{"number", "-7", "\"-7\" is not a club's number; expected a whole number above zero, as in 7", ""},
		{"number", "7.5", "\"7.5\" is not a club's number; expected a whole number above zero, as in 7", ""},
		{"number", "1001", "\"1001\" is not a club's number; expected a whole number above zero, as in 7", ""},
		{"number", "8", "\"8\" is not the number of \"7i\"; expected 7 or an empty cell", "7"},
		{"length", "37 1/2 in | bad", "reading 2 of 2: \"bad\" is not a number; expected a length, as in 45 3/4 in", ""},
		{"length", "37 1/2 in || 37 in", "\"37 1/2 in || 37 in\" has an empty place among its readings; expected readings separated by ; or |, as in 44 3/4 | 44 7/8", ""},
		{"length", "37 in +/- 1/8 in | 37 in", "\"37 in +/- 1/8 in | 37 in\" has +/- after reading 1 of 2; expected it after the last one only, for the mean of them all", ""},
		{"mass", "0", "\"0\" cannot be the mass of a club; expected a mass above zero", ""},
		{"made", "3.4.2026", "\"3.4.2026\" may be 3 April or 4 March; expected year, month and day, as in 2026-04-18", ""},
		{"made", "0010-05-03", "\"0010-05-03\" is not a day; expected year, month and day, as in 2026-04-18, the year from 1900 on", ""},
		{"made", "31 Dec 1899", "\"31 Dec 1899\" is not a day; expected year, month and day, as in 2026-04-18, the year from 1900 on", ""},
		{"made", "yesterday", "\"yesterday\" is not a day; expected year, month and day, as in 2026-04-18, the year from 1900 on", ""},
		{"conforming", "maybe", "\"maybe\" does not belong here; expected yes or no", ""},
		{"hand", "middle", "\"middle\" does not belong here; expected left or right", ""},
		{"id", "a\x1b[31mb", "\"a<U+001B>[31mb\" has a character that cannot be printed; expected plain text in UTF-8", ""},
		{"grip-model", "\xff\xfe", "\"<byte FF><byte FE>\" has a character that is not in UTF-8; save the sheet as UTF-8 CSV", ""},
		{"lie", "59 \xb0", "\"59 <byte B0>\" has a character that is not in UTF-8; save the sheet as UTF-8 CSV", ""},
		{"club", "7i\xa0", "\"7i<byte A0>\" has a character that is not in UTF-8; save the sheet as UTF-8 CSV", ""},
		{"by", "sol\xe9", "\"sol<byte E9>\" has a character that is not in UTF-8; save the sheet as UTF-8 CSV", ""},
		{"hand", "\xe0 gauche", "\"<byte E0> gauche\" has a character that is not in UTF-8; save the sheet as UTF-8 CSV", ""},
		{"made", "18. M\xe4rz", "\"18. M<byte E4>rz\" has a character that is not in UTF-8; save the sheet as UTF-8 CSV", ""},
		{"set", "M\xfcller", "\"M<byte FC>ller\" has a character that is not in UTF-8; save the sheet as UTF-8 CSV", ""},
		{"lie", "59\x00 deg", "\"59<U+0000> deg\" has a character that cannot be printed; expected a number and its unit", ""},
		{"swingweight", "2", "\"2\" has no unit, and neither has the heading; expected a swing weight, as in D2", ""}, // 2 pts is A2
		{"swingweight", "D12", "\"D12\" is not a swing weight: ten points make the next letter; expected a letter A to G and points below ten, as in D2 or C9.5", "E2"},
		{"set", "", "the cell of the set is empty; expected the name of a set, as in the other rows", ""},
		{"set", "\x01", "the name of the set has a character that cannot be printed; expected plain text in UTF-8", ""},
	} {
		s := one(t, "odd.csv", oddColumns+"\n"+oddRow("", "")+oddRow(c.column, c.cell))
		if s.Rows != 1 || len(s.Refused) != 1 {
			t.Errorf("%s %q: %d rows read and %d refused, want 1 and 1", c.column, c.cell, s.Rows, len(s.Refused))
			continue
		}
		f := s.Refused[0]
		if c.column != "by" && utf8.ValidString(c.cell) && f.Read != c.cell {
			t.Errorf("%s %q: read %q", c.column, c.cell, f.Read)
		}
		if f.Message != c.message || f.Hint != c.hint || f.Row.Row != 3 || f.Row.File != "odd.csv" {
			t.Errorf("%s %q: row %d: %s (hint %q)\nwant %s (hint %q)", c.column, c.cell, f.Row.Row, f.Message, f.Hint, c.message, c.hint)
		}
		if c.column != "by" && !strings.HasPrefix(f.Column, c.column) { // a length without a method is a fault of the length
			t.Errorf("%s %q: the fault is laid on the column %q", c.column, c.cell, f.Column)
		}
		if f.AnySet != (c.column == "set") {
			t.Errorf("%s %q: AnySet is %v", c.column, c.cell, f.AnySet)
		}
	}
}

// TestGoodCells holds unusual cells that are right.
func TestGoodCells(t *testing.T) {
	for _, c := range []struct {
		column, cell string
		property     catalogue.ID
		want         float64
	}{
		{"length", "44 3/4 in", catalogue.LengthID, inches(44.75)},
		{"length", "44-3/4\"", catalogue.LengthID, inches(44.75)},
		{"length", "44¾ in", catalogue.LengthID, inches(44.75)},
		{"length", "3' 8 3/4\"", catalogue.LengthID, inches(44.75)},
		{"length", "1136.65 mm", catalogue.LengthID, inches(44.75)},
		{"length", "44 3/4 | 44 7/8 in", catalogue.LengthID, inches(44.8125)},
		{"length", "44 3/4 in; 44 7/8 in", catalogue.LengthID, inches(44.8125)},
		{"length", "44\u00a03/4\u202fin", catalogue.LengthID, inches(44.75)},
		{"length", "44\u20073/4 | 44\u00a07/8\u00a0in", catalogue.LengthID, inches(44.8125)},
		{"by", "Plane\u00a060", catalogue.LengthID, inches(37.5)},
		{"club", "7\u00a0iron", catalogue.LengthID, inches(37.5)},
		{"by", "Plane 60", catalogue.LengthID, inches(37.5)},
		{"lie", "61 +/- 0.5 deg", catalogue.Lie, 61e6},
		{"loft", "-4", catalogue.Loft, -4e6},
		{"mass", "14 oz", catalogue.MassID, 14 * 28.349523125e9}, // NIST SP 811: 1 oz = 28.349523125 g
		{"swingweight", "D2", catalogue.SwingWeightID, 32},
	} {
		s := one(t, "good.csv", oddColumns+"\n"+oddRow(c.column, c.cell))
		if len(s.Refused) > 0 {
			t.Errorf("%s %q: %s", c.column, c.cell, s.Refused[0].Message)
			continue
		}
		amount(t, s.Clubs[0], c.property, c.want)
	}
}

// TestSlips holds what no club can have and what few have: the row is read, and what cannot be is not there.
func TestSlips(t *testing.T) {
	s := one(t, "s.csv", "club,length (mm),by,lie (deg),loft (deg),mass (g)\n"+
		"driver,1.143,soled,58,10,310\n7i,46115,soled,200,-30,79\n7i,940 | 94.0 | 940,soled,62,30,400\n7i,940,soled,62,30,149\ndriver,1168.4 +/- 1270,soled,58,10,310\n")
	var got []string
	for _, c := range s.Clubs {
		for _, d := range c.Doubts() {
			got = append(got, fmt.Sprintf("%d %s %q: %s, %v", d.Row.Row, d.Column, d.Read, d.Message, d.Slip && !c.Has(d.Of)))
		}
	}
	want := []string{
		`2 length (mm) "1.143": 0.045 in cannot be the length of a driver, which is 10 to 72 in, true`,
		`3 length (mm) "46115": 1815.551 in cannot be the length of an iron, which is 10 to 72 in, true`,
		`3 lie (deg) "200": 200 deg cannot be the lie of an iron, which is 20 to 90 deg, true`,
		`3 loft (deg) "-30": -30 deg cannot be the loft of an iron, which is -20 to 90 deg, true`,
		`3 mass (g) "79": 79 g cannot be the mass of an iron, which is 80 to 2000 g, true`,
		`4 length (mm) "940 | 94.0 | 940": 94 mm cannot be the length of an iron, which is 10 to 72 in, true`,
		`5 mass (g) "149": 149 g is unusual for the mass of an iron, which is mostly 150 to 700 g, false`,
		`6 length (mm) "1168.4 +/- 1270": +/- 50 in is too wide for the length of a driver, which is 10 to 72 in, true`,
	}
	if s.Rows != 5 || !slices.Equal(got, want) {
		t.Errorf("%d rows\n%s\nwant\n%s", s.Rows, strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestReadings(t *testing.T) {
	s := one(t, "r.csv", "club,by,length (in)\n7i,soled,37 1/2 | 37 5/8 | 37 1/2 +/- 1/16\n8i,soled,37 +/- 1/8\n9i,soled,36.5\n")
	r := s.Clubs[0].Reading(catalogue.LengthID)
	if len(r.Values) != 3 || r.Values[1] != inches(37.625) || !r.HasHalf || r.Half != inches(0.0625) {
		t.Errorf("repeats give %+v", r)
	}
	if r := s.Clubs[1].Reading(catalogue.LengthID); r.Values != nil || r.Half != inches(0.125) {
		t.Errorf("one reading with a half-width gives %+v", r)
	}
	if got := s.Clubs[2].Readings(catalogue.LengthID); len(got) != 1 || got[0] != inches(36.5) {
		t.Errorf("one reading gives %v", got)
	}
}

func TestTextsAndDays(t *testing.T) {
	s := one(t, "t.csv", "club,made,conforming,grip-model,hand,on,mark\nPW,1970-01-11,Y,Corded,L,2026-04-18,\n7i,,0,,RH,,x9\n")
	c := s.Clubs[0]
	made, _ := testOptions(t).Schema.Lookup("made")
	amount(t, c, made.ID, 10)
	amount(t, c, made.ID+1, 1)
	amount(t, s.Clubs[1], made.ID+1, 0)
	for _, want := range []struct {
		c    *club.Club
		p    catalogue.ID
		text string
	}{{c, made.ID + 2, "Corded"}, {c, catalogue.Hand, "left"}, {s.Clubs[1], catalogue.Hand, "right"}, {c, catalogue.Mark, "PW"}, {s.Clubs[1], catalogue.Mark, "X9"}} {
		if got, _ := want.c.Text(want.p); got != want.text {
			t.Errorf("%s: property %d is %q, want %q", want.c.ID, want.p, got, want.text)
		}
	}
	if c.On != "2026-04-18" || s.Clubs[1].On != "" {
		t.Errorf("on is %q and %q", c.On, s.Clubs[1].On)
	}
}

// TestClubNames reads clubs as benches write them.
func TestClubNames(t *testing.T) {
	for _, c := range []struct {
		cell   string
		kind   catalogue.Kind
		number int
		mark   string
	}{
		{"driver", catalogue.Driver, 1, ""}, {"Driver", catalogue.Driver, 1, ""}, {"D", catalogue.Driver, 1, ""}, {"1w", catalogue.Driver, 1, ""},
		{"1 wood", catalogue.Driver, 1, ""}, {"drivers", catalogue.Driver, 1, ""},
		{"3w", catalogue.Fairway, 3, ""}, {"3W", catalogue.Fairway, 3, ""}, {"3 wood", catalogue.Fairway, 3, ""}, {"fairway 3", catalogue.Fairway, 3, ""},
		{"3-wood", catalogue.Fairway, 3, ""}, {"wood 5", catalogue.Fairway, 5, ""}, {"fairway", catalogue.Fairway, 0, ""},
		{"5h", catalogue.Hybrid, 5, ""}, {"hybrid 4", catalogue.Hybrid, 4, ""},
		{"7i", catalogue.Iron, 7, ""}, {"7 iron", catalogue.Iron, 7, ""}, {"iron 7", catalogue.Iron, 7, ""}, {"i7", catalogue.Iron, 7, ""}, {"7-Iron", catalogue.Iron, 7, ""}, {"Irons 10", catalogue.Iron, 10, ""},
		{"PW", catalogue.Wedge, 0, "PW"}, {"pw", catalogue.Wedge, 0, "PW"}, {"wedge PW", catalogue.Wedge, 0, "PW"}, {"SW", catalogue.Wedge, 0, "SW"}, {"lob wedge", catalogue.Wedge, 0, "LW"},
		{"wedge", catalogue.Wedge, 0, ""}, {"52 deg wedge", catalogue.Wedge, 0, "52"}, {"52°", catalogue.Wedge, 0, "52"}, {"wedge 56", catalogue.Wedge, 0, "56"}, {"56 wedge", catalogue.Wedge, 0, "56"},
		{"putter", catalogue.Putter, 0, ""}, {"chipper", catalogue.Chipper, 0, ""},
	} {
		n := nameOf(c.cell)
		if n.fault != nil || n.kind != c.kind || n.number != c.number || n.mark != c.mark {
			t.Errorf("%q is %v %d %q (%v), want %v %d %q", c.cell, n.kind, n.number, n.mark, n.fault, c.kind, c.number, c.mark)
		}
	}
	// As the trade writes them; a number by itself is a loft, of which few wedges have less than 40 or more than 75 degrees.
	for cell, want := range map[string]string{"FW 3": "fairway 3 ", "fw3": "fairway 3 ", "3 fairway wood": "fairway 3 ", "Fairway Wood 5": "fairway 5 ", "fairway wood": "fairway 0 ",
		"4 rescue": "hybrid 4 ", "Rescue 3": "hybrid 3 ", "3-hybrid": "hybrid 3 ", "4hy": "hybrid 4 ", "60": "wedge 0 60", "60°": "wedge 0 60", "LW 60": "wedge 0 LW", "60 LW": "wedge 0 LW",
		"SW 56": "wedge 0 SW", "PW46°": "wedge 0 PW", "56.12": "wedge 0 56.12", "52.08 wedge": "wedge 0 52.08", "Lob": "wedge 0 LW", "Sand": "wedge 0 SW", "pitching wedge": "wedge 0 PW", "P wedge": "wedge 0 PW", "S-Wedge 56": "wedge 0 SW", "sand wedge 56°": "wedge 0 SW",
		"wedge UW": "wedge 0 UW", "40": "wedge 0 40", "75": "wedge 0 75"} {
		if n := nameOf(cell); n.fault != nil || fmt.Sprintf("%v %d %s", n.kind, n.number, n.mark) != want {
			t.Errorf("%q is %v %d %q (%v), want %s", cell, n.kind, n.number, n.mark, n.fault, want)
		}
	}
	for _, cell := range []string{"P", "7", "39", "76", "39.5", "7.12", "56.12.3", "56.", ".56", "LW 6", "LW SW", "3 wood 15", "3 fairway iron", "w", "i", "7i 8i", "driver 2", "putter 3", "7.5i", "-7i", "seven iron", "wedges PW SW", "°", "deg 52 x y z"} {
		if n := nameOf(cell); n.fault == nil {
			t.Errorf("%q is taken for %v %d %q", cell, n.kind, n.number, n.mark)
		}
	}
}

// TestKindAndNumber reads clubs that are named in two columns.
func TestKindAndNumber(t *testing.T) {
	s := one(t, "k.csv", "kind,number,mark\nirons,7,\nDriver,,\nwedge,,pw\niron,7,\n")
	var ids []string
	for _, c := range s.Clubs {
		ids = append(ids, c.ID+"/"+c.Kind.String())
	}
	if got, want := strings.Join(ids, ", "), "iron 7/iron, Driver/driver, wedge PW/wedge, iron 7 (2)/iron"; got != want {
		t.Errorf("clubs are %s, want %s", got, want)
	}
	amount(t, s.Clubs[0], catalogue.Number, 7)
	amount(t, s.Clubs[1], catalogue.Number, 1)
	s = one(t, "k.csv", "club,kind,number\n7i,iron,7\n8i,wedge,\n3,iron,\n")
	if s.Rows != 1 || s.Refused[0].Message != `"wedge" is another kind than the club "8i"; expected iron` || s.Refused[1].Column != "club" {
		t.Errorf("clubs and kinds that differ: %d rows, %+v", s.Rows, s.Refused)
	}
}

// TestMethods holds what a row's method must be.
func TestMethods(t *testing.T) {
	s := one(t, "m.csv", "club,length (in),by\nputter,35,plane-60\n7i,37,soled\n8i,,soled\n9i,36,\n")
	if s.Rows != 2 || s.Refused[0].Message != "the method plane-60 does not cover a putter; expected a length by a method that covers the club" || s.Refused[0].Column != "length (in)" ||
		s.Refused[1].Row.Row != 5 {
		t.Errorf("%d rows, refused %+v", s.Rows, s.Refused)
	}
	if s.Clubs[0].Method != "soled" || s.Clubs[1].Method != "" {
		t.Errorf("methods are %q and, without a length, %q", s.Clubs[0].Method, s.Clubs[1].Method)
	}
	o := testOptions(t)
	o.By = "Soled"
	sets, _, p := read(t, "m.csv", "club,length (in),by\nputter,35,axis\n7i,37,\n", o)
	if p != nil || len(sets) != 1 || sets[0].Clubs[0].Method != "axis" || sets[0].Clubs[1].Method != "soled" {
		t.Errorf("with --by: %v, %+v", p, sets)
	}
	o.By = "wal"
	if _, _, p = read(t, "m.csv", "club,length (in)\n7i,37\n", o); p == nil || p.Hint != "wall" {
		t.Errorf("--by wal gives %v", p)
	}
}

// TestNotMeasured holds what a bench writes for a measurement that was not taken: nothing is read, and no row is refused.
// A default of a book serves an empty cell alone.
func TestNotMeasured(t *testing.T) {
	for _, cell := range []string{"", "null", "NULL", "n/a", "N/A", "na", "-", "–", "?"} {
		s := one(t, "n.csv", "id,club,length (in),by,lie,hand,made,conforming,grip-model,setting,on\n"+strings.Replace("a,7i,X,X,X,X,X,X,X,X,X\n", "X", cell, -1))
		if len(s.Refused) > 0 {
			t.Errorf("%q: %s", cell, s.Refused[0].Message)
			continue
		}
		c := s.Clubs[0]
		for id := catalogue.Hand; int(id) < testOptions(t).Schema.Len(); id++ {
			if c.Has(id) {
				t.Errorf("%q gives a value to property %d", cell, id)
			}
		}
		if empty := cell == "" || strings.EqualFold(cell, "null"); c.Empty(catalogue.Hand) != empty || c.Setting != "" || c.On != "" || c.Method != "" {
			t.Errorf("%q: empty %v, %+v", cell, c.Empty(catalogue.Hand), c)
		}
	}
	if s := one(t, "n.jsonl", `{"club":"7i","lie":null,"loft":"?"}`); len(s.Refused) > 0 || !s.Clubs[0].Empty(catalogue.Lie) || s.Clubs[0].Empty(catalogue.Loft) {
		t.Errorf("%+v", s)
	}
	sets, _, _ := read(t, "n.csv", "set,club\nelm,7i\n?,8i\n-,9i\n", testOptions(t))
	if len(sets) != 1 || len(sets[0].Refused) != 2 || sets[0].Refused[0].Column != "set" {
		t.Errorf("bags of which nobody knows the name: %+v", sets)
	}
}

// TestHands reads the hand of a club as people write it.
func TestHands(t *testing.T) {
	for cell, want := range map[string]string{"left": "left", "Left-handed": "left", "left handed": "left", "LH": "left", "lefty": "left", "L": "left", "Left hand": "left",
		"right": "right", "RH": "right", "Right-Handed": "right", "righty": "right", "r": "right"} {
		s := one(t, "h.csv", "club,hand\n7i,"+cell+"\n")
		if len(s.Clubs) != 1 {
			t.Errorf("%s: %s", cell, s.Refused[0].Message)
		} else if got, _ := s.Clubs[0].Text(catalogue.Hand); got != want {
			t.Errorf("%s is %s", cell, got)
		}
	}
}

// TestDays reads days as people write them. One in figures alone is read only where it can mean one day.
func TestDays(t *testing.T) {
	for _, cell := range []string{"2026-05-02", "2 May 2026", "May 2, 2026", "02 may 2026", "2 MAY 2026", "2. May 2026", "May 2 2026", "2-May-2026", "2026/05/02", "2026-05-02 14:30:00", "2026-05-02T14:30:00Z",
		"2026-05-02T14:30:00.000+02:00", "2 May 2026 9:05", "May 2, 2026 2:30 PM"} {
		s := one(t, "d.csv", "club,on,made\n7i,\""+cell+"\",\""+cell+"\"\n")
		made, _ := testOptions(t).Schema.Lookup("made")
		if len(s.Clubs) != 1 {
			t.Errorf("%s: %s", cell, s.Refused[0].Message)
		} else if days, _ := s.Clubs[0].Amount(made.ID); days != 20575 || s.Clubs[0].On != "2026-05-02" { // 56 years, 14 of them leap years, and 121 days
			t.Errorf("%s is %v days, on %s", cell, days, s.Clubs[0].On)
		}
	}
	for cell, want := range map[string]string{"13/5/2026": "2026-05-13", "5/13/2026": "2026-05-13", "13.5.2026": "2026-05-13", "5/5/2026": "2026-05-05", "2/5/2026": "", "02.05.2026": "", "12/12/26": "", "31/31/2026": "", "2026-13-01": "",
		"0/5/2026": "", "30 February 2026": "", "2 May": "", "2 May 26": "", "14:30": "", "46115": ""} {
		if got, f := dayOf(cell); f == nil && got.Format("2006-01-02") != want || f != nil && want != "" {
			t.Errorf("%s is %v, want %s (%v)", cell, got, want, f)
		}
	}
}
