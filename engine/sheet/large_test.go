package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/spool"
)

// little are caps that small sheets reach.
func little(t testing.TB, runs bool) Options {
	o := testOptions(t)
	o.Runs, o.caps = runs, usualCaps(runs)
	o.caps.gathered, o.caps.setRows, o.caps.setBytes, o.caps.runRows, o.caps.runBytes, o.caps.kept = 20, 10, 1<<20, 4, 1<<10, 64
	return o
}

// given are the sets of a sheet with their parts: "a1: 3 -1" is the first part of the set a, with 3 clubs and a row refused.
func given(t *testing.T, text string, o Options) (sets []*club.Set, words string) {
	t.Helper()
	sets, _, p := read(t, "l.csv", text, o)
	if p != nil {
		t.Fatal(p)
	}
	for _, s := range sets {
		words += s.Name
		if s.Part > 0 {
			words += fmt.Sprint(s.Part)
		}
		words += fmt.Sprintf(": %d -%d; ", len(s.Clubs), len(s.Refused))
	}
	return sets, strings.TrimSuffix(words, "; ")
}

// messages are those of the refused rows of sets, each once.
func messages(sets []*club.Set) (all []string) {
	seen := map[string]bool{}
	for _, s := range sets {
		for _, f := range s.Refused {
			if !seen[f.Message] {
				seen[f.Message] = true
				all = append(all, f.Message)
			}
		}
	}
	return all
}

// rowsOf are the rows of a set with an id each.
func rowsOf(set string, from, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "%s,c%d,7i\n", set, from+i)
	}
	return b.String()
}

// TestRuns holds that a set that is too large to be in hand at once is given in runs, in which each club is alone.
// Nothing is lost or taken twice.
func TestRuns(t *testing.T) {
	const head, few = "set,id,club\n", "; expected sets of a few clubs, told apart by a column set"
	const many = "the set has more than 10 rows, too many to be read as one set"
	heavy := strings.Repeat("x", 60<<10)
	for _, c := range []struct {
		name, text string
		runs       bool
		want       string
		messages   []string
	}{
		{"whole", head + rowsOf("a", 0, 10) + rowsOf("b", 0, 10) + rowsOf("c", 0, 5), true, "a: 10 -0; b: 10 -0; c: 5 -0", nil},
		{"gathered", head + rowsOf("a", 0, 11) + rowsOf("b", 0, 2), true, "a1: 10 -0; a2: 1 -0; b: 2 -0", nil},
		{"gathered and apart", head + rowsOf("a", 0, 6) + rowsOf("b", 0, 2) + rowsOf("a", 6, 10), true, "a1: 10 -0; a2: 4 -0; a3: 2 -0; b: 2 -0", nil},
		{"streamed", head + rowsOf("a", 0, 2) + rowsOf("b", 0, 30) + rowsOf("c", 0, 3), true, "a: 2 -0; b1: 10 -0; b2: 4 -0; b3: 4 -0; b4: 4 -0; b5: 4 -0; b6: 4 -0; c: 3 -0", nil},
		{"an id twice", head + rowsOf("a", 0, 12) + rowsOf("a", 3, 1) + rowsOf("a", 11, 2), true, "a1: 10 -0; a2: 2 -2; a3: 1 -0",
			[]string{"the id is in a row further up of the same set already; expected another id"}},
		{"an id twice in the first part", head + rowsOf("a", 0, 2) + rowsOf("a", 0, 10), true, "a1: 8 -2; a2: 2 -0",
			[]string{"the id is in a row further up of the same set already; expected another id"}},
		{"settings", "set,id,club,setting\n" + strings.ReplaceAll(rowsOf("a", 0, 12), "7i\n", "7i,up\n"), true, "a1: 0 -10; a2: 0 -2",
			[]string{many + " and its settings laid together" + few}},
		{"refused", head + rowsOf("a", 0, 12), false, "a: 10 -0; a: 0 -2", []string{many + few}},
		{"refused and streamed", head + rowsOf("a", 0, 25), false, "a: 10 -0; a: 0 -15", []string{many + few}},
		{"heavy", "set,id,club,grip-model\n" + strings.ReplaceAll(rowsOf("a", 0, 19), "7i\n", "7i,"+heavy+"\n"), true, "a1: 18 -0; a2: 1 -0", nil},
		{"heavy, refused", "set,id,club,grip-model\n" + strings.ReplaceAll(rowsOf("a", 0, 19), "7i\n", "7i,"+heavy+"\n"), false, "a: 18 -0; a: 0 -1",
			[]string{"the rows of the set have more than 1 MiB together, too much to be read as one set" + few}},
		{"a set that comes back", head + rowsOf("a", 0, 12) + rowsOf("b", 0, 10) + rowsOf("a", 20, 2), true, "a1: 10 -0; a2: 2 -2; b: 10 -0",
			[]string{`the set "a" is further up already; in a sheet of more than 20 rows, the rows of a set must be together`}},
	} {
		o := little(t, c.runs)
		if strings.HasPrefix(c.name, "heavy") {
			o.caps.setRows = 100
		}
		sets, got := given(t, c.text, o)
		if got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
		if got := messages(sets); strings.Join(got, "\n") != strings.Join(c.messages, "\n") {
			t.Errorf("%s: refused as\n%s\nwant\n%s", c.name, strings.Join(got, "\n"), strings.Join(c.messages, "\n"))
		}
	}
	sets, got := given(t, "club\n"+strings.Repeat("7i\n", 12), little(t, true))
	if want := many + " (is a column set missing?)"; got != "1: 10 -0; 2: 2 -0" || sets[0].Large != want || sets[1].Large != want {
		t.Errorf("%s: %q", got, sets[0].Large)
	}
	if a, b := sets[0].Clubs[0].ID, sets[1].Clubs[1].ID; a != "7i (row 2)" || b != "7i (row 13)" {
		t.Errorf("clubs without an id are %s and %s", a, b)
	}
}

// TestRowsAnywhere holds that up to the rows that are gathered those of a set may stand anywhere. Whatever they weigh,
// and whether they are kept in memory or in a file, the sets are the same.
func TestRowsAnywhere(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	var b strings.Builder
	b.WriteString("set,id,club,grip-model\n")
	for i := range 20 {
		fmt.Fprintf(&b, "%s,c%d,7i,%s\n", []string{"a", "b", "c"}[random.IntN(3)], i, strings.Repeat("x", random.IntN(60<<10)))
	}
	var want string
	for _, file := range []*scratch{nil, {}} {
		o := little(t, false)
		o.caps.setRows, o.caps.setBytes = 20, 64<<20
		if file != nil {
			o.Scratch = func() (spool.File, error) { return file, nil }
		}
		sets, r, p := read(t, "w.csv", b.String(), o)
		if p != nil || r.Streamed() || len(messages(sets)) > 0 {
			t.Fatalf("%v; streamed %v, %v", p, r.Streamed(), messages(sets))
		}
		if file == nil {
			want = outline(sets)
		} else if got := outline(sets); got != want || len(file.text) == 0 || !file.closed {
			t.Errorf("from a file of %d bytes, closed %v:\n%s\nfrom memory\n%s", len(file.text), file.closed, got, want)
		}
	}
	o, file := little(t, false), &scratch{}
	o.Scratch = func() (spool.File, error) { return file, nil }
	lengths := "club,length\n" + strings.Repeat("7i,37 in\n", 20)
	if _, _, p := read(t, "w.csv", lengths, o); p == nil || len(file.text) == 0 || !file.closed {
		t.Errorf("lengths without a method: %v, from a file of %d bytes, closed %v", p, len(file.text), file.closed)
	}
	o.Scratch = func() (spool.File, error) { return nil, errors.New("no room is left") }
	if _, _, p := read(t, "w.csv", b.String(), o); p == nil || p.Message != "the rows of the sheet cannot be kept aside: no room is left" {
		t.Errorf("without room: %v", p)
	}
}

// TestEveryRowOnce holds, on random sheets of every size around the caps, that each row is given once, in the order of
// its set. A set that is given whole has all its rows, and parts are numbered.
func TestEveryRowOnce(t *testing.T) {
	for seed := range uint64(400) {
		random := rand.New(rand.NewPCG(seed, 1))
		var b strings.Builder
		b.WriteString("set,id,club\n")
		rows := map[string]int{}
		set := ""
		for n := random.IntN(90); n > 0; n-- {
			if set == "" || random.IntN(1+random.IntN(40)) == 0 {
				set = string(rune('a' + random.IntN(4)))
				if random.IntN(9) == 0 {
					set = "\x01"
				}
			}
			rows[set]++
			fmt.Fprintf(&b, "%s,%s%d,7i\n", set, strings.TrimPrefix(set, "\x01"), rows[set])
		}
		if len(rows) == 0 {
			continue
		}
		o := little(t, random.IntN(3) > 0)
		o.caps.gathered = 5 + random.IntN(40)
		sets, r, p := read(t, "r.csv", b.String(), o) // which holds the account
		if p != nil {
			t.Fatal(p)
		}
		seen, parts, at := map[int]bool{}, map[string]int{}, map[string]int{}
		for _, s := range sets {
			if s.Part > 0 {
				if parts[s.Name]++; parts[s.Name] != s.Part || !o.Runs {
					t.Errorf("seed %d: part %d of %s after %d", seed, s.Part, s.Name, parts[s.Name]-1)
				}
			} else if s.Rows > 0 && !r.Streamed() && s.Rows != rows[s.Name] && o.Runs {
				t.Errorf("seed %d: %s is given whole with %d of %d rows", seed, s.Name, s.Rows, rows[s.Name])
			}
			for _, c := range s.Clubs {
				if seen[c.Row] || c.Row < at[s.Name] {
					t.Errorf("seed %d: row %d of %s comes twice or out of its order", seed, c.Row, s.Name)
				}
				seen[c.Row], at[s.Name] = true, c.Row
			}
			for _, f := range s.Refused {
				if seen[f.Row.Row] && !f.Again {
					t.Errorf("seed %d: row %d comes twice", seed, f.Row.Row)
				}
				seen[f.Row.Row] = true
			}
		}
		for row := range r.rowsRead {
			if !seen[row+2] {
				t.Errorf("seed %d: row %d is lost", seed, row+2)
			}
		}
		if t.Failed() {
			t.Fatal(b.String())
		}
	}
}

// TestLargeAsGathered holds that a large sheet gives the sets that it gives when it is gathered, in their order, each
// with the same rows. Those that come after another set are refused there, and no other is. The sheets are random: sets
// come back, and rows may name no set or one that cannot be read.
func TestLargeAsGathered(t *testing.T) {
	for seed := range uint64(600) {
		random := rand.New(rand.NewPCG(seed, 2))
		text, late := lateRows(random)
		var sets [2][]*club.Set
		for i, most := range []int{1000, random.IntN(20)} {
			o := testOptions(t)
			o.caps = usualCaps(false)
			if o.caps.gathered = most; seed%2 == 0 {
				o.caps.kept = random.IntN(200)
				o.Scratch = func() (spool.File, error) { return &scratch{}, nil }
			}
			var r *Reader
			var p *Problem
			if sets[i], r, p = read(t, "r.csv", text, o); p != nil || r.Problem() != nil || r.Streamed() != (i == 1) {
				t.Fatal(p, r.Problem())
			}
		}
		var got [2]string
		for i := range sets {
			for _, s := range sets[i] {
				rows, lost := map[int]string{}, ""
				for _, c := range s.Clubs {
					rows[c.Row] = "is read"
					if late[c.Row] && i == 0 {
						rows[c.Row] = "is late"
					}
				}
				for _, f := range s.Refused {
					switch rows[f.Row.Row] = "is refused"; {
					case f.AnySet:
						lost += fmt.Sprint(" ", f.Row.Row, f.Again)
					case late[f.Row.Row] || strings.Contains(f.Message, "further up already"):
						rows[f.Row.Row] = "is late"
					}
				}
				got[i] += fmt.Sprintln(s.Name, rows, "of any set:", lost)
			}
		}
		if got[0] != got[1] {
			t.Fatalf("seed %d: gathered\n%slarge\n%s%s", seed, got[0], got[1], text)
		}
	}
}

// lateRows is a random sheet of CSV, and which of its rows are of a set that was there already before another set.
func lateRows(random *rand.Rand) (text string, late map[int]bool) {
	late = map[int]bool{}
	there, before, back := map[string]bool{}, "", false
	unnamed := random.IntN(3) * random.IntN(15) // rows before one names its set
	text = "set,id,club\n"
	for row := range 20 + random.IntN(60) {
		set := before
		if random.IntN(6) == 0 || set == "" {
			set = string(rune('a' + random.IntN(9)))
		}
		club := []string{"7i", "7i", "7i", "7q", `"7i`}[random.IntN(5)]
		switch odd := random.IntN(20); {
		case row < unnamed, odd == 0:
			set = ""
		case odd == 1:
			set = "#REF!"
		default:
			back = there[set] && (back || set != before)
			there[set], before, late[row+2] = true, set, back
		}
		text += fmt.Sprintf("%s,c%d,%s\n", set, row, club)
	}
	return text, late
}

// scratch is a file in memory.
type scratch struct {
	text   []byte
	closed bool
}

func (s *scratch) WriteAt(b []byte, at int64) (int, error) {
	s.text = append(s.text[:at], b...)
	return len(b), nil
}

func (s *scratch) ReadAt(b []byte, at int64) (int, error) {
	return bytes.NewReader(s.text).ReadAt(b, at)
}

func (s *scratch) Close() error { s.closed = true; return nil }

// TestManySets holds that a set that comes back is known however many there were, and that a set beyond those that can
// be known is refused.
func TestManySets(t *testing.T) {
	const n = 600_000
	pipe, in := io.Pipe()
	go func() {
		fmt.Fprint(in, "set,club\n")
		for i := range n {
			fmt.Fprintf(in, "bag %d,7i\n", i)
		}
		fmt.Fprint(in, "bag 0,7i\nbag 599998,7i\nlast,7i\n")
		in.Close()
	}()
	o := testOptions(t)
	o.caps = usualCaps(false)
	o.caps.names = n
	r, p := Open("m.csv", pipe, o)
	if p != nil {
		t.Fatal(p)
	}
	rows := 0
	var refused []*club.Set
	for s, ok := r.Next(); ok; s, ok = r.Next() {
		if rows += s.Rows; len(s.Refused) > 0 {
			refused = append(refused, s)
		}
	}
	want := []string{`the set "bag 0" is further up already; in a sheet of more than 50,000 rows, the rows of a set must be together`,
		`the set "bag 599998" is further up already; in a sheet of more than 50,000 rows, the rows of a set must be together`,
		"the sheet has more than 600,000 sets; expected several sheets"}
	if got := messages(refused); rows != n || strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("%d rows; refused\n%s\nwant\n%s", rows, strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestManyWithoutSet holds that rows whose set cannot be read are given as they come, none of them twice.
func TestManyWithoutSet(t *testing.T) {
	for _, n := range []int{15, 10_000} {
		o := testOptions(t)
		o.caps = usualCaps(false)
		o.caps.gathered = 20
		text := "set,club\n" + strings.Repeat("a,7i\n", 30) + strings.Repeat(",8i\n", n) + "a,7i\nb,7i\n"
		sets, _, p := read(t, "w.csv", text, o)
		if p != nil {
			t.Fatal(p)
		}
		for _, s := range sets {
			if len(s.Refused) > refusedRun+mostAgain {
				t.Errorf("%d rows are refused at a time", len(s.Refused))
			}
			if s.Name == "b" && len(s.Refused) != min(n, mostAgain) {
				t.Errorf("the last set is given %d of %d rows that may be its own", len(s.Refused), n)
			}
		}
	}
}
