package judge_test

// What a refused row that is one more setting of a club leaves open, and what it does not.

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
)

// told judges a sheet by rules, a line for each result that is not a pass, and counts the passes.
func told(t *testing.T, rules, text string, all bool) string {
	t.Helper()
	p, _ := compiled(t, rules)
	r, problem := sheet.Open("s.csv", strings.NewReader(text), sheet.Options{Schema: p.Schema})
	if problem != nil {
		t.Fatal(problem)
	}
	var out []string
	passes := 0
	j := p.NewJudge(judge.Options{Day: book.NoDay, All: all})
	for s, ok := r.Next(); ok; s, ok = r.Next() {
		tally := j.Set(s, judge.Sink{Result: func(r *judge.Result) {
			if v := r.Verdict.String(); v != "pass" && v != "exempt" {
				line := r.Rule.Decl.Name.Text + " " + v
				for _, c := range r.Subject.Clubs {
					line += fmt.Sprintf(" %s/%d", c.ID, c.Row)
				}
				out = append(out, strings.TrimSpace(line+" "+strings.Join(wording.Reasons(r.Lacks), ", ")))
			}
		}})
		passes += tally.Verdicts[decide.Pass] + tally.Verdicts[decide.Exempt]
	}
	return strings.Join(append(out, fmt.Sprint(passes, " pass")), "; ")
}

func TestUnreadSettings(t *testing.T) {
	const row3 = "row 3, another setting of driver (d), was refused and could change it"
	for _, c := range []struct{ name, rule, rows, want string }{
		{"a pass is open", "lie", "d,driver,std,58,10\nd,driver,flat,bad,10\n", "x unmeasured d/2 " + row3 + "; 0 pass"},
		{"whichever row comes first", "lie", "d,driver,std,58,10\nd,driver,flat,bad,10\nd,driver,up,57,10\n", "x unmeasured d/2 " + row3 + "; 0 pass"},
		{"a fail stays", "lie", "d,driver,std,62,10\nd,driver,flat,bad,10\n", "x fail d/2; 0 pass"},
		{"what was read of it passes", "loft", "d,driver,std,58,10\nd,driver,flat,bad,11\n", "1 pass"},
		{"what was read of it would fail", "loft", "d,driver,std,58,10\nd,driver,flat,bad,70\n", "x unmeasured d/2 " + row3 + "; 0 pass"},
		{"its club cannot be read", "lie", "d,driver,std,58,10\nd,drover,flat,57,10\n", "1 pass"},
		{"it stands before the others", "lie", "w,3w,,57,14\nd,driver,flat,bad,10\nd,driver,std,58,10\n", "x unmeasured d/4 " + row3 + "; 1 pass"},
		{"its setting stood already", "lie", "d,driver,flat,58,10\nd,driver,flat,62,10\n", "x unmeasured d/2 " + row3 + "; 0 pass"},
		{"no setting: another club of that id", "lie", "d,driver,,58,10\nd,driver,,62,10\n", "1 pass"},
		{"another club", "lie", "d,driver,std,58,10\nw,3w,flat,bad,14\n", "1 pass"},
		{"counted once", "count of club", "d,driver,std,58,10\nd,driver,flat,bad,10\n", "1 pass"},
		{"counted once, one club too many", "count of club", "d,driver,std,58,10\nd,driver,flat,bad,10\nw,3w,,57,14\n", "x fail; 0 pass"},
		{"a double could be a club", "count of club", "d,driver,flat,58,10\nd,driver,flat,62,10\n", "x unmeasured row 3 was refused and could change it; 0 pass"},
		{"a value of the set", "highest of lie among club", "d,driver,std,58,10\nd,driver,flat,bad,10\n", "x unmeasured " + row3 + "; 0 pass"},
		{"a value of the set that was read", "highest of loft among club", "d,driver,std,58,10\nd,driver,flat,bad,10\n", "1 pass"},
		{"neighbours", "rise of loft", "d,driver,std,58,10\nd,driver,flat,bad,11\nw,3w,,57,14\n", "1 pass"},
		{"neighbours that could be too near", "rise of loft", "d,driver,std,58,10\nd,driver,flat,59,bad\nw,3w,,57,14\n", "x unmeasured d/2 w/4 " + row3 + "; 0 pass"},
		{"whether it has one", "has", "d,driver,std,,10\nd,driver,flat,bad,10\n", "x unmeasured d/2 " + row3 + "; 0 pass"},
	} {
		book := "rulebook \"B\"\nrule x\n"
		switch c.rule {
		case "has":
			book += "  for every club where has lie\n  require loft at least 30 deg"
		case "lie", "loft":
			book += "  for every club\n  require " + c.rule + " at most 60 deg"
		case "count of club":
			book += "  for each set\n  require count of club at most 1"
		case "rise of loft":
			book += "  for neighbours among club by loft\n  require rise of loft at most 5 deg"
		default:
			book += "  for each set\n  require " + c.rule + " at most 60 deg"
		}
		for _, all := range []bool{false, true} {
			if got := told(t, book+"\n", "id,club,setting,lie (deg),loft (deg)\n"+c.rows, all); got != c.want {
				t.Errorf("%s (all %v): %s\nwant %s", c.name, all, got, c.want)
			}
		}
	}
}
