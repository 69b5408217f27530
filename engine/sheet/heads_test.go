package sheet

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/lang/catalogue"
)

// TestProblems holds what keeps a sheet as a whole from being read.
func TestProblems(t *testing.T) {
	for _, c := range []struct {
		name, text string
		row        int
		column     string
		message    string
		hint       string
	}{
		{"a.csv", "", 0, "", "the sheet is empty; expected a row that names the columns, then one club a row", ""},
		{"a.csv", "\n\n,,\n", 0, "", "the sheet is empty; expected a row that names the columns, then one club a row", ""},
		{"a.csv", "club,lie\n", 1, "", "the sheet has no clubs; expected one club a row below the names of the columns", ""},
		{"a.csv", "\nclub,lie\n,\n", 2, "", "the sheet has no clubs; expected one club a row below the names of the columns", ""},
		{"a.csv", "id,clubb,lie\n1,7i,60 deg\n", 1, "clubb", "none of the first 20 rows names a column club (or kind); expected a row of headings, and a club in each row below it, as in driver, 3w, 7i or PW", "club"},
		{"a.csv", "7i,60 deg\n8i,61 deg\n", 1, "", `the first row is a club, "7i", not the names of the columns; expected names such as id, club, length, by above it`, ""},
		{"a.csv", "club,length (in)\n7i,37\n", 1, "length (in)", "the sheet has lengths but does not say how they were measured; expected the method in a column by, or --by METHOD for all of them", ""},
		{"a.csv", "club,length (in),by\n7i,37,\n8i,36,\n", 1, "length (in)", "the sheet has lengths but does not say how they were measured; expected the method in a column by, or --by METHOD for all of them", ""},
		{"a.csv", "club,lie,Lie\n7i,1,2\n", 1, "Lie", `the columns "lie" and "Lie" mean the same; expected each name once`, ""},
		{"a.csv", "club,lie,lie\n7i,1,2\n", 1, "lie", `the column "lie" is there twice; expected each name once`, ""},
		{"a.csv", "club,lie (in)\n7i,60\n", 1, "lie (in)", `the heading "lie (in)" has the unit in, which is a length, but lie is for an angle`, "lie (deg)"},
		{"a.csv", "club,length (furlong)\n7i,60\n", 1, "length (furlong)", `the heading "length (furlong)" has a unit that is not known, "furlong"; expected one such as in, mm, deg, g, oz or cpm`, ""},
		{"a.csv", "Player,Club,Customer\nelm,7i,oak\n", 1, "Customer", `the columns "Player" and "Customer" can both mean set; rename the one that does to set`, "set"},
		{"a.csv", strings.Repeat("title\n", 20) + "club\n7i\n", 1, "", "none of the first 20 rows names a column club (or kind); expected a row of headings, and a club in each row below it, as in driver, 3w, 7i or PW", ""},
		{"a.csv", "club,\"lie\n7i,60\n", 1, "", "a quotation mark in the first row is not closed; expected the names of the columns", ""},
		{"a.csv", strings.Repeat("club,", 20000) + "\n7i\n", 1, "", "the first row is longer than 64 KiB; expected the names of the columns", ""},
		{"a.csv", "PK\x03\x04 and more", 0, "", "the file is a spreadsheet or an archive, whatever its name says; expected text", ""},
		{"a.xlsx", "club,lie\n", 0, "", "the file is not an .xlsx spreadsheet, whatever its name says; expected one, or another ending", ""},
		{"a.ods", "club,lie\n", 0, "", "the file is not an .ods spreadsheet, whatever its name says; expected one, or another ending", ""},
		{"a.xlsx", "PK\x03\x04 and more", 0, "", "the spreadsheet is damaged; open it and save it again, or save it as CSV", ""},
		{"a.xlsx", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", 0, "", "the file is a spreadsheet of an old kind, or one with a password; expected .xlsx or .ods without a password, CSV or JSON Lines", ""},
		{"-", "c\x00l\x00u\x00b\x00", 0, "", "the file is not text; expected CSV, JSON Lines, .xlsx or .ods", ""},
		{"a.csv", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", 0, "", "the file is not text; expected CSV, JSON Lines, .xlsx or .ods", ""},
		{"a.csv", "\x7fELF\x02\x01\x01\x00" + strings.Repeat("\x00", 600), 0, "", "the file is not text; expected CSV, JSON Lines, .xlsx or .ods", ""},
		{"-", "\xff\xfec\x00l\x00u\x00b\x00", 0, "", "the text is in UTF-16; expected UTF-8 (save it as CSV in UTF-8)", ""},
		{"-", `[{"club": "7i"}]`, 1, "", "the file is a list in brackets; expected JSON Lines, which have one object a line and nothing between them", ""},
		{"a.jsonl", "\n", 0, "", "the sheet has no clubs; expected one club a row below the names of the columns", ""},
		{"a.jsonl", `{"club": "7i", "length": "37 in"}`, 0, "length", "the sheet has lengths but does not say how they were measured; expected the method in a column by, or --by METHOD for all of them", ""},
	} {
		_, _, p := read(t, c.name, c.text, testOptions(t))
		if p == nil {
			t.Errorf("%.40q is read, want %s", c.text, c.message)
			continue
		}
		if p.File != c.name || p.Row != c.row || p.Column != c.column || p.Message != c.message || p.Hint != c.hint {
			t.Errorf("%.40q: %s:%d %q %s (hint %q)\nwant %s:%d %q %s (hint %q)", c.text, p.File, p.Row, p.Column, p.Message, p.Hint, c.name, c.row, c.column, c.message, c.hint)
		}
	}
}

// TestHeadings holds the forms that a heading may have. Each is above 45.75 in, in its own unit.
func TestHeadings(t *testing.T) {
	for heading, cell := range map[string]string{
		"length (in)": "45.75", "Length [mm]": "1162.05", "LENGTH (IN)": "45.75", "length in": "45.75", "length_mm": "1162.05", "length-cm": "116.205",
		`"length, in"`: "45.75", " Length ( mm ) ": "1162.05", "length(in)": "45.75", "length (\"\")": "45.75", // in quotes below
	} {
		heading := heading
		if strings.Contains(heading, `""`) {
			heading = `"` + heading + `"`
		}
		s := one(t, "h.csv", "Club,By,"+heading+"\n7i,soled,"+cell+"\n")
		if len(s.Refused) > 0 {
			t.Errorf("%s: %s", heading, s.Refused[0].Message)
			continue
		}
		if got, _ := s.Clubs[0].Amount(catalogue.LengthID); got != inches(45.75) {
			t.Errorf("%s: %s is %v mm", heading, cell, got/1e6)
		}
	}
	for heading, want := range map[string]catalogue.ID{
		"grip-length (in)": catalogue.GripLength, "Grip Length (in)": catalogue.GripLength, "grip_length (in)": catalogue.GripLength,
		"Sw": catalogue.SwingWeightID, "Swing Wt.": catalogue.SwingWeightID, "CPM": catalogue.FrequencyID, "Freq (cpm)": catalogue.FrequencyID, "total_weight (oz)": catalogue.MassID, "WT. (g)": catalogue.MassID,
		"Balance Point (in)": catalogue.Balance, "Loft Angle (degrees)": catalogue.Loft, "lieangle (Deg)": catalogue.Lie, "Loft°": catalogue.Loft, "Lie °": catalogue.Lie, "Grip size (in)": catalogue.GripDiameter, "grip dia. in": catalogue.GripDiameter,
		"griplength (in)": catalogue.GripLength, "Swing weight (pts)": catalogue.SwingWeightID, "butt mass [g/in]": catalogue.ButtMass,
	} {
		_, r, p := read(t, "h.csv", "Club,"+heading+"\n7i,\n", testOptions(t))
		if p != nil || r.head.sheet.Headings[want] != heading || len(r.head.measured) != 1 {
			t.Errorf("%s does not give property %d: %v", heading, want, p)
		}
	}
}

// The other names of columns are those of common practice, as the contract of the sheet lists them.
func TestOtherNames(t *testing.T) {
	for heading, want := range map[string]func(*club.Set, *club.Club) string{
		"Bag":    func(s *club.Set, _ *club.Club) string { return s.Name },
		"PLAYER": func(s *club.Set, _ *club.Club) string { return s.Name }, "customer": func(s *club.Set, _ *club.Club) string { return s.Name },
		"golfer": func(s *club.Set, _ *club.Club) string { return s.Name }, "Set Name": func(s *club.Set, _ *club.Club) string { return s.Name },
		"Club ID": func(_ *club.Set, c *club.Club) string { return c.ID }, "tag": func(_ *club.Set, c *club.Club) string { return c.ID }, "Ref.": func(_ *club.Set, c *club.Club) string { return c.ID },
	} {
		s := one(t, "h.csv", heading+",Club Type\nelm,7i\n")
		if got := want(s, s.Clubs[0]); got != "elm" || s.Clubs[0].Kind != catalogue.Iron {
			t.Errorf("%s: %q", heading, got)
		}
	}
	s := one(t, "h.csv", "club name,RH/LH,len,Measured by,by,Measured on\n7i,LH,37 in,me,soled,2026-04-03\n")
	if hand, _ := s.Clubs[0].Text(catalogue.Hand); hand != "left" || s.Clubs[0].On != "2026-04-03" || s.Clubs[0].Method != "soled" {
		t.Errorf("%+v", s.Clubs[0])
	}
	amount(t, s.Clubs[0], catalogue.LengthID, inches(37))
	o := testOptions(t)
	if _, err := o.Schema.Declare(catalogue.Property{Name: "customer", Sort: catalogue.Text}); err != nil {
		t.Fatal(err)
	}
	sets, _, _ := read(t, "h.csv", "Customer,club\nelm,7i\noak,8i\n", o)
	if len(sets) != 1 || sets[0].Name != "" || len(sets[0].Clubs) != 2 {
		t.Errorf("a property of a book gives %d sets", len(sets))
	}
}

// TestUnused holds that no column is dropped in silence, and that a column's own name wins over its other names.
func TestUnused(t *testing.T) {
	for name, text := range map[string]string{
		"u.csv": "Harbour Links\nset,Player,club,len,length,lenght,note,Inspector,by,maker,Club maker\nelm,oak,7i,36 in,37 in,1,x,y,soled,z,z\n",
		"u.jsonl": `{"set":"elm","Player":"oak","club":"7i","len":"36 in","length":"37 in","lenght":1,"note":"x","Inspector":"y","by":"soled","maker":"z","Club maker":"z"}` + "\n" +
			`{"Player":"elm","club":"8i","len":"36 in","by":"soled"}`,
	} {
		sets, _, p := read(t, name, text, testOptions(t))
		if p != nil || len(sets) != 1 || sets[0].Name != "elm" {
			t.Fatalf("%s: %v %+v", name, p, sets)
		}
		amount(t, sets[0].Clubs[0], catalogue.LengthID, inches(37))
		got := ""
		for _, u := range sets[0].Unused {
			got += fmt.Sprintf("%s: %s, ", u.Column, u.Nearest)
		}
		if want := "Player: set, len: length, lenght: length, maker: , Club maker: , "; got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	if s := one(t, "u.csv", "Harbour Links\n\nFor,Birch\nset;club\nelm;7i\n"); s.Skipped != 2 {
		t.Errorf("%d rows are passed over", s.Skipped)
	}
}

// TestNameless holds that a column without a heading is not a column that is dropped in silence, if something is in it.
func TestNameless(t *testing.T) {
	for name, text := range map[string]string{
		"n.csv":  "club,,lie (deg),,\n7i,,62,,\n8i,,62,37 in,\n9i,,62,36 in,\n",
		"n.xlsx": workbook(t, nil, [][]any{{"club", nil, "lie (deg)"}, {"7i", nil, 62}, {"8i", nil, 62, 37}, {"9i", nil, 62, 36}}),
	} {
		if s := one(t, name, text); s.Rows != 3 || len(s.Unused) != 1 || s.Unused[0].Column != "D (no heading)" || s.Unused[0].Row.Row != 3 {
			t.Errorf("%s: %+v", name, s)
		}
	}
}

// TestTitles holds that rows above the headings are passed over, whatever is in them, and rows keep their numbers.
func TestTitles(t *testing.T) {
	for _, title := range []string{"Spring bags", "a,b,c,d,e", "\n\n\n", "\"one, \nline", "customer: Birch;;;", `"it's said ""so"""`, strings.Repeat("x\n", 17) + "x"} {
		s := one(t, "t.csv", title+"\nset;club;lie (deg)\nelm;7i;62,5\nelm;8i;63,5\n")
		amount(t, s.Clubs[1], catalogue.Lie, 63.5e6)
		if want := strings.Count(strings.TrimSuffix(title, "\n"), "\n") + 4; strings.HasSuffix(title, "\n") == false && s.Clubs[1].Row != want {
			t.Errorf("%q: row %d, want %d", title, s.Clubs[1].Row, want)
		}
	}
	text := workbook(t, nil, [][]any{{"Spring bags", nil, 2026.5}, nil, {"for", "Birch", "#N/A"}, {"Set", "Club", "Lie (deg)"}, {"elm", "7i", 62.5}})
	if s := one(t, "t.xlsx", text); s.Rows != 1 || s.Name != "elm" || s.Clubs[0].Row != 5 {
		t.Errorf("%+v", s)
	}
}

func TestWarnings(t *testing.T) {
	_, r, p := read(t, "w.csv", "club,lenght (in),shaft,note,who,lofft\n7i,37,x,y,z,30\n", testOptions(t))
	if p != nil {
		t.Fatal(p)
	}
	got := r.Warnings()
	if len(got) != 2 || got[0].Hint != "length" || got[1].Hint != "loft" || got[0].Row != 1 || got[0].Column != "lenght (in)" ||
		got[0].Message != `the column "lenght (in)" is not known and was not used; did you mean length?` {
		t.Errorf("warnings are %+v", got)
	}
}

// TestDividers holds that the mark between cells, the decimal comma, the line ends and the byte order mark are found out.
func TestDividers(t *testing.T) {
	for name, text := range map[string]string{
		"commas":         "id,club,length (cm),by,lie (deg)\n1,7i,95.25,soled,62.5\n",
		"semicolons":     "id;club;length (cm);by;lie (deg)\n1;7i;95,25;soled;62,5\n",
		"tabs":           "id\tclub\tlength (cm)\tby\tlie (deg)\n1\t7i\t95,25\tsoled\t62.5\n",
		"mark and CRLF":  "\ufeffid;club;length (cm);by;lie (deg)\r\n1;7i;95,25;soled;62,5\r\n",
		"CR alone":       "id;club;length (cm);by;lie (deg)\r1;7i;95,25;soled;62,5\r",
		"no last end":    "id,club,length (cm),by,lie (deg)\n1,7i,95.25,soled,62.5",
		"quotes":         "\"id\",\"club\",\"length (cm)\",\"by\",\"lie (deg)\"\n\"1\", \"7i\" ,\"95.25\",\"soled\",\"62.5\"\n",
		"a comma within": "id;club;length, cm;by;lie (deg)\n1;7i;95,25;soled;62,5\n",
	} {
		c := one(t, "-", text).Clubs[0]
		amount(t, c, catalogue.LengthID, 952.5e6)
		amount(t, c, catalogue.Lie, 62.5e6)
		if c.ID != "1" || c.Kind != catalogue.Iron || c.Method != "soled" {
			t.Errorf("%s: %+v", name, c)
		}
	}
}

// TestRows holds the account of rows that are blank, short, long, or have quotes that go wrong: the number of each
// refused row, and its message.
func TestRows(t *testing.T) {
	const head = "id,club,note,length,by\n"
	long := strings.Repeat("x", cells.MaxRow+1)
	for _, c := range []struct {
		name, text string
		rows       int
		refused    map[int]string
	}{
		{"blank rows", head + "\n1,7i,,37 in,soled\n,,,,\n  \n2,8i,,36 in,soled\n\n", 2, nil},
		{"too few", head + "1,7i,37 in,soled\n2,8i,,36 in,soled\n", 1, map[int]string{2: "the row has 4 cells, the headings 5; expected as many, the empty ones too"}},
		{"too many", head + "1,7i,a,b,37 in,soled\n2,8i,,36 in,soled,,\n", 1,
			map[int]string{2: "the row has 6 cells, the headings 5; expected as many as there are headings, and quotation marks around a cell that has the separator in it"}},
		{"inch marks", head + "1,7i,,37-1/2\",soled\n2,8i,\"said \"\"long\"\", then cut\",\"36 1/2\"\"\",soled\n", 2, nil},
		{"a note of two lines", head + "1,7i,\"first\nsecond\",37 in,soled\n2,8q,,36 in,soled\n", 1, map[int]string{3: `"8q" is not a club; expected one as in driver, 3w, 5h, 7i, PW or putter`}},
		{"no end", head + "1,7i,\"oops,37 in,soled\n2,8i,,36 in,soled\n3,9i,,35 in,soled\n", 2,
			map[int]string{2: `a cell starts with a quotation mark but does not end with one; expected one at its end, or none at its start (45-3/4" for inches is fine)`}},
		{"no end but another start", head + "1,7i,\"oops,37 in,soled\n2,8i,\"fine\",36 in,soled\n", 1,
			map[int]string{2: "there is text after the closing quotation mark of a cell; expected the mark at the cell's end, and two of them for one inside"}},
		{"no end but inches further down", head + "1,7i,\"oops,37 in,soled\n2,8i,,36\",soled\n3,9i,,35\",soled\n", 2,
			map[int]string{2: `a cell starts with a quotation mark but does not end with one; expected one at its end, or none at its start (45-3/4" for inches is fine)`}},
		{"text behind", head + "1,7i,\"a\"b,37 in,soled\n2,8i,,36 in,soled\n", 1,
			map[int]string{2: "there is text after the closing quotation mark of a cell; expected the mark at the cell's end, and two of them for one inside"}},
		{"too long", head + "1,7i," + long + ",37 in,soled\n2,8i,,36 in,soled\n", 1, map[int]string{2: "the row is longer than 64 KiB; expected one club, and short notes"}},
		{"far too long", head + "1,7i," + strings.Repeat(long, 20) + ",37 in,soled\n2,8i,,36 in,soled\n", 1, map[int]string{2: "the row is longer than 64 KiB; expected one club, and short notes"}},
		{"too long in quotes", head + "1,7i,\"" + strings.Repeat("x\n", cells.MaxRow/2) + "\",37 in,soled\n", 0, nil},
	} {
		sets, r, p := read(t, "r.csv", c.text, testOptions(t))
		if p != nil {
			t.Fatalf("%s: %v", c.name, p)
		}
		rows, refused := 0, map[int]string{}
		for _, s := range sets {
			rows += s.Rows
			for _, f := range s.Refused {
				refused[f.Row.Row] = f.Message
			}
		}
		if c.refused == nil && c.rows == 0 {
			if r.rowsRead < cells.MaxRow/2 || rows > 0 {
				t.Errorf("%s: %d rows read, %d clubs", c.name, r.rowsRead, rows)
			}
			continue
		}
		if rows != c.rows || len(refused) != len(c.refused) {
			t.Errorf("%s: %d clubs, want %d; refused %v", c.name, rows, c.rows, refused)
		}
		for row, want := range c.refused {
			if refused[row] != want {
				t.Errorf("%s: row %d: %s\nwant %s", c.name, row, refused[row], want)
			}
		}
	}
}

// TestRefusedClubs holds what is still known of a refused row, and that nothing wrong is.
func TestRefusedClubs(t *testing.T) {
	s := one(t, "r.csv", "id,club,length,by,lie\n1,7i,nope,soled,62 deg\n2,8i,37 in,soled\n3,9i,36 in,sold,63 deg\n4,driver,45 in,soled,58 deg,7\n5,7i,,,0 deg\n")
	if s.Rows != 0 || len(s.Refused) != 5 {
		t.Fatalf("%d rows, refused %+v", s.Rows, s.Refused)
	}
	for i, want := range []struct {
		kind             catalogue.Kind
		length, lie, num bool
	}{{catalogue.Iron, false, true, true}, {catalogue.Iron, false, false, true}, {catalogue.Iron, false, true, true}, {catalogue.Driver, false, false, true}, {catalogue.Iron, false, false, true}} {
		c := s.Refused[i].Club
		if c.Kind != want.kind || c.Has(catalogue.LengthID) != want.length || c.Has(catalogue.Lie) != want.lie || c.Has(catalogue.Number) != want.num {
			t.Errorf("row %d: kind %v, length %v, lie %v, number %v", c.Row, c.Kind, c.Has(catalogue.LengthID), c.Has(catalogue.Lie), c.Has(catalogue.Number))
		}
	}
	s = one(t, "r.csv", "set,club,lie,loft,on\nelm,7i,x,y,z\nelm,8i,62,30 deg,\nelm,9i,63,31,\nelm,6i,-61,30; no,\n")
	got := ""
	for _, f := range club.Cells(s.Refused) {
		got += fmt.Sprintf("%d %s %s %v: %s (%s)\n", f.Row.Row, f.Column, f.Read, f.Club != nil, f.Message, f.Hint)
	}
	if want := `2 lie x true: "x" is not a number; expected an angle, as in 58 deg ()
2 loft y true: "y" is not a number; expected an angle, as in 58 deg ()
3 lie 62 true: "62" has no unit, and neither has the heading; expected an angle, as in 58 deg (lie (deg) in the heading)
4 lie 63 true: "63" has no unit, and neither has the heading; expected an angle, as in 58 deg ()
4 loft 31 true: "31" has no unit, and neither has the heading; expected an angle, as in 58 deg (loft (deg) in the heading)
5 lie -61 true: "-61" cannot be the lie of a club; expected an angle above zero ()
5 loft 30; no true: reading 2 of 2: "no" is not a number; expected an angle, as in 58 deg ()
`; got != want {
		t.Errorf("bad cells:\n%s", got)
	}
	if len(s.NotRead) != 1 || s.NotRead[0].Column != "on" || s.NotRead[0].Row.Row != 2 {
		t.Errorf("not read: %+v", s.NotRead)
	}
}

// TestUnasked holds that a bad cell refuses its row only where something asks for it.
func TestUnasked(t *testing.T) {
	const head, bad = "set,id,club,number,length (in),by,lie (deg),on,made\n", "elm,a,7i,7,37,soled,x,2/5/2026,y\n"
	for _, c := range []struct {
		asked   string // a property
		row     string
		refused string // columns
		notRead string
	}{
		{"loft", bad, "", "lie (deg) on made "},
		{"lie", bad, "lie (deg) ", "on made "},
		{"made", bad, "made ", "lie (deg) on "},
		{"loft", "elm,a,7i,7,x,plane,62,,\n", "", "length (in) by "},
		{"length", "elm,a,7i,7,x,plane,62,,\n", "length (in) by ", ""},
		{"loft", "elm,a,7i,x,37,soled,62,,\n", "number ", ""},
		{"loft", "elm,a,7q,7,37,soled,x,,\n", "club ", "lie (deg) "},
		{"loft", "elm,a,8i,7,37,soled,62,,\n", "number ", ""},
		{"loft", "#N/A,a,7i,7,37,soled,62,,y\n", "set ", "made "},
		{"loft", "elm,#N/A,7i,7,37,soled,62,,\n", "id ", ""},
	} {
		o := testOptions(t)
		o.Asked = func(id catalogue.ID) bool { return o.Schema.Property(id).Name == c.asked }
		sets, _, p := read(t, "u.csv", head+c.row, o)
		if p != nil || len(sets) != 1 {
			t.Fatal(p, sets)
		}
		columns := func(rows []club.Refusal) (out string) {
			for _, f := range club.Cells(rows) {
				out += f.Column + " "
			}
			return out
		}
		if refused, notRead := columns(sets[0].Refused), columns(sets[0].NotRead); refused != c.refused || notRead != c.notRead {
			t.Errorf("%s %s: refused %q, not read %q", c.asked, c.row, refused, notRead)
		}
		for _, club := range sets[0].Clubs {
			if id := catalogue.Lie; strings.Contains(c.row, ",x,2") && (club.Has(id) || club.Empty(id)) {
				t.Error("a cell that was not read counts as one that is empty, or has a value")
			}
		}
	}
}

// TestBrokenReader holds that a sheet which cannot be read to its end says so.
func TestBrokenReader(t *testing.T) {
	broken := errors.New("the disk was pulled out")
	for _, ending := range []string{"csv", "jsonl", "xlsx"} {
		if _, p := Open("a."+ending, iotest.ErrReader(broken), testOptions(t)); p == nil || !strings.Contains(p.Message, broken.Error()) {
			t.Errorf("%s: %v", ending, p)
		}
	}
	_, p := Open("a.csv", io.MultiReader(strings.NewReader(string(bigSheet(60_000, false))), iotest.ErrReader(broken)), testOptions(t))
	if p == nil || p.File != "a.csv" || p.Row != 60_002 || !strings.Contains(p.Message, broken.Error()) {
		t.Errorf("a sheet that breaks off gives %v", p)
	}
}

// A heading may cut a unit short with a full stop, as a cell may.
func TestUnitOfAHeading(t *testing.T) {
	for _, heading := range []string{"length (in)", "length (in.)", "length [inches]", "LENGTH (IN.)"} {
		sets, _, p := read(t, "a.csv", "club,by,"+heading+"\n7i,soled,37\n", testOptions(t))
		if p != nil || len(sets) != 1 || len(sets[0].Clubs) != 1 {
			t.Fatalf("%s: %v", heading, p)
		}
		if n, ok := sets[0].Clubs[0].Amount(catalogue.LengthID); !ok || n != 37*25.4e6 {
			t.Errorf("%s: %v", heading, n)
		}
	}
}
