package build_test

import (
	"strings"
	"testing"

	"ferrule/engine/build"
	"ferrule/engine/report/wording"
	"ferrule/engine/sheet"
)

// A row without a target is built to what was ordered; the first is that of TestCutsWorkedByHand.
func TestBuiltToTheOrder(t *testing.T) {
	s := open(t, "bench.ferrule")
	methods := s.Methods()
	o := sheet.Options{Schema: s.Schema, Target: s.columns.Target, Covers: wording.Covers(s.Program),
		MethodNames: methods}
	order, problem := sheet.ReadOrder("order.csv", strings.NewReader("id,club,length,by,lie\nd1,driver,45 in,soled,60 deg\nd2,driver,44 in,soled,\n"), o)
	if problem != nil {
		t.Fatal(problem)
	}
	o.Order = order
	r, problem := sheet.Open("list.csv", strings.NewReader("id,"+columns+"\nd1,driver,s1,46 in,1/2 in,1 1/2 in,,,58 deg\n"+
		"d2,driver,s2,46 in,1/2 in,1 1/2 in,45 in,soled,58 deg\nd3,driver,s3,46 in,1/2 in,1 1/2 in,,,58 deg\n"), o)
	if problem != nil {
		t.Fatal(problem)
	}
	set, _ := r.Next()
	p := build.New(s.Program, build.Options{Columns: s.columns, Reason: wording.Reason}).Set(set)
	if len(p.Clubs) != 3 {
		t.Fatalf("%d clubs, %v", len(p.Clubs), p.Set.Refused)
	}
	for _, k := range p.Clubs[:2] { // the row's own target counts before the order
		inches(t, k.Shaft+": the finished shaft", k.Finished, 43.375, 1e-9)
		inches(t, k.Shaft+": the cut", k.ButtCut, 2.125, 1e-9)
	}
	if k := p.Clubs[2]; k.Target.Known() || len(k.Lacks) == 0 {
		t.Errorf("a club that was not ordered has the target %v, and lacks %v", k.Target, k.Lacks)
	}
}
