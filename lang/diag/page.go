package diag

import (
	"fmt"
	"strings"
)

// Page is the entry as a page of text.
func (e Entry) Page() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n\n%s\n", e.Code, e.Title, strings.TrimSpace(e.Why))
	if e.Failing != "" {
		b.WriteString("\nFor example, this is wrong:\n\n" + Indented(e.Failing))
	}
	if e.Mended != "" {
		b.WriteString("\nand this is right:\n\n" + Indented(e.Mended))
	}
	return b.String()
}

// Indented sets a text in by four blanks.
func Indented(text string) string {
	var b strings.Builder
	for line := range strings.Lines(strings.Trim(text, "\n")) {
		line = strings.TrimRight(line, "\n")
		if line != "" {
			line = "    " + Visible(line)
		}
		b.WriteString(line + "\n")
	}
	return b.String()
}
