package rivals

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

var long = flag.Bool("long", false, "weigh a sheet of 3,000,000 clubs as well")

// scratch is where programs are built and sheets are written.
var scratch string

func TestMain(m *testing.M) {
	flag.Parse()
	var err error
	if scratch, err = os.MkdirTemp("", "ferrule-rivals-"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	code := m.Run()
	os.RemoveAll(scratch)
	os.Exit(code)
}

// rival is a program that judges a sheet by the six rules.
type rival struct {
	name    string
	command func(tb testing.TB, sheet string) *exec.Cmd // skips the test where the program is missing
	found   int                                         // its exit code where clubs fail
}

var rivals = []rival{
	{"floor", own("floor"), 0},
	{"ferrule", ferruleCheck, 1},
	{"mawk", mawk, 0},
	{"cel", own("cel"), 0},
	{"python", python, 0},
	{"bare", own("bare"), 0},
	{"opa", own("opa"), 0},
}

// own runs one of this module's programs.
func own(name string) func(testing.TB, string) *exec.Cmd {
	return func(tb testing.TB, sheet string) *exec.Cmd {
		return exec.Command(build(tb, ".", "./"+name), sheet)
	}
}

func ferruleCheck(tb testing.TB, sheet string) *exec.Cmd {
	return exec.Command(ferrule(tb), "check", sheet, "--rules", filepath.Join("testdata", "six.ferrule"), "--format", "short")
}

func ferrule(tb testing.TB) string { return build(tb, filepath.Join("..", ".."), "./cmd/ferrule") }

func mawk(tb testing.TB, sheet string) *exec.Cmd {
	path, err := exec.LookPath("mawk")
	if err != nil {
		tb.Skip("mawk is not on this machine")
	}
	return exec.Command(path, "-f", filepath.Join("testdata", "six.awk"), sheet)
}

func python(tb testing.TB, sheet string) *exec.Cmd {
	path, err := interpreter()
	if err != nil {
		tb.Skip("Python 3 is not on this machine")
	}
	return exec.Command(path, filepath.Join("testdata", "six.py"), sheet)
}

// interpreter asks Python where it is, since what stands on the path may be a script
// that looks for it and takes as long as the job.
var interpreter = sync.OnceValues(func() (string, error) {
	path, err := exec.Command("python3", "-c", "import sys; print(sys.executable)").Output()
	return strings.TrimSpace(string(path)), err
})

var built = map[string]string{}

// build compiles the program of that package once and returns its path.
func build(tb testing.TB, module, pkg string) string {
	tb.Helper()
	path, done := built[pkg]
	if done {
		return path
	}
	path = filepath.Join(scratch, filepath.Base(pkg))
	cmd := exec.Command("go", "build", "-o", path, pkg)
	cmd.Dir = module
	if text, err := cmd.CombinedOutput(); err != nil {
		tb.Fatalf("building %s: %v\n%s", pkg, err, text)
	}
	built[pkg] = path
	return path
}

// made is a sheet on the disk with the faults that were planted in it.
type made struct {
	path  string
	found []Finding
}

var sheets = map[Sheet]made{}

// write makes the sheet once.
func write(tb testing.TB, s Sheet) made {
	tb.Helper()
	if m, done := sheets[s]; done {
		return m
	}
	file, err := os.Create(filepath.Join(scratch, fmt.Sprintf("clubs-%d-%d-%t.csv", s.Rows, s.Seed, s.Mixed)))
	if err != nil {
		tb.Fatal(err)
	}
	found, err := s.Write(file)
	if err := errors.Join(err, file.Close()); err != nil {
		tb.Fatal(err)
	}
	sheets[s] = made{file.Name(), found}
	return sheets[s]
}

// spent is what a run of a program took.
type spent struct {
	wall   time.Duration
	cpu    time.Duration // on all cores together
	memory int64         // the most it held, bytes
}

// run runs the program with its findings to out, to /dev/null where out is nil, and
// expects that exit code.
func run(tb testing.TB, cmd *exec.Cmd, out *bytes.Buffer, code int) spent {
	tb.Helper()
	if out != nil {
		cmd.Stdout = out
	}
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	start := time.Now()
	err := cmd.Run()
	wall := time.Since(start)
	if cmd.ProcessState == nil || cmd.ProcessState.ExitCode() != code {
		tb.Fatalf("%s: exit %v, expected %d\n%s", cmd, err, code, &complaints)
	}
	state := cmd.ProcessState
	return spent{wall, state.UserTime() + state.SystemTime(), state.SysUsage().(*syscall.Rusage).Maxrss << 10}
}

// code is the exit code that the rival should end with on the sheet.
func (r rival) code(m made) int {
	if len(m.found) == 0 {
		return 0
	}
	return r.found
}

// agree runs the rival on the sheet and expects the planted faults, each in its row
// and by its rule, and nothing else.
func (r rival) agree(tb testing.TB, m made) {
	tb.Helper()
	var out bytes.Buffer
	run(tb, r.command(tb, m.path), &out, r.code(m))
	var got []Finding
	for line := range strings.Lines(out.String()) {
		place, finding, ok := strings.Cut(strings.TrimPrefix(line, m.path+":"), ": fail ")
		if !ok {
			continue // the totals
		}
		row, err := strconv.Atoi(place)
		if err != nil {
			tb.Fatalf("%s: no row in %q", r.name, line)
		}
		rule, _, _ := strings.Cut(strings.TrimSpace(finding), ":")
		got = append(got, Finding{row, rule})
	}
	got = sorted(got)
	if want := sorted(m.found); !slices.Equal(got, want) {
		tb.Fatalf("%s finds %d faults, %d were planted: %v", r.name, len(got), len(want), firstDifference(got, want))
	}
}

func sorted(found []Finding) []Finding {
	found = slices.Clone(found)
	slices.SortFunc(found, func(a, b Finding) int {
		if a.Row != b.Row {
			return a.Row - b.Row
		}
		return strings.Compare(a.Rule, b.Rule)
	})
	return found
}

func firstDifference(got, want []Finding) string {
	for i := range max(len(got), len(want)) {
		switch {
		case i >= len(got):
			return fmt.Sprintf("%v is missing", want[i])
		case i >= len(want):
			return fmt.Sprintf("%v is too many", got[i])
		case got[i] != want[i]:
			return fmt.Sprintf("%v where %v was planted", got[i], want[i])
		}
	}
	return ""
}

// Every rival finds exactly the faults that the sheet's maker planted, which is what
// makes their times comparable. Ferrule finds them in lengths of either spelling.
func TestRivalsAgree(t *testing.T) {
	m := write(t, Sheet{Rows: 60_000, Seed: 7})
	for _, r := range rivals {
		t.Run(r.name, func(t *testing.T) { r.agree(t, m) })
	}
	t.Run("ferrule, fractions", func(t *testing.T) {
		rivals[1].agree(t, write(t, Sheet{Rows: 60_000, Seed: 7, Mixed: true}))
	})
}
