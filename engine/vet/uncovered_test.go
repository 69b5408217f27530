package vet_test

import (
	"strings"
	"testing"

	"ferrule/lang/diag"
)

// The 60-degree plane of the published equipment rules is not for putters (The R&A and USGA, "Equipment Rules", part 2,
// 1c), so a rule for every club that asks for a length by it leaves each putter unmeasured for ever.
func TestClubsThatAMethodNeverCovers(t *testing.T) {
	const tools = "property junior yes-no\nmethod plane \"P\"\n  covers every club except putter\n  stop at 60 deg\n  top at cap end\n  reads to 1/16 in\n" +
		"method axis \"A\"\n  covers every putter\n  stop along axis\n  top at cap end\n  reads to 1/16 in\n"
	for _, c := range []struct{ rule, such string }{
		{"for every club\nrequire length by plane at least 18 in", "a putter"},
		{"for every putter, chipper\nrequire length by plane at most 36 in", "a putter"},
		{"for every club\nrequire length by plane at least 18 in\nunless junior: exempt", "a putter"},
		{"for every club where lie > 60 deg\nrequire length by plane at least 18 in", "a putter"},
		{"for every putter, driver\nrequire length by axis at most 50 in", "a driver"},
		{"for every club except putter\nrequire length by plane at least 18 in", ""},
		{"for every club where kind != putter\nrequire length by plane at least 18 in", ""},
		{"for every club\nrequire length by plane at least 18 in\nunless kind = putter: exempt", ""},
		{"for every club\nrequire (if kind = putter then length by axis <= 48 in else length by plane <= 48 in)", ""},
		{"for every club\nrequire lie at most 80 deg", ""},
	} {
		text := tools + "rule a\n" + c.rule + "\n"
		p, _ := loaded(t, text)
		got := ""
		for _, f := range analysed(t, text).List {
			if f.Code == diag.NeverMeasured {
				_, got, _ = strings.Cut(f.Message, "for some of its clubs, such as ")
				got, _, _ = strings.Cut(got, ":")
				againAsSheet(t, p, f)
			}
		}
		if got != c.such {
			t.Errorf("%q: found %q, want %q", c.rule, got, c.such)
		}
	}
}
