// Package rulesets holds the rule books that come with the tool. Each is in a
// file of its own, NAME.ferrule, with its sources and its cases.
package rulesets

import (
	"embed"
	"io/fs"
	"strings"

	"ferrule/lang/lists"
)

//go:embed *.ferrule
var books embed.FS

// FS returns the shipped books, each as NAME.ferrule.
func FS() fs.FS { return books }

// Names lists the names of the shipped books, sorted.
func Names() []string {
	entries, err := books.ReadDir(".")
	if err != nil {
		return nil
	}
	return lists.Each(entries, func(e fs.DirEntry) string { return strings.TrimSuffix(e.Name(), ".ferrule") })
}
