package sheet

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/sheet/cells"
	"ferrule/engine/spool"
	"ferrule/lang/catalogue"
)

// outline is a sheet as it was laid out: each set with its clubs, their settings behind a stroke, and the rows it refuses.
func outline(sets []*club.Set) string {
	var out []string
	for _, s := range sets {
		text := s.Name + ":"
		for _, c := range s.Clubs {
			text += " " + c.ID
			for n := c; n != nil; n = n.Next {
				if n.Setting != "" {
					text += "/" + n.Setting
				}
			}
		}
		for _, f := range s.Refused {
			text += fmt.Sprintf(" -%d", f.Row.Row)
			if f.AnySet {
				text += "any"
			}
			if f.Again {
				text += "again"
			}
		}
		out = append(out, text)
	}
	return strings.Join(out, "; ")
}

// TestSets holds how rows are laid into sets and given ids.
func TestSets(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"no sets", "club\n7i\n8i\n", ": 7i 8i"},
		{"an empty column of sets", "set,club\n,7i\n,8i\n", ": 7i 8i"},
		{"anywhere", "set,club\nb,7i\na,7i\nb,8i\na,8i\nb,9i\n", "b: 7i 8i 9i; a: 7i 8i"},
		{"numbered", "club\n7i\n7i\nPW\n7i\n", ": 7i 7i (2) PW 7i (3)"},
		{"numbered around an id", "id,club\n7i (2),8i\n,7i\n,7i\n", ": 7i (2) 7i 7i (3)"},
		{"one club with blanks of two sorts", "club\n7 iron\n7\u00a0iron\n", ": 7 iron 7 iron (2)"},
		{"an id stated further down", "id,club\n,5i\n,5i\n5i,6i\n5i (2),7i\n", ": 5i (3) 5i (4) 5i 5i (2)"},
		{"an id stated further up", "id,club\n5i,6i\n,5i\n,5i\n", ": 5i 5i (2) 5i (3)"},
		{"an id stated in another set", "set,id,club\na,,5i\nb,5i,6i\n", "a: 5i; b: 5i"},
		{"an id stated in a row that is refused", "id,club\n,5i\n5i,6q\n", ": 5i (2) -3"},
		{"an id stated beside settings", "id,setting,club\n,A,driver\n,B,driver\ndriver,,3w\n", ": driver (2)/A/B driver"},
		{"one id twice", "id,club\nx,7i\nx,8i\ny,9i\n", ": x y -3"},
		{"written otherwise", "set,id,setting,club\nBirch,d1,Low,driver\nbirch,D-1,high,driver\nBIRCH,i7,,7i\nBirch,I 7,,8i\nbirch,D 1,LOW,driver\n", "Birch: d1/Low/high i7 -5 -6"},
		{"digits apart", "id,club\n1-12,7i\n112,8i\n1 12,9i\n", ": 1-12 112 1 12"},
		{"one id twice in two sets", "set,id,club\na,x,7i\nb,x,8i\n", "a: x; b: x"},
		{"one id twice, the first refused", "id,club\nx,7q\nx,8i\n", ": -2 -3"},
		{"a text refused, and again", "club,lie\n7i,no\n7i,62 deg\n", ": 7i (2) -2"},
		{"settings", "id,setting,club\nd,A,driver\ne,,3w\nd,B,driver\nd,A,driver\n", ": d/A/B e -5"},
		{"settings without ids", "setting,club\nA,driver\nB,driver\n,7i\n,7i\nA,driver\n", ": driver/A/B 7i 7i (2) driver (2)/A"},
		{"a setting that is another kind", "id,setting,club\nd,A,driver\nd,B,3w\n", ": d/A -3"},
		{"a set that cannot be read", "set,club\na,7i\n\x01,8i\nb,7i\n,9i\n", "a: 7i -3any -5any; b: 7i -3anyagain -5anyagain"},
		{"a misplaced set", "club,note,set\n7i,x,a\n8i,x,y,a\n9i,x,a,,\nPW,\"x,y\",a\n", "a: 7i 9i PW -3any"},
		{"a cell missing beside a separator in quotes", "club,note,set,lie\n7i,x,a,62 deg\n8i,\"a,b\",62 deg\n", "a: 7i -3any"},
		{"a set behind a quote without an end", "club,note,set\n7i,x,a\n8i,\"x,a\n", "a: 7i -3any"},
		{"a set before one", "set,club,note\na,7i,x\na,8i,\"x\n", "a: 7i -3"},
		{"a set in a row too long", "set,club,note\na,7i,x\na,8i," + strings.Repeat("x", cells.MaxRow) + "\n", "a: 7i -3"},
		{"a set behind a cell too long", "club,note,set\n7i,x,a\n8i," + strings.Repeat("x", cells.MaxRow) + ",a\n", "a: 7i -3any"},
		{"no set that can be read", "set,club\n\x01,8i\n", ": -2any"},
	} {
		sets, _, p := read(t, "s.csv", c.text, testOptions(t))
		if p != nil {
			t.Errorf("%s: %v", c.name, p)
		} else if got := outline(sets); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
	s := one(t, "s.csv", "id,setting,club\nd,A,driver\nd,A,driver\n")
	if want := `the id "d" at the setting "A" is already in row 2 of the same set; give one of them another id or setting, or say --same-id repeats if both are readings of one club, or --same-id latest if the last row counts`; s.Refused[0].Message != want {
		t.Errorf("%s\nwant %s", s.Refused[0].Message, want)
	}
}

// TestManyRefused holds that a sheet of nothing but sets and rows without one does not grow with the product of
// both.
func TestManyRefused(t *testing.T) {
	var b strings.Builder
	b.WriteString("set,club\n")
	for i := range 2000 {
		fmt.Fprintf(&b, "s%d,7i\n,8i\n", i)
	}
	sets, _, p := read(t, "m.csv", b.String(), testOptions(t))
	if p != nil || len(sets) != 2000 || len(sets[0].Refused) != 2000 || len(sets[1].Refused) != mostAgain {
		t.Fatalf("%v, %d sets, %d and %d refused", p, len(sets), len(sets[0].Refused), len(sets[1].Refused))
	}
	if f := sets[1].Refused[0]; !f.Again || f.Club.Kind != catalogue.NoKind {
		t.Errorf("a further set is given %+v", f)
	}
}

// TestStream holds a sheet that is too large to be gathered: its sets are those of its runs of rows. A set that comes
// back has its rows refused, whether it does so before or after the sheet turns out to be large.
func TestStream(t *testing.T) {
	var b strings.Builder
	b.WriteString("set,club\n")
	rows := 0
	add := func(set string, n int) {
		for range n {
			fmt.Fprintf(&b, "%s,7i\n", set)
		}
		rows += n
	}
	add("first", 20)
	add("second", 10)
	add("Second", 20)
	add("FIRST", 3)
	for i := range 4000 {
		add(fmt.Sprint("bag", i), 14)
	}
	add("Bag-17", 2)
	add("", 1)
	add("last", 5)
	sets, r, p := read(t, "s.csv", b.String(), testOptions(t))
	if p != nil {
		t.Fatal(p)
	}
	if !r.Streamed() || r.rowsRead != rows {
		t.Errorf("streamed %v, %d rows read, want %d", r.Streamed(), r.rowsRead, rows)
	}
	if len(sets) != 4003 {
		t.Fatalf("%d sets, want 4003", len(sets))
	}
	for i, s := range sets {
		want, last := map[string]int{"first": 3, "bag17": 2}[s.Name], s.Refused[len(s.Refused)-1]
		if len(s.Refused) != want+1 || !last.AnySet || last.Row.Row != rows-5+1 || last.Again != (i > 0) {
			t.Fatalf("set %s refuses %+v", s.Name, s.Refused)
		}
	}
	first, back, last := sets[0], sets[2+17], sets[4002]
	if first.Rows != 20 || back.Rows != 14 || last.Name != "last" || last.Rows != 5 {
		t.Errorf("%s: %d rows; %s: %d rows; %s: %d rows", first.Name, first.Rows, back.Name, back.Rows, last.Name, last.Rows)
	}
	const again = `the set "Bag-17" is further up already; in a sheet of more than 50,000 rows, the rows of a set must be together`
	if f := back.Refused[0]; f.Row.Row != rows-8+2 || f.Message != again || f.Read != "Bag-17" || f.Column != "set" {
		t.Errorf("the set that comes back: %+v", f)
	}
}

// TestGathered holds that fifty thousand rows are gathered and one more is streamed.
func TestGathered(t *testing.T) {
	for _, n := range []int{50_000, 50_001} {
		text := "set,club\n" + strings.Repeat("a,7i\nb,7i\n", n/2)
		if n%2 == 1 {
			text += "a,7i\n"
		}
		sets, r, p := read(t, "g.csv", text, testOptions(t))
		if p != nil {
			t.Fatal(p)
		}
		refused := 0
		for _, s := range sets {
			refused += len(s.Refused)
		}
		if gathered := n <= 50_000; r.Streamed() == gathered || (refused == 0) != gathered {
			t.Errorf("%d rows: streamed %v, %d refused", n, r.Streamed(), refused)
		}
	}
}

// TestOneHugeSet holds that a set may have 250,000 rows, and what becomes of the others.
func TestOneHugeSet(t *testing.T) {
	r, p := Open("h.csv", strings.NewReader("club\n"+strings.Repeat("7i\n", 260_000)), testOptions(t))
	if p != nil {
		t.Fatal(p)
	}
	rows, refused := 0, 0
	for {
		s, ok := r.Next()
		if !ok {
			break
		}
		rows += s.Rows
		refused += len(s.Refused)
		if len(s.Refused) > refusedRun {
			t.Errorf("%d rows are refused at a time", len(s.Refused))
		}
	}
	if rows != 250_000 || refused != 10_000 {
		t.Errorf("%d rows, %d refused", rows, refused)
	}
}

// TestParallel reads sets on two goroutines and finds what one finds.
func TestParallel(t *testing.T) {
	text := string(bigSheet(70_000, false))
	want, _, p := read(t, "p.csv", text, testOptions(t))
	if p != nil {
		t.Fatal(p)
	}
	r, _ := Open("p.csv", strings.NewReader(text), testOptions(t))
	raws := make(chan RawSet, 16)
	var group sync.WaitGroup
	var mu sync.Mutex
	sums := map[string]float64{}
	for range 2 {
		group.Go(func() {
			parser, s := r.NewParser(), new(club.Set)
			for raw := range raws {
				parser.Parse(raw, s)
				mu.Lock()
				sums[s.Name] = sum(s)
				mu.Unlock()
			}
		})
	}
	for {
		raw, ok := r.NextRaw()
		if !ok {
			break
		}
		raws <- raw
	}
	close(raws)
	group.Wait()
	if len(sums) != len(want) {
		t.Fatalf("%d sets, want %d", len(sums), len(want))
	}
	for _, s := range want {
		if sums[s.Name] != sum(s) {
			t.Errorf("set %s differs", s.Name)
		}
	}
}

// sum is a number that tells one set from another.
func sum(s *club.Set) float64 {
	total := 0.0
	for i, c := range s.Clubs {
		for p := range catalogue.KnownProperties {
			a, _ := c.Amount(p)
			total += a * float64(i+1)
		}
		total += float64(len(c.ID) + len(c.Method) + int(c.Kind))
	}
	return total
}

// TestConstantMemory reads 600,000 rows in adjacent sets, which wait in a file, and holds the heap to a few megabytes.
func TestConstantMemory(t *testing.T) {
	text := bigSheet(600_000, false)
	runtime.GC()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	o := testOptions(t)
	o.Scratch = func() (spool.File, error) { return os.Create(filepath.Join(t.TempDir(), "rows")) }
	r, p := Open("c.csv", bytes.NewReader(text), o)
	if p != nil {
		t.Fatal(p)
	}
	var most uint64
	for n := 0; ; n++ {
		_, ok := r.Next()
		if !ok {
			break
		}
		if n%10_000 == 9_999 {
			runtime.GC()
			runtime.ReadMemStats(&after)
			most = max(most, after.HeapAlloc)
		}
	}
	if most > before.HeapAlloc+8<<20 {
		t.Errorf("the heap grows by %d KiB", (most-before.HeapAlloc)>>10)
	}
	if r.rowsRead != 600_000 {
		t.Errorf("%d rows", r.rowsRead)
	}
	runtime.KeepAlive(text)
}

// TestNULs holds that a NUL byte is the matter of its cell, not of the sheet, in text and in JSON Lines.
func TestNULs(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"n.csv", "club,lie\n7i,62 deg\n8i,6\x003 deg\n9i,63 deg\n", ": 7i 9i -3"},
		{"-", "club;lie\r\n7i\x00;62 deg\r\n8i;63 deg\r\n", ": 8i -2"},
		{"n.jsonl", "{\"club\": \"7i\x00\"}\n{\"club\": \"8i\"}\n", ": 8i -1any"},
	} {
		sets, _, p := read(t, c.name, c.text, testOptions(t))
		if p != nil {
			t.Errorf("%q: %v", c.text, p)
		} else if got := outline(sets); got != c.want {
			t.Errorf("%q: %s, want %s", c.text, got, c.want)
		}
	}
}

// TestErrorForSet holds that what a spreadsheet leaves in the place of a value never names a set: two bags whose names
// came to one error would be judged as one.
func TestErrorForSet(t *testing.T) {
	for _, set := range []string{"#N/A", "#n/a", "#NV", "#REF!", "#NAME?", "=Customers!A7", "#####"} {
		for name, text := range map[string]string{
			"a.csv":   "set,id,club\nelm,a,7i\n" + set + ",b,8i\n" + set + ",c,driver\n",
			"a.jsonl": `{"set":"elm","id":"a","club":"7i"}` + "\n" + `{"set":"` + set + `","id":"b","club":"8i"}` + "\n" + `{"set":"` + set + `","id":"c","club":"driver"}`,
		} {
			s := one(t, name, text)
			if s.Name != "elm" || len(s.Clubs) != 1 || len(s.Refused) != 2 || !s.Refused[0].AnySet || s.Refused[1].Column != "set" || s.Refused[1].Read != set ||
				!strings.Contains(s.Refused[1].Message, "expected the value") {
				t.Errorf("%s %s: %+v", name, set, s)
			}
		}
	}
}

// TestSameID holds what a further row of one id is: refused, further readings of the club, or the row that counts.
func TestSameID(t *testing.T) {
	const head = "id,club,length (in),by,lie (deg),hand,setting\n"
	for _, c := range []struct {
		how  SameID
		rows string
		want string // ids with the row, the readings of the length and the lie, then refused rows, then how many are superseded
	}{
		{Refused, "d,driver,45,soled,58,,\nd,driver,46,soled,58,,\n", "d/2 [45] [58]; 3; 0"},
		{Repeats, "d,driver,45,soled,58,,\nd,driver,46,soled,,left,\nD,1w,45.5,,59,LH,\n", "d/2 [45 46 45.5] [58 59]; ; 0"},
		{Repeats, "d,driver,45 | 45.25,soled,58,,\nd,driver,46,soled,,,\n", "d/2 [45 45.25 46] [58]; ; 0"},
		{Repeats, "d,driver,45,soled,58,,\nd,3w,46,soled,58,,\n", "d/2 [45] [58]; 3; 0"},
		{Repeats, "w,PW,35,soled,,,\nw,SW,35,soled,,,\n", "w/2 [35] []; 3; 0"},
		{Repeats, "d,driver,45,soled,58,,\nd,driver,46,wall,58,,\n", "d/2 [45] [58]; 3; 0"},
		{Repeats, "d,driver,45,soled,58,left,\nd,driver,46,soled,58,right,\n", "d/2 [45] [58]; 3; 0"},
		{Repeats, "d,driver,45,soled,x,,\nd,driver,46,soled,58,,\n", "d/3 [46] [58]; 2; 0"},
		{Repeats, "d,driver,45,soled,58,,\nd,driver,46,soled,x,,\n", "d/2 [45] [58]; 3; 0"},
		{Repeats, "d,driver,45,soled,58,,\nd,driver,4.5,soled,58,,\n", "d/2 [] [58 58]; ; 0"}, // a slip is never left out in silence
		{Repeats, "d,driver,4.5,soled,58,,\nd,driver,45,soled,58,,\n", "d/2 [] [58 58]; ; 0"},
		{Repeats, "d,driver,45,soled,58,,up\nd,driver,45,soled,58,,flat\nd,driver,46,soled,60,,up\n", "d/2 [45 46] [58 60] d/3 [45] [58]; ; 0"},
		{Repeats, ",7i,37,soled,62,,\n,7i,38,soled,62,,\n", "7i/2 [37] [62] 7i (2)/3 [38] [62]; ; 0"},
		{Latest, "d,driver,45,soled,58,,\ni,7i,37,soled,62,,\nd,driver,46,soled,,,\n", "i/3 [37] [62] d/4 [46] []; ; 1"},
		{Latest, "d,driver,45,soled,58,,\nd,driver,46,soled,59,,\nd,driver,47,soled,60,,\n", "d/4 [47] [60]; ; 2"},
		{Latest, "d,driver,45,soled,x,,\nd,driver,46,soled,59,,\n", "d/3 [46] [59]; ; 1"},
		{Latest, "d,driver,45,soled,58,,\nd,driver,46,soled,x,,\n", "; 3; 1"}, // the last row counts, and cannot be read
		{Latest, "d,driver,45,soled,58,,\nd,putter,34,soled,70,,\n", "d/2 [45] [58]; 3; 0"},
		{Latest, "d,7i,37,soled,58,,\nd,8i,36,soled,70,,\n", "d/2 [37] [58]; 3; 0"},
		{Latest, "d,driver,45,soled,58,,up\nd,driver,46,soled,58,,flat\nd,driver,44,soled,60,,up\nd,driver,43,soled,60,,low\n", "d/3 [46] [58] d/4 [44] [60] d/5 [43] [60]; ; 1"},
	} {
		o := testOptions(t)
		o.SameID = c.how
		r, p := Open("s.csv", strings.NewReader(head+c.rows), o)
		if p != nil {
			t.Fatal(p)
		}
		s, _ := r.Next()
		got := ""
		for _, d := range s.Clubs {
			for ; d != nil; d = d.Next {
				var figures [2][]float64
				for i, id := range []catalogue.ID{catalogue.LengthID, catalogue.Lie} {
					for _, v := range d.Readings(id) {
						figures[i] = append(figures[i], v/[]float64{25.4e6, 1e6}[i])
					}
				}
				got += fmt.Sprintf("%s/%d %v %v ", d.ID, d.Row, figures[0], figures[1])
			}
		}
		got = strings.TrimSuffix(got, " ") + "; "
		for _, f := range s.Refused {
			got += fmt.Sprint(f.Row.Row)
		}
		if got += fmt.Sprint("; ", s.Superseded); got != c.want {
			t.Errorf("%d %q: %s, want %s", c.how, c.rows, got, c.want)
		}
		if s.Rows+len(s.Refused)+s.Superseded != r.rowsRead {
			t.Errorf("%d %q: %d read, %d clubs, %d refused, %d superseded", c.how, c.rows, r.rowsRead, s.Rows, len(s.Refused), s.Superseded)
		}
	}
	s := one(t, "s.csv", head+"d,driver,45,soled,58,,\nd,driver,46,soled,58,,\n")
	if m := s.Refused[0].Message; !strings.Contains(m, "--same-id repeats") || !strings.Contains(m, "--same-id latest") {
		t.Error(m)
	}
}
