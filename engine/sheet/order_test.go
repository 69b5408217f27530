package sheet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/club"
	"ferrule/engine/sheet"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// standards are what the charts of a shop may have: a 7 iron of 37 in soled, 62 deg lie, 34 deg loft and D2.
func standards(p catalogue.Property, c *club.Club) (float64, string, string) {
	switch p.ID {
	case catalogue.LengthID:
		return unit.Lookup("in").ToBase(37), "soled", ""
	case catalogue.Lie:
		return unit.Lookup("deg").ToBase(62), "", ""
	case catalogue.Loft:
		return unit.Lookup("deg").ToBase(34), "", ""
	case catalogue.SwingWeightID:
		return 32, "", ""
	}
	return 0, "", "no book has a chart of " + p.Name
}

// What a clubmaker writes on an order is off the standard as the trade means it (common practice): upright is more lie
// and flat less, a weak loft is more loft and a strong one less, over standard is longer.
func TestFiguresOffTheStandard(t *testing.T) {
	for _, c := range []struct {
		column, cell string
		want         float64 // in inches, degrees or points from A0
		by           string  // the method of a length
	}{
		{"length", "std", 37, "soled"},
		{"length", "Standard", 37, "soled"},
		{"length", "+1/2 in", 37.5, "soled"},
		{"length", "std +1/2 in", 37.5, "soled"},
		{"length (in)", "-1/4", 36.75, "soled"},
		{"length (in)", "+0.5", 37.5, "soled"},
		{"length", "1/2 in over", 37.5, "soled"},
		{"length", `3/4" short`, 36.25, "soled"},
		{"length (in)", "−1", 36, "soled"},
		{"length", "+12.7 mm", 37.5, "soled"},
		{"length", "37 3/4 in", 37.75, "wall"},
		{"lie", "2 deg up", 64, ""},
		{"lie", "2° upright", 64, ""},
		{"lie (deg)", "std 1 flat", 61, ""},
		{"lie", "1 deg FLAT", 61, ""},
		{"lie", "61.5 deg", 61.5, ""},
		{"loft", "1 deg weak", 35, ""},
		{"loft", "2 deg strong", 32, ""},
		{"loft (deg)", "-1", 33, ""},
		{"swing weight", "+1", 33, ""},
		{"swing weight", "std", 32, ""},
		{"swing weight", "D4", 34, ""},
	} {
		r, p := sheet.Open("order.csv", strings.NewReader("id,club,by,"+c.column+"\ni7,7 iron,,\""+strings.ReplaceAll(c.cell, `"`, `""`)+"\"\n"),
			sheet.Options{Schema: catalogue.NewSchema(), MethodNames: []string{"soled", "wall"}, Standard: standards, By: "wall"})
		if p != nil {
			t.Errorf("%s %q: %v", c.column, c.cell, p)
			continue
		}
		s, _ := r.Next()
		if len(s.Clubs) != 1 {
			t.Errorf("%s %q: %s", c.column, c.cell, s.Refused[0].Message)
			continue
		}
		k := s.Clubs[0]
		for _, id := range []catalogue.ID{catalogue.LengthID, catalogue.Lie, catalogue.Loft, catalogue.SwingWeightID} {
			q := k.Sheet.Headings[id]
			if q == "" {
				continue
			}
			u := map[catalogue.ID]string{catalogue.LengthID: "in", catalogue.SwingWeightID: "pts"}[id]
			if u == "" {
				u = "deg"
			}
			if got, ok := k.Amount(id); !ok || unit.Compare(got, unit.Lookup(u).ToBase(c.want)) != 0 || k.Method != c.by {
				t.Errorf("%s %q is %v %v by %q, want %v by %q", c.column, c.cell, got, ok, k.Method, c.want, c.by)
			}
		}
	}
}

// What is off a standard beyond what a club can have is no figure: a 7 iron of 37 in that is 30 in shorter.
func TestOffTheStandardBeyondAnyClub(t *testing.T) {
	r, p := sheet.Open("order.csv", strings.NewReader("club,length\n7 iron,-30 in\n"),
		sheet.Options{Schema: catalogue.NewSchema(), MethodNames: []string{"soled", "wall"}, Standard: standards})
	if p != nil {
		t.Fatal(p)
	}
	if s, _ := r.Next(); len(s.Clubs) != 1 || s.Clubs[0].Has(catalogue.LengthID) || s.Clubs[0].Slip(catalogue.LengthID) == "" {
		t.Errorf("it is read as %v", s.Clubs)
	}
}

// orderRow is a row of a sheet or of an order, as it is written.
type orderRow struct {
	set, id, setting string
	number           int
	bad              bool // a cell of it cannot be read
	row              int
}

// fill refuses the later of two rows of one id and setting.
func fill(rows []orderRow) []orderRow {
	seen := map[string]bool{}
	for i := range rows {
		r := &rows[i]
		r.row = i + 2
		if key := strings.ToLower(r.set + "/" + r.id + "/" + r.setting); r.id != "" {
			r.bad = r.bad || seen[key]
			seen[key] = true
		}
	}
	return rows
}

func sheetOf(rows []orderRow, club string) string {
	text := "set,id,club,setting,lie\n"
	for _, r := range rows {
		lie := "62 deg"
		if r.bad {
			lie = "steep"
		}
		text += fmt.Sprintf("%s,%s,"+club+",%s,%s\n", r.set, r.id, r.number, r.setting, lie)
	}
	return text
}

// rowsOf draws rows: of sets A and B or of none, each with ids on all of its rows or on none.
func rowsOf(t *rapid.T, name string) []orderRow {
	sets := rapid.SampledFrom([][]string{{""}, {"A"}, {"A", "B"}, {"C"}}).Draw(t, name+" sets")
	ids := map[string]bool{}
	for _, s := range sets {
		ids[s] = rapid.IntRange(0, 2).Draw(t, name+" ids") > 0
	}
	clubs := rapid.SliceOfN(rapid.IntRange(6, 8), 9, 9).Draw(t, name+" clubs") // of the ids of each set
	return fill(rapid.SliceOfN(rapid.Custom(func(t *rapid.T) orderRow {
		r := orderRow{set: rapid.SampledFrom(sets).Draw(t, "set"), number: rapid.IntRange(6, 8).Draw(t, "number"),
			bad: rapid.IntRange(0, 7).Draw(t, "bad") == 0}
		if ids[r.set] {
			id := rapid.IntRange(0, 2).Draw(t, "id")
			r.id, r.number = []string{"x", "y", "Z"}[id], clubs[id+3*slices.Index(sets, r.set)]
			r.setting = rapid.SampledFrom([]string{"", "", "low", "high"}).Draw(t, "setting")
		}
		return r
	}), 1, 7).Draw(t, name))
}

// expected is the row of the order for a row of a sheet, by going through all of them: its number, 0 for none, and -1
// where there may be one but nothing can rest on it. Other says that it is another club.
func expected(r orderRow, all, order []orderRow) (row int, other bool) {
	sets := func(rows []orderRow) (out []string) {
		for _, o := range rows {
			if !slices.Contains(out, o.set) {
				out = append(out, o.set)
			}
		}
		return out
	}
	ours, theirs := sets(all), sets(order)
	of := r.set
	if len(theirs) == 1 && (r.set == "" || len(ours) == 1 && theirs[0] == "") {
		of = theirs[0]
	}
	in := func(rows []orderRow, set string) (out []orderRow) {
		return slices.DeleteFunc(slices.Clone(rows), func(o orderRow) bool { return o.set != set })
	}
	order, all = in(order, of), in(all, r.set)
	byID := slices.ContainsFunc(order, func(o orderRow) bool { return o.id != "" }) && r.id != ""
	same := func(rows []orderRow) (good, bad []orderRow) {
		for _, o := range rows {
			if is := byID && strings.EqualFold(o.id, r.id) || !byID && o.number == r.number; is && o.bad {
				bad = append(bad, o)
			} else if is {
				good = append(good, o)
			}
		}
		return good, bad
	}
	good, bad := same(order)
	mine, unread := same(all)
	switch {
	case good == nil && bad == nil:
		return 0, false
	case good == nil:
		return -1, false
	case !byID && (clubs(mine) > 1 || clubs(good) > 1 || bad != nil || unread != nil): // a refused row may be one more
		return -1, false
	}
	for _, setting := range []string{r.setting, ""} {
		for _, o := range append(slices.Clone(good), bad...) {
			if o.setting == setting {
				switch first := good[0]; {
				case o.bad && first.number != r.number:
					return -1, true
				case o.bad:
					return -1, false
				case o.number != r.number:
					return -1, true
				}
				return o.row, false
			}
		}
	}
	switch {
	case good[0].number != r.number:
		return -1, true
	case r.setting == "":
		return -1, false
	}
	return 0, false
}

// clubs is how many clubs rows of one number are: those of one id are one, and without ids each row is one.
func clubs(rows []orderRow) int {
	ids := map[string]bool{}
	n := 0
	for _, r := range rows {
		if key := strings.ToLower(r.id); key == "" || !ids[key] {
			ids[key] = true
			n++
		}
	}
	return n
}

// Each club gets the row of the order that going through all rows finds, and none where that is in doubt. What is not
// paired is listed: each good row of the order is a club's, or listed, or a refused row of the sheet may be it.
func TestPairingAgainstAllRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all, order := rowsOf(t, "sheet"), rowsOf(t, "order")
		text, orderText := sheetOf(all, "%d iron"), sheetOf(order, "%di")
		schema := catalogue.NewSchema()
		o, p := sheet.ReadOrder("order.csv", strings.NewReader(orderText), sheet.Options{Schema: schema, MethodNames: []string{"soled", "wall"}, Standard: standards})
		if p != nil {
			t.Fatal(p)
		}
		r, p := sheet.Open("bag.csv", strings.NewReader(text), sheet.Options{Schema: schema, MethodNames: []string{"soled", "wall"}, Order: o, Last: true})
		if p != nil {
			t.Fatal(p)
		}
		got, paired := map[int]int{}, map[int]bool{}
		var beside club.Beside
		for s, ok := r.Next(); ok; s, ok = r.Next() {
			beside.Add(s.Order)
			for _, c := range s.Clubs {
				for ; c != nil; c = c.Next {
					switch {
					case c.Order == nil:
						got[c.Row] = 0
					case c.Order.Loose:
						got[c.Row] = -1
					default:
						got[c.Row] = c.Order.Row
						paired[c.Order.Row] = true
					}
				}
			}
		}
		listed := func(m club.Mismatch, row int) bool {
			return slices.ContainsFunc(beside.Unpaired[m], func(u club.Unpaired) bool { return u.Row.Row == row })
		}
		read := 0
		for _, a := range all {
			row, known := got[a.row]
			if !known {
				continue // refused
			}
			read++
			want, other := expected(a, all, order)
			if row != want || listed(club.OtherClub, a.row) != other {
				t.Fatalf("row %d has row %d of the order, want %d, another club %v\n%s\n%s", a.row, row, want, other, text, orderText)
			}
		}
		for _, b := range order {
			if paired[b.row] && listed(club.NotOnSheet, b.row) {
				t.Fatalf("row %d of the order is a club's and not on the sheet\n%s\n%s", b.row, text, orderText)
			}
		}
		bad := 0
		for _, b := range order {
			if b.bad {
				bad++
			}
		}
		if len(beside.Refused) != bad {
			t.Fatalf("%d rows of the order are refused, want %d\n%s", len(beside.Refused), bad, orderText)
		}
		if read == 0 {
			return
		}
		for _, c := range beside.Unpaired[club.NotOrdered] {
			if got[c.Row.Row] > 0 {
				t.Fatalf("row %d has a row of the order and was not ordered\n%s\n%s", c.Row.Row, text, orderText)
			}
		}
		counted(t, all, order, &beside, text+"\n"+orderText)
	})
}

// counted holds the lists of what is not paired against counting: of each set and club without ids, or id, as many rows
// of the order are not on the sheet as it has more of them.
func counted(t *rapid.T, all, order []orderRow, beside *club.Beside, text string) {
	for _, rows := range [][]orderRow{all, order} {
		for _, r := range rows {
			if r.bad || r.setting != "" || r.id != "" || r.set != rows[0].set || r.set != all[0].set || r.set != order[0].set {
				return
			}
		}
	}
	missing, extra := 0, 0
	for number := 6; number <= 8; number++ {
		n := 0
		for _, r := range order {
			if r.number == number {
				n++
			}
		}
		for _, r := range all {
			if r.number == number {
				n--
			}
		}
		missing, extra = missing+max(n, 0), extra+max(-n, 0)
	}
	if a, b := len(beside.Unpaired[club.NotOnSheet]), len(beside.Unpaired[club.NotOrdered]); a != missing || b != extra {
		t.Fatalf("%d are not on the sheet and %d were not ordered, want %d and %d\n%s", a, b, missing, extra, text)
	}
}
