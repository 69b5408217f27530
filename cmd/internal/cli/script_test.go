package cli_test

// The scripts of testdata/script run the command as its users do and compare all
// that it prints. "go test ./cmd/internal/cli -run TestScripts -update" refreshes
// what they expect.

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"ferrule/cmd/internal/cli"
)

var update = flag.Bool("update", false, "write what the command prints into the scripts")

// TestMain puts the command ferrule on the path, for the scripts and for the README. Its today is a fixed day, so
// that no test knows which day it is: FERRULE_TEST_DAY=2031-02-28 runs them on another.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"ferrule": func() { os.Exit(cli.Main(today, "test")) },
	})
}

// today is noon, by the local clock, of the day on which the tests are run.
func today() time.Time {
	day := os.Getenv("FERRULE_TEST_DAY")
	if day == "" {
		day = "2026-05-02"
	}
	t, err := time.ParseInLocation(time.DateTime, day+" 12:00:00", time.Local)
	if err != nil {
		panic(err)
	}
	return t
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("NO_COLOR", "")
			e.Setenv("TERM", "dumb")
			e.Setenv("FERRULE_TEST_DAY", os.Getenv("FERRULE_TEST_DAY"))
			e.Setenv("TZ", os.Getenv("TZ"))
			e.Setenv("TODAY", today().Format(time.DateOnly))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":   exits,
			"repeats": repeats,
			"page":    page,
		},
	})
}

// exits runs a command, "exits 3 ferrule check bags.csv", and asks for the exact exit
// code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("exits takes a code and a command")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var ended *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &ended) {
		got = ended.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// repeats writes a text so many times into a new file, each time with its own number for every #:
// "repeats 300 rule.txt book.ferrule".
func repeats(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("repeats takes a number, a file and a new file")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	text := ts.ReadFile(args[1])
	var out strings.Builder
	for i := range n {
		out.WriteString(strings.ReplaceAll(text, "#", strconv.Itoa(i)))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), []byte(out.String()), 0o600))
}

// page asks that a file, or stdout, is a page that reads as XML and needs nothing beside it.
func page(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("page takes a file")
	}
	text := ts.ReadFile(args[0])
	for _, outside := range []string{"://", "url(", "@import", "<script"} {
		if strings.Contains(text, outside) {
			ts.Fatalf("the page holds %s", outside)
		}
	}
	for _, part := range []string{`[> ]ferrule( test)?(</p>|\. This is)`, `<p class="sign"><span>Date</span>`} {
		if !regexp.MustCompile(part).MatchString(text) {
			ts.Fatalf("the page does not hold %s", part)
		}
	}
	for d := xml.NewDecoder(strings.NewReader(text)); ; {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			ts.Fatalf("%v in\n%s", err, text)
		}
	}
}
