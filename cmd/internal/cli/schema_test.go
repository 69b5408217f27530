package cli_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"ferrule/cmd/internal/cli/schema"
)

// schemas are all schemas, each made ready by a general validator of JSON Schema 2020-12.
func schemas(t *testing.T) map[string]*jsonschema.Schema {
	c := jsonschema.NewCompiler()
	out := map[string]*jsonschema.Schema{}
	for _, name := range schema.Names() {
		var text bytes.Buffer
		if !schema.Write(&text, "schema "+name) {
			t.Fatalf("there is no %s", name)
		}
		doc, err := jsonschema.UnmarshalJSON(&text)
		if err != nil {
			t.Fatal(name, err)
		}
		if err := c.AddResource("file:///"+name, doc); err != nil {
			t.Fatal(name, err)
		}
		if out[name], err = c.Compile("file:///" + name); err != nil {
			t.Fatal(name, err)
		}
		if name == "ferrule.report/1" {
			if out["result"], err = c.Compile("file:///" + name + "#/$defs/result"); err != nil {
				t.Fatal(err)
			}
		}
	}
	return out
}

// Every JSON document in the scripts is as its schema says, and every schema has one at least; a line of JSON Lines about
// a result is one of the results of the schema.
func TestJSONIsAsItsSchemaSays(t *testing.T) {
	all, seen := schemas(t), map[string]int{}
	names, err := filepath.Glob(filepath.Join("testdata", "script", "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range txtar.Parse(text).Files {
			pieces := [][]byte{f.Data}
			if bytes.Contains(f.Data, []byte(`"entry":`)) {
				pieces = bytes.Split(f.Data, []byte("\n"))
			}
			for _, piece := range pieces {
				doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(piece))
				members, ok := doc.(map[string]any)
				if err != nil || !ok {
					continue
				}
				kind, _ := members["schema"].(string)
				if members["entry"] == "result" {
					kind = "result"
				}
				if all[kind] == nil || members["entry"] != nil && kind != "result" {
					continue
				}
				seen[kind]++
				if err := all[kind].Validate(doc); err != nil {
					t.Errorf("%s, %s: %v", name, f.Name, err)
				}
			}
		}
	}
	for name := range all {
		if seen[name] == 0 {
			t.Errorf("no script has a document of %s", name)
		}
	}
}

// A schema refuses what is not so: a document without a member that it must have, a verdict that there is not, a mend of
// what does not fail.
func TestSchemasRefuseWhatIsWrong(t *testing.T) {
	all := schemas(t)
	right := `{"rule": "a", "weight": "rule", "book": "b", "line": 3, "subject": {"of": "club", "set": "", "clubs": ["d"],
		"rows": [{"file": "s.csv", "row": 2}]}, "verdict": "fail", "value": {"amount": 1, "unit": "in"}, "standard_uncertainty": null,
		"limit": {"upper": {"amount": 0.5, "unit": "in"}}, "margin": null, "conformance_probability": null, "decision": "simple",
		"exception": null, "needs": [], "steps": [], "mend": "Cut."}`
	valid := func(text string) bool {
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		return all["result"].Validate(doc) == nil
	}
	if !valid(right) {
		t.Error("a right result is refused")
	}
	for _, wrong := range [][2]string{{`"margin": null, `, ""}, {`"fail"`, `"failed"`}, {`"fail"`, `"too-close"`}, {`"amount": 1`, `"amount": "1"`},
		{`"of": "club"`, `"of": "clubs"`}} {
		if valid(strings.Replace(right, wrong[0], wrong[1], 1)) {
			t.Errorf("%s in place of %s is not refused", wrong[1], wrong[0])
		}
	}
	if names := schema.Names(); !slices.Contains(names, "ferrule.diff/1") || len(names) != 9 {
		t.Errorf("the schemas are %v", names)
	}
}
