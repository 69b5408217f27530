package sheet

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"ferrule/engine/club"
)

// A large sheet gives the same sets whether it can be looked ahead in, as a file, or only be read
// once, as a pipe: the second way is the meaning of the first.
func TestScout(t *testing.T) {
	heads := map[string]string{"with sets": "set,id,club,length (in),by\n", "without sets": "id,club,length (in),by\n"}
	for name, c := range map[string]struct {
		head    string
		odd     map[int]string // rows that differ, by their number
		scouted bool
	}{
		"clean":                      {"with sets", nil, true},
		"one set":                    {"without sets", nil, true},
		"a set that comes back":      {"with sets", map[int]string{30_000: "b7,x,7i,37,soled"}, false},
		"one that comes back late":   {"with sets", map[int]string{55_000: "b7,x,7i,37,soled"}, true},
		"a row without a set":        {"with sets", map[int]string{40_000: ",x,7i,37,soled"}, false},
		"the first without a set":    {"with sets", map[int]string{0: ",x,7i,37,soled"}, false},
		"one late":                   {"with sets", map[int]string{55_000: ",x,7i,37,soled"}, true},
		"a set that cannot be read":  {"with sets", map[int]string{20_000: "\"b,x,7i,37,soled"}, false},
		"a row with too few cells":   {"with sets", map[int]string{20_000: "b1428,x"}, true},
		"a row that goes over lines": {"with sets", map[int]string{20_000: "b1428,\"x\ny\",7i,37,soled"}, true},
		"blank rows":                 {"with sets", map[int]string{100: "", 20_000: ",,,,", 20_001: " , ,,,"}, true},
		"a quote without an end":     {"without sets", map[int]string{10: "x,\"7i,37,soled"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			var b strings.Builder
			b.WriteString("\ufeff\n,,\n" + heads[c.head])
			for i := range 56_000 {
				switch row, odd := c.odd[i]; {
				case odd:
					b.WriteString(row + "\n")
				case c.head == "with sets":
					fmt.Fprintf(&b, "b%d,c%d,7i,37,soled\n", i/14, i%14)
				default:
					fmt.Fprintf(&b, "c%d,7i,37,soled\n", i)
				}
			}
			file := strings.NewReader(b.String())
			if r, p := Open("s.csv", file, testOptions(t)); p != nil || (r.store.n == 0) != c.scouted || !r.Streamed() {
				t.Errorf("%v; %d rows were gathered, scouted %v", p, r.store.n, c.scouted)
			}
			file.Reset(b.String())
			a, pipe := drain(t, file), drain(t, io.MultiReader(strings.NewReader(b.String())))
			if len(a) != len(pipe) {
				t.Fatalf("%d sets of the file, %d of the pipe", len(a), len(pipe))
			}
			for i := range a {
				if a[i] != pipe[i] {
					t.Fatalf("set %d is %s of the file, %s of the pipe", i, a[i], pipe[i])
				}
			}
		})
	}
}

// Nothing is streamed before it is known that lengths have a method, nor a small sheet at all.
func TestScoutSmall(t *testing.T) {
	for _, n := range []int{14, 50_000} {
		text := "set,club,length (in),by\n" + strings.Repeat("a,7i,37,soled\n", n)
		if r, p := Open("s.csv", strings.NewReader(text), testOptions(t)); p != nil || r.Streamed() {
			t.Errorf("%d rows: %v, or streamed", n, p)
		}
	}
	text := "set,club,length (in)\n" + strings.Repeat("a,7i,37\n", 60_000)
	if _, p := Open("s.csv", strings.NewReader(text), testOptions(t)); p == nil || !strings.Contains(p.Message, "does not say how") {
		t.Errorf("lengths without a method: %v", p)
	}
}

// drain is what each set of a sheet holds, in words.
func drain(t *testing.T, in io.Reader) []string {
	t.Helper()
	r, p := Open("s.csv", in, testOptions(t))
	if p != nil {
		t.Fatal(p)
	}
	var out []string
	s, parser := new(club.Set), r.NewParser()
	for raw, ok := r.NextRaw(); ok; raw, ok = r.NextRaw() {
		parser.Parse(raw, s)
		var words strings.Builder
		words.WriteString(s.Name)
		for _, c := range s.Clubs {
			fmt.Fprint(&words, " ", c.ID, c.Row)
		}
		for _, f := range s.Refused {
			fmt.Fprint(&words, " ", f.Row.Row, f.Again, f.AnySet, f.Message)
		}
		out = append(out, words.String())
	}
	return append(out, fmt.Sprint(r.RowsRead(), r.Warnings(), r.Problem()))
}
