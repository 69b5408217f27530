package report

// This file measures text as a terminal shows it.

import "github.com/clipperhouse/displaywidth"

// width is how many columns a text takes.
func width(s string) int { return displaywidth.String(s) }

// shorten cuts a text that takes more than n columns, n at least 1, and ends it in dots.
func shorten(s string, n int) string { return displaywidth.TruncateString(s, n, "…") }
