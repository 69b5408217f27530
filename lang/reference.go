// Package lang holds the reference of the rule language.
package lang

import _ "embed"

// Reference is the reference, as a page of Markdown. Its examples, in fences marked "ferrule", are whole books.
//
//go:embed REFERENCE.md
var Reference string
