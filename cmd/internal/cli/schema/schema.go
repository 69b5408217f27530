// Package schema holds the JSON Schemas (draft 2020-12) of what the commands write for other programs.
package schema

import (
	"embed"
	"io"
	"strings"
)

//go:embed *.json
var files embed.FS

// Names lists the schemas, as in "ferrule.report/1".
func Names() (names []string) {
	list, err := files.ReadDir(".")
	if err != nil {
		panic(err) // they are embedded
	}
	for _, f := range list {
		names = append(names, "ferrule."+strings.TrimSuffix(f.Name(), ".json")+"/1")
	}
	return names
}

// Write writes the schema that is asked for as in "schema ferrule.report/1", or "schema report" for short. It is false
// where there is none. What goes wrong is for w to remember.
func Write(w io.Writer, asked string) bool {
	name, ok := strings.CutPrefix(asked, "schema ")
	text, err := files.ReadFile(strings.TrimSuffix(strings.TrimPrefix(name, "ferrule."), "/1") + ".json")
	if ok = ok && err == nil; ok {
		w.Write(text)
	}
	return ok
}
