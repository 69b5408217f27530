package sheet

import (
	"bytes"
	"fmt"
	"testing"

	"ferrule/engine/club"
)

// bigSheet is a sheet of n clubs in bags of 14, as a shop's till gives it.
func bigSheet(n int) []byte {
	var b bytes.Buffer
	b.WriteString("set,id,club,length (in),by,lie (deg),loft (deg),mass (g)\n")
	names := []string{"driver", "3w", "5w", "4h", "5i", "6i", "7i", "8i", "9i", "PW", "GW", "SW", "LW", "putter"}
	for i := range n {
		k := i % 14
		method := "soled"
		if k == 13 {
			method = "axis"
		}
		fmt.Fprintf(&b, "bag-%d,c%d,%s,%d %d/8,%s,%d.5,%d,%d.25\n", i/14, k, names[k], 34+(13-k)*10/14, 1+i%7, method, 56+k/2, 10+3*k, 310+k*10)
	}
	return b.Bytes()
}

// BenchmarkScan cuts 300,000 rows into raw sets.
func BenchmarkScan(b *testing.B) {
	text := bigSheet(300_000)
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
	r, p := Open("big.csv", bytes.NewReader(bigSheet(1400)), o)
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
