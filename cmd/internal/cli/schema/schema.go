// Package schema holds the JSON Schemas (draft 2020-12) of what the commands write for other programs.
package schema

import (
	"embed"
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

// Of returns the schema of that name, which may be "report" for short; false where there is none.
func Of(name string) (text []byte, ok bool) {
	name = strings.TrimSuffix(strings.TrimPrefix(name, "ferrule."), "/1")
	text, err := files.ReadFile(name + ".json")
	return text, err == nil
}
