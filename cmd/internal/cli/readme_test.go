package cli_test

// The README shows commands with what they print, and a rule book as it stands in a
// file. This test runs the commands from the top of the tree and holds the page
// against them; "go test ./cmd/internal/cli -run TestReadme -update" refreshes it.

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

const topOfTree = "../../.."

func TestReadme(t *testing.T) {
	page := filepath.Join(topOfTree, "README.md")
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	shown := 0
	for line := range lines(string(text)) {
		switch {
		case line.fence && strings.HasPrefix(line.info, "console"):
			out.WriteString("```console\n")
			for _, command := range line.body {
				if after, ok := strings.CutPrefix(command, "$ "); ok {
					shown++
					out.WriteString(command + "\n" + run(after))
				}
			}
			out.WriteString("```\n")
		case line.fence && strings.HasPrefix(line.info, "ferrule-file "):
			shown++
			book, err := os.ReadFile(filepath.Join(topOfTree, strings.TrimPrefix(line.info, "ferrule-file ")))
			if err != nil {
				t.Fatal(err)
			}
			out.WriteString("```" + line.info + "\n" + string(book) + "```\n")
		case line.fence:
			out.WriteString("```" + line.info + "\n" + strings.Join(append(line.body, ""), "\n") + "```\n")
		default:
			out.WriteString(line.text + "\n")
		}
	}
	if shown < 6 {
		t.Errorf("the README shows %d commands and files only", shown)
	}
	if out.String() == string(text) {
		return
	}
	if *update {
		if err := os.WriteFile(page, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("the README shows something else than its commands print:\n%s", difference(string(text), out.String()))
}

// run runs a command line of the README. "go run ./cmd/ferrule" is the command that TestMain put on the path.
func run(command string) string {
	cmd := exec.Command("sh", "-c", strings.Replace(command, "go run ./cmd/ferrule", "ferrule", 1))
	cmd.Dir = topOfTree
	cmd.Env = append(os.Environ(), "NO_COLOR=1", "TERM=dumb")
	out, _ := cmd.CombinedOutput()
	return string(out)
}

// pageLine is a line of a page, or a fenced block as a whole.
type pageLine struct {
	text  string
	fence bool
	info  string
	body  []string
}

func lines(page string) func(func(pageLine) bool) {
	return func(yield func(pageLine) bool) {
		rest := strings.Split(strings.TrimSuffix(page, "\n"), "\n")
		for i := 0; i < len(rest); i++ {
			info, fence := strings.CutPrefix(rest[i], "```")
			l := pageLine{text: rest[i], fence: fence, info: info}
			if fence {
				for i++; i < len(rest) && rest[i] != "```"; i++ {
					l.body = append(l.body, rest[i])
				}
			}
			if !yield(l) {
				return
			}
		}
	}
}

// difference shows the first lines that differ.
func difference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return "shown:   " + x[i] + "\nprinted: " + y[i]
		}
	}
	return "one is longer than the other"
}
