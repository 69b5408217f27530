package cli_test

// The README and the guide show commands with what they print, and rule books as they are in their files. This test
// runs the commands and holds the pages against them; "go test ./cmd/internal/cli -run TestReadme -update" refreshes
// them. Commands run from the top of the tree; those of a block "console scratch" in a folder of the page's own.

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const topOfTree = "../../.."

func TestReadme(t *testing.T) {
	for page, least := range map[string]int{"README.md": 3, "cmd/GUIDE.md": 10} {
		t.Run(page, func(t *testing.T) { runPage(t, filepath.Join(topOfTree, page), least) })
	}
}

// runPage holds a page against what its commands print; it shows at least so many commands and files.
func runPage(t *testing.T, page string, least int) {
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	folders := map[string]string{"console": topOfTree, "console scratch": t.TempDir()}
	var out strings.Builder
	shown := 0
	for line := range lines(string(text)) {
		if !line.fence {
			out.WriteString(line.text + "\n")
			continue
		}
		folder := folders[line.info]
		book, isBook := strings.CutPrefix(line.info, "ferrule-file ")
		out.WriteString("```" + line.info + "\n")
		switch {
		case folder != "":
			for _, command := range line.body {
				if after, ok := strings.CutPrefix(command, "$ "); ok {
					shown++
					out.WriteString(command + "\n" + run(after, folder))
				}
			}
		case isBook:
			shown++
			book, err := os.ReadFile(filepath.Join(topOfTree, book))
			if err != nil {
				t.Fatal(err)
			}
			out.Write(book)
		default:
			out.WriteString(strings.Join(append(line.body, ""), "\n"))
		}
		out.WriteString("```\n")
	}
	if shown < least {
		t.Errorf("the page shows %d commands and files; expected %d or more", shown, least)
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
	t.Errorf("the page does not show what its commands print:\n%s", difference(string(text), out.String()))
}

// The README is read by somebody who has five minutes, and every file that a page points to is there.
func TestReadmeIsShort(t *testing.T) {
	links := regexp.MustCompile(`(?:\]\(|src=")([^)"#:]+)[)"#]`)
	for page, most := range map[string]int{"README.md": 300, "cmd/GUIDE.md": 1000} {
		text, err := os.ReadFile(filepath.Join(topOfTree, page))
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), "\n"); n > most {
			t.Errorf("%s has %d lines; expected %d at the most", page, n, most)
		}
		for _, link := range links.FindAllStringSubmatch(string(text), -1) {
			if _, err := os.Stat(filepath.Join(topOfTree, filepath.Dir(page), link[1])); err != nil {
				t.Errorf("%s points to %s, which is not there", page, link[1])
			}
		}
	}
}

// run runs a command line of a page. "go run ./cmd/ferrule" is the command that TestMain put on the path.
func run(command, folder string) string {
	cmd := exec.Command("sh", "-c", strings.Replace(command, "go run ./cmd/ferrule", "ferrule", 1))
	cmd.Dir = folder
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
