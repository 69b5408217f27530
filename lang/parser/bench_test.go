package parser

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ferrule/lang/source"
)

// bigBook is a book of n rules of the common forms.
func bigBook(n int) string {
	var b strings.Builder
	b.WriteString("rulebook \"Big\"\n  edition 2026-04-18\n")
	for i := range n {
		fmt.Fprintf(&b, `
rule rule-%d "No club but the putter is longer than 46 in"   # a comment
  for      every club except putter where loft > 3 deg and not (hand = left)
  require  length by plane-60 at most 46 %d/1024 in allowing 0.2 in
  unless   hand = left and not (kind = chipper): at most 47 in
  decision three-way at 95 %%
  cite     "Committee notice 3"
  mend     "Take {over} off the butt and fit a new grip."
`, i, i%1000+1)
	}
	return b.String()
}

func BenchmarkThousandRules(b *testing.B) {
	text := bigBook(1000)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, list := Parse(source.NewFile("big.ferrule", text)); len(list) > 0 {
			b.Fatal(list[0])
		}
	}
}

func TestX(t *testing.T) {
	tm := func(n string, f func()) { s := time.Now(); f(); t.Log(n, time.Since(s)) }
	tm("text", func() { textParser() })
	tm("date", func() { dateParser() })
	tm("quantity", func() { quantityParser() })
	tm("rule", func() { ruleParser() })
	tm("for", func() { forParser() })
	tm("require", func() { requireParser() })
	tm("unless", func() { unlessParser() })
	tm("expect", func() { expectParser() })
	tm("club", func() { clubParser() })
	tm("decision", func() { decisionParser() })
	tm("use", func() { useParser() })
}

func BenchmarkBuild(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		lazily[requireClause]()()
	}
}
