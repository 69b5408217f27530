package cli_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ferrule/cmd/internal/cli"
)

// What was in the book stays as it is, byte for byte, and what is added has the line ends of
// the book. A book that is named twice gets its cases once.
func TestCasesAreAddedToTheBookAsItIs(t *testing.T) {
	const bare = "rulebook \"X\"\nrule most\n   for every   iron # by hand\n  require lie at most 64 deg"
	for name, text := range map[string]string{
		"plain":              bare + "\n",
		"without a last end": bare,
		"with CRLF":          strings.ReplaceAll(bare, "\n", "\r\n") + "\r\n",
		"with a mark":        "\ufeff" + bare + "\n\n\n",
	} {
		file := filepath.Join(t.TempDir(), "x.ferrule")
		if err := os.WriteFile(file, []byte(text), 0o640); err != nil {
			t.Fatal(err)
		}
		var out, errors bytes.Buffer
		other := filepath.Dir(file) + "/./x.ferrule"
		if code := cli.Run([]string{"test", "--write", file, other}, &cli.Streams{Now: today, Out: &out, Err: &errors}); code != 0 || errors.Len() > 0 {
			t.Errorf("%s: exit code %d, %s", name, code, &errors)
			continue
		}
		now, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		added, kept := strings.CutPrefix(string(now), text)
		if !kept || strings.Count(added, "# worked out by ferrule") != 1 {
			t.Errorf("%s: the book is now\n%q", name, now)
		}
		if crlf := strings.Contains(text, "\r\n"); crlf && strings.Count(added, "\n") != strings.Count(added, "\r\n") || !crlf && strings.Contains(added, "\r") {
			t.Errorf("%s: the line ends of %q", name, added)
		}
		if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o640 {
			t.Errorf("%s: who may read it changed: %v", name, info.Mode())
		}
	}
}
