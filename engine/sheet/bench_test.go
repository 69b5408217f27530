package sheet

import (
	"bytes"
	"fmt"
	"testing"

	"ferrule/engine/club"
)

// bigSheet is a sheet of n clubs in bags of 14, as a shop's till gives it, with the column of the sets first or last.
func bigSheet(n int, last bool) []byte {
	var b bytes.Buffer
	row := func(set, rest string) {
		if last {
			set, rest = rest, set
		}
		b.WriteString(set + "," + rest + "\n")
	}
	row("set", "id,club,length (in),by,lie (deg),loft (deg),mass (g)")
	names := []string{"driver", "3w", "5w", "4h", "5i", "6i", "7i", "8i", "9i", "PW", "GW", "SW", "LW", "putter"}
	for i := range n {
		k := i % 14
		method := "soled"
		if k == 13 {
			method = "axis"
		}
		row(fmt.Sprintf("bag-%d", i/14), fmt.Sprintf("c%d,%s,%d %d/8,%s,%d.5,%d,%d.25",
			k, names[k], 34+(13-k)*10/14, 1+i%7, method, 56+k/2, 10+3*k, 310+k*10))
	}
	return b.Bytes()
}

// BenchmarkScan cuts 300,000 rows into raw sets. Of the cells of a row only those are cut that say its set, so that a row
// takes less than in BenchmarkParse, and little more where the sets are in the last column.
func BenchmarkScan(b *testing.B) {
	for _, last := range []bool{false, true} {
		b.Run(map[bool]string{false: "first", true: "last"}[last], func(b *testing.B) { scan(b, bigSheet(300_000, last)) })
	}
}

func scan(b *testing.B, text []byte) {
	o := testOptions(b)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		r, p := Open("big.csv", bytes.NewReader(text), o)
		if p != nil {
			b.Fatal(p)
		}
		rows := 0
		for {
			raw, ok := r.NextRaw()
			if !ok {
				break
			}
			rows += raw.Rows()
		}
		if rows != 300_000 {
			b.Fatal(rows)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/300_000, "ns/row")
}

// BenchmarkParse reads raw sets of 14 rows into clubs, again and again.
func BenchmarkParse(b *testing.B) {
	o := testOptions(b)
	r, p := Open("big.csv", bytes.NewReader(bigSheet(1400, false)), o)
	if p != nil {
		b.Fatal(p)
	}
	var raws []RawSet
	for {
		raw, ok := r.NextRaw()
		if !ok {
			break
		}
		raws = append(raws, raw)
	}
	parser, s := r.NewParser(), new(club.Set)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		parser.Parse(raws[i%len(raws)], s)
		if s.Rows != 14 {
			b.Fatal(s.Rows, s.Refused)
		}
		i++
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/14, "ns/row")
}
