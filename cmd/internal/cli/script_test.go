package cli_test

// The scripts of testdata/script run the command as its users do and compare all
// that it prints. "go test ./cmd/internal/cli -run TestScripts -update" refreshes
// what they expect.

import (
	"errors"
	"flag"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"ferrule/cmd/internal/cli"
)

var update = flag.Bool("update", false, "write what the command prints into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"ferrule": func() { os.Exit(cli.Main()) },
	})
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
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
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
