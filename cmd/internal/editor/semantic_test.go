package editor

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Each token is what it is in the book, at its place in UTF-16.
func TestSemanticTokens(t *testing.T) {
	r := house.ask(t, "main.ferrule", mainBook)
	answer, err := semanticTokens(r)
	if err != nil {
		t.Fatal(err)
	}
	data := answer.(map[string]any)["data"].([]int)
	var got []string
	line, char := 0, 0
	for d := range slices.Chunk(data, 5) {
		if line += d[0]; d[0] > 0 {
			char = 0
		}
		char += d[1]
		from, to := r.doc.Offset(Position{line, char}), r.doc.Offset(Position{line, char + d[2]})
		got = append(got, fmt.Sprintf("%s:%s", mainBook[from:to], tokenTypes[d[3]]))
	}
	all := strings.Join(got, " ")
	for _, want := range []string{
		`use:keyword "lib/house.ferrule":string without:keyword old:function use:keyword methods:variable`,
		`chart:keyword lengths:variable of:keyword length:variable by:keyword bench:function per:keyword club:type`,
		`woods:type =:operator 45 in:number`, `every:keyword woods:type where:keyword made:variable >=:operator 2000-01-01:number`,
		`within:keyword 1 in:number of:keyword lengths:variable`, `kind:variable =:operator woods:type and:keyword`,
		`case:keyword "½” and the rest, 🏌":string club:keyword light:variable ::operator driver:type ,:operator mass:variable`,
		`# light:comment expect:keyword light:function on:keyword light:variable ::operator pass:keyword`,
	} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not in %s", want, all)
		}
	}
}
