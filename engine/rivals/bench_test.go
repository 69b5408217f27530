package rivals

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// rows is the number of clubs on the sheet that the rivals are timed on.
const rows = 300_000

// agreed holds who was seen to find the faults of the timed sheet.
var agreed = map[string]bool{}

// BenchmarkCheck times each rival as a whole process on a sheet of 300,000 clubs, its
// findings to /dev/null. Each run is paired with one of the floor, now the one first
// and now the other, and times-floor is the median of the pairs' ratios; that of the
// floor itself shows how steady the machine is. Where others work on the machine too,
// cpu-times-floor says more: the same of the time on all cores together, of which
// ferrule uses several at once.
func BenchmarkCheck(b *testing.B) {
	plain := Sheet{Rows: rows, Seed: 14}
	for _, r := range rivals {
		b.Run(r.name, func(b *testing.B) { race(b, r, r.name, plain) })
	}
	b.Run("ferrule-fractions", func(b *testing.B) {
		race(b, rivals[1], "ferrule-fractions", Sheet{Rows: rows, Seed: 14, Mixed: true})
	})
}

func race(b *testing.B, r rival, name string, s Sheet) {
	floor, floorSheet, sheet := rivals[0], write(b, Sheet{Rows: s.Rows, Seed: s.Seed}), write(b, s)
	if !agreed[name] {
		r.agree(b, sheet)
		agreed[name] = true
	}
	p := pairs(b, 1,
		func() spent { return run(b, r.command(b, sheet.path), nil, r.code(sheet)) },
		func() spent { return run(b, floor.command(b, floorSheet.path), nil, floor.code(floorSheet)) })
	b.ReportMetric(float64(rows)/median(p.wall).Seconds(), "clubs/s")
	b.ReportMetric(median(p.wallRatio), "times-floor")
	b.ReportMetric(median(p.cpuRatio), "cpu-times-floor")
	b.ReportMetric(float64(p.memory)/(1<<20), "peak-MiB")
}

// BenchmarkBag times the judging of one bag of 14 from the start of the process to its
// end, against a program that starts and stops.
func BenchmarkBag(b *testing.B) {
	bag := write(b, Sheet{Rows: Bag, Seed: 1})
	r := rivals[1]
	r.agree(b, bag)
	small(b, func() *exec.Cmd { return r.command(b, bag.path) }, r.code(bag))
}

// BenchmarkVet times the reading and checking of a book of 1,000 rules from the start
// of the process to its end, against a program that starts and stops.
func BenchmarkVet(b *testing.B) {
	path := book(b, 1000)
	small(b, func() *exec.Cmd { return vet(b, path) }, 0)
}

// small runs a short command twenty times for each iteration.
func small(b *testing.B, command func() *exec.Cmd, code int) {
	empty := build(b, ".", "./empty")
	p := pairs(b, 20,
		func() spent { return run(b, command(), nil, code) },
		func() spent { return run(b, exec.Command(empty, "check"), nil, 0) })
	b.ReportMetric(float64(median(p.wall).Microseconds())/1000, "ms/run")
	b.ReportMetric(median(p.wallRatio), "times-empty")
	b.ReportMetric(median(p.cpuRatio), "cpu-times-empty")
}

// BenchmarkMemory reports the most memory that ferrule holds on a sheet of 300,000
// clubs, and with -long on one of 3,000,000, beside that of a program that does
// nothing. On Linux the figure of a program is never below that of the program that
// started it, which is this one.
func BenchmarkMemory(b *testing.B) {
	sizes := []struct {
		name string
		rows int
	}{{"300000", rows}, {"3000000", 10 * rows}}
	for _, size := range sizes {
		b.Run(size.name, func(b *testing.B) {
			if size.rows > rows && !*long {
				b.Skip("a sheet of 3,000,000 clubs is weighed with -long")
			}
			sheet := write(b, Sheet{Rows: size.rows, Seed: 14})
			r := rivals[1]
			empty := build(b, ".", "./empty")
			var most, none int64
			for b.Loop() {
				most = max(most, run(b, r.command(b, sheet.path), nil, r.code(sheet)).memory)
				none = max(none, run(b, exec.Command(empty, "check"), nil, 0).memory)
			}
			b.ReportMetric(float64(most)/(1<<20), "peak-MiB")
			b.ReportMetric(float64(none)/(1<<20), "empty-MiB")
		})
	}
}

// paired is what the runs of ours took, each beside a run of theirs.
type paired struct {
	wall      []time.Duration
	wallRatio []float64 // ours over theirs
	cpuRatio  []float64
	memory    int64 // the most that ours held, bytes
}

// pairs runs ours and theirs one after the other, so many pairs for each iteration,
// now the one first and now the other. Only ours counts for ns/op.
func pairs(b *testing.B, each int, ours, theirs func() spent) paired {
	var p paired
	for b.Loop() {
		for range each {
			var o, t spent
			against := func() {
				b.StopTimer()
				t = theirs()
				b.StartTimer()
			}
			if len(p.wall)%2 == 0 {
				against()
				o = ours()
			} else {
				o = ours()
				against()
			}
			p.wall = append(p.wall, o.wall)
			p.wallRatio = append(p.wallRatio, o.wall.Seconds()/t.wall.Seconds())
			p.cpuRatio = append(p.cpuRatio, o.cpu.Seconds()/t.cpu.Seconds())
			p.memory = max(p.memory, o.memory)
		}
	}
	return p
}

// median returns the middle of the values, the upper one of two.
func median[T time.Duration | float64](values []T) T {
	values = slices.Sorted(slices.Values(values))
	return values[len(values)/2]
}

// book writes a book of that many rules.
func book(tb testing.TB, rules int) string {
	tb.Helper()
	file, err := os.Create(filepath.Join(scratch, "long.ferrule"))
	if err != nil {
		tb.Fatal(err)
	}
	if err := errors.Join(WriteBook(file, rules), file.Close()); err != nil {
		tb.Fatal(err)
	}
	return file.Name()
}

func vet(tb testing.TB, path string) *exec.Cmd { return exec.Command(ferrule(tb), "vet", path) }
