package cli_test

import (
	"bytes"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// BenchmarkPage writes the page of 200 bags of 14, a third of them with a club that fails, and weighs it: its size a bag,
// and the most memory that is held for it and for the short lines of the same sheet.
func BenchmarkPage(b *testing.B) {
	const bags = 200
	sheet := []byte("set,id,club,length,by,lie,hand\n")
	for bag := range bags {
		for n := range 14 {
			lie := 60
			if n == 0 && bag%3 == 0 {
				lie = 62
			}
			sheet = fmt.Appendf(sheet, "bag %d,f%d,%d wood,%d 1/4 in,plane-60,%d deg,right\n", bag, n, n+2, 43-n, lie)
		}
	}
	name := filepath.Join(b.TempDir(), "bags.csv")
	write(b, name, string(sheet))
	peak := func(format string) (page []byte, most float64) {
		run := exec.Command("ferrule", "check", name, "--rules", "../../../rulesets/spring-scramble.ferrule",
			"--on", "2026-05-02", "--format", format)
		var said strings.Builder
		run.Stderr = &said
		page, err := run.Output()
		if failed := (*exec.ExitError)(nil); !errors.As(err, &failed) || failed.ExitCode() != 1 {
			b.Fatal(err, said.String())
		}
		return page, float64(run.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) / 1024
	}
	_, short := peak("short")
	var page []byte
	var most float64
	for b.Loop() {
		page, most = peak("html")
	}
	if n := bytes.Count(page, []byte(`<section class="sheet`)); n != bags {
		b.Fatalf("the page has %d bags, want %d", n, bags)
	}
	b.ReportMetric(float64(len(page))/bags/1024, "KiB/bag")
	b.ReportMetric(most, "page-peak-MiB")
	b.ReportMetric(short, "short-peak-MiB")
}
