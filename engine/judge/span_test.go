package judge_test

import (
	"strings"
	"testing"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
)

// A refused row leaves a value of the set open, and its verdict where both are possible. Of the bag three irons surely count,
// of 39, 37 and 36 in; row 5 was refused for its length, and row 6, a wedge of 40 in, for its lie. So there are 3 or 4 irons,
// 4 to 6 clubs, and no wedge or one of 40 in.
func TestWhatARefusedRowLeavesOpen(t *testing.T) {
	const rows = "id,club,length,by,lie,loft\na,6i,39 in,soled,62 deg,30 deg\nb,7i,37 in,soled,62 deg,34 deg\nc,8i,36 in,soled,62 deg,38 deg\n" +
		"d,9i,xx,soled,62 deg,42 deg\ne,PW,40 in,soled,flat,46 deg\nf,SW,35 in,soled,64 deg,\n"
	for require, want := range map[string]string{
		"count of iron at most 4": "pass", "count of iron at most 3": "unmeasured", "count of iron at most 2": "fail",
		"count of iron below 3": "fail", "count of iron above 3": "unmeasured", "count of iron at least 5": "fail",
		"count of iron between 3 and 4": "pass", "count of iron is 4": "unmeasured", "count of iron is 5": "fail",
		"count of club at most 6": "pass", "count of club where loft > 45 deg at most 2": "pass", "count of club where loft > 45 deg at least 1": "unmeasured",
		"count of putter at most 1": "pass", "(count of iron) > 2 and (count of club) < 7": "pass", "(count of iron) != 5": "pass", "(count of iron) = 3": "unmeasured",
		"(count of wedge) < (count of iron)": "pass", "(if (count of iron) > 2 then 1 else 2) at most 1": "pass", "(count of iron) + 1 at most 14": "unmeasured",
		"longest of length by soled among iron at most 38 in": "fail", "longest of length by soled among iron at most 40 in": "unmeasured",
		"longest of length by soled among iron at least 39 in": "pass", "shortest of length by soled among iron at most 36 in": "pass",
		"longest of length by soled among wedge at most 40 in": "pass", "longest of length by soled among wedge below 40 in": "unmeasured",
		"spread of length by soled among iron at most 2 in": "fail", "spread of length by soled among iron at most 4 in": "unmeasured",
		"spread of length by soled among wedge at most 5 in": "pass", "mean of length by soled among wedge at most 50 in": "unmeasured",
		"longest of length by soled among putter at most 40 in": "unmeasured", "highest of loft among iron at most 42 deg": "pass",
	} {
		for _, decision := range []string{"simple", "three-way at 95 %"} {
			p, _ := compiled(t, "use methods\nrule r \"R\"\n for each set\n require "+require+"\n decision "+decision+"\n")
			r, problem := sheet.Open("s.csv", strings.NewReader(rows), sheet.Options{Schema: p.Schema})
			if problem != nil {
				t.Fatal(problem)
			}
			s, _ := r.Next()
			want := want
			if decision != "simple" && strings.Contains(require, "length") { // how sure a length would be counts, and is not known
				want = "unmeasured"
			}
			for _, all := range []bool{false, true} {
				got := p.NewJudge(judge.Options{Day: book.NoDay, All: all}).Set(s, judge.Sink{})
				for _, v := range decide.Verdicts() {
					if (v.String() == want) != (got.Verdicts[v] == 1) {
						t.Errorf("%s, %s: %v, want %s", require, decision, got.Verdicts, want)
					}
				}
			}
		}
	}
}
