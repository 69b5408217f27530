package cli_test

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// The packages run one way, from text to verdicts to reports. A stage that is not
// listed may import nothing from here; one that does not exist yet is no fault. Any may import lang/lists.
var mayImport = map[string][]string{
	"lang/unit":      {},
	"lang/source":    {},
	"lang/lists":     {},
	"lang/catalogue": {"lang/unit"},
	"lang/diag":      {"lang/source"},
	"lang/ast":       {"lang/source", "lang/unit"},
	"lang/parser":    {"lang/source", "lang/unit", "lang/diag", "lang/ast"},
	"lang/book":      {"lang/ast", "lang/catalogue", "lang/source", "lang/unit"},
	"lang/check":     {"lang/book", "lang/ast", "lang/catalogue", "lang/source", "lang/unit", "lang/diag"},
	"lang/format":    {"lang/ast", "lang/source", "lang/parser"},
	"lang/load": {"lang/unit", "lang/source", "lang/catalogue", "lang/diag", "lang/ast", "lang/parser",
		"lang/book", "lang/check", "lang/format"},
	"lang/editors":       {},
	"lang":               {},
	"engine/club":        {"lang/catalogue", "lang/unit"},
	"engine/spool":       {},
	"engine/sheet/cells": {"lang/source"},
	"engine/sheet":       {"engine/sheet/cells", "engine/club", "engine/spool", "lang/catalogue", "lang/unit", "lang/source", "lang/diag"},
	"engine/measure":     {"lang/unit", "engine/value"},
	"engine/value":       {"lang/unit", "lang/source", "engine/decide"},
	"engine/decide":      {"lang/unit"},
	"engine/eval": {"lang/ast", "lang/book", "engine/club", "engine/value", "engine/measure", "engine/decide", "lang/unit",
		"lang/source", "lang/diag", "lang/catalogue"},
	"engine/judge": {"lang/ast", "lang/book", "engine/club", "engine/value", "engine/measure", "engine/decide",
		"engine/eval", "lang/unit", "lang/source", "lang/catalogue"},
	"engine/bounds":         {"lang/unit"},
	"engine/constrain":      belowReport,
	"engine/trim":           append([]string{"engine/constrain"}, belowReport...),
	"engine/build":          belowReport,
	"engine/compare":        belowReport,
	"engine/trial":          append([]string{"engine/space"}, belowReport...),
	"engine/space":          append([]string{"engine/sheet"}, belowReport...),
	"engine/contrast":       append([]string{"engine/space"}, belowReport...),
	"engine/vet":            append([]string{"engine/contrast", "engine/space", "engine/constrain"}, belowReport...),
	"engine/editions":       append([]string{"engine/contrast", "engine/space"}, belowReport...),
	"engine/report/doc":     {"lang/unit"},
	"engine/report/page":    {"engine/report/doc", "lang/unit"},
	"engine/report/wording": append([]string{"engine/space", "engine/trial"}, belowReport...),
	"engine/report/data": append([]string{"engine/report/wording", "engine/space", "engine/contrast", "engine/vet", "engine/editions",
		"engine/build", "engine/compare", "engine/constrain", "engine/trial", "engine/trim"}, belowReport...),
	"engine/report/picture": append([]string{"engine/report/doc", "engine/report/wording", "engine/build", "engine/compare", "engine/constrain",
		"engine/trim"}, belowReport...),
	"engine/report": append([]string{"engine/report/picture", "engine/report/doc", "engine/report/page", "engine/report/data", "engine/report/wording",
		"engine/spool", "engine/space", "engine/contrast", "engine/vet", "engine/editions", "engine/build", "engine/compare",
		"engine/constrain", "engine/trial", "engine/trim"}, belowReport...),
	"engine": append([]string{"engine/report", "engine/report/data", "engine/report/wording", "engine/sheet", "lang/load", "rulesets"},
		belowReport...),
	"engine/session": append([]string{"engine/sheet", "engine/sheet/cells", "engine/report/doc", "engine/report/wording"},
		belowReport...),
	"cmd/internal/watch": {"lang/diag", "lang/unit"},
	"cmd/internal/editor": append([]string{"engine/vet", "engine/trial", "engine/space", "engine/report/wording", "lang/load", "lang/parser", "lang/format",
		"rulesets", "lang", "engine/compare", "engine/report", "engine/report/picture"}, belowReport...),
	"cmd/internal/bench":      {"engine/session", "lang/diag", "lang/unit"},
	"rulesets":                {},
	"cmd/ferrule":             {"cmd/internal/cli"},
	"cmd/internal/cli/schema": {},
	"cmd/internal/cli":        {"*"},
}

// belowReport are the engine and what stands under it: reports show results, which
// name the rules and the books that they come from.
var belowReport = []string{"engine/judge", "engine/eval", "engine/club", "engine/value", "engine/measure", "engine/decide", "engine/bounds",
	"lang/book", "lang/ast", "lang/catalogue", "lang/unit", "lang/source", "lang/diag"}

// Libraries, and what only the outermost stage may touch, with those who may.
var onlyIn = map[string][]string{
	"github.com/alecthomas/participle": {"lang/parser"},
	"github.com/expr-lang/expr":        {"engine/eval"},
	"github.com/spf13":                 {"cmd/internal/cli"},
	"github.com/rogpeppe/go-internal":  {"cmd/internal/cli"},
	"github.com/xuri/excelize":         {},
	"gonum.org/v1/gonum":               {"engine/decide"},
	"github.com/clipperhouse":          {"lang/diag", "engine/report/doc"},
	"github.com/sourcegraph/jsonrpc2":  {"cmd/internal/editor"},
	"github.com/peterh/liner":          {"cmd/internal/bench"},
	"golang.org/x/sys":                 {"cmd/internal/bench"},
	"os":                               {"cmd/ferrule", "cmd/internal/cli", "cmd/internal/bench", "cmd/internal/watch"},
	"os/exec":                          {},
	"net":                              {},
	"net/http":                         {},
	"unsafe":                           {},
}

func TestImportsRunOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "ferrule/...").Output()
	if errors.Is(err, exec.ErrNotFound) {
		t.Skip("the go command is not there to list the packages")
	}
	if err != nil {
		t.Fatal(err)
	}
	const module = "ferrule/"
	seen := 0
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := dec.Decode(&p); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		seen++
		name := strings.TrimPrefix(p.ImportPath, module)
		may, listed := mayImport[name]
		if !listed {
			t.Errorf("%s stands nowhere in the order of the packages", name)
		}
		for _, imported := range p.Imports {
			if own, ok := strings.CutPrefix(imported, module); ok {
				if own != "lang/lists" && !slices.Contains(may, own) && !slices.Contains(may, "*") {
					t.Errorf("%s must not import %s", name, own)
				}
				continue
			}
			for library, who := range onlyIn {
				if (imported == library || strings.Contains(library, ".") && strings.HasPrefix(imported, library+"/")) && !slices.Contains(who, name) {
					t.Errorf("%s must not import %s", name, imported)
				}
			}
			if strings.Contains(strings.SplitN(imported, "/", 2)[0], ".") && !slices.ContainsFunc(keys(onlyIn), func(l string) bool { return strings.HasPrefix(imported, l) }) {
				t.Errorf("%s imports %s, which is no library that was agreed on", name, imported)
			}
		}
	}
	if seen < 10 {
		t.Errorf("only %d packages were looked at", seen)
	}
}

func keys(m map[string][]string) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	return out
}
