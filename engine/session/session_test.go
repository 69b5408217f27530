package session_test

// This file times a line of a session.

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/club"
	"ferrule/engine/judge"
	"ferrule/engine/session"
	"ferrule/engine/sheet"
	"ferrule/lang/book"
	"ferrule/lang/load"
	"ferrule/rulesets"
)

// begin starts a session on a sheet with the rules of a book.
func begin(t testing.TB, rules, name, text string) *session.Session {
	t.Helper()
	loaded, list := load.Load(rulesets.FS(), []load.Root{{FS: fstest.MapFS{"b.ferrule": {Data: []byte(rules)}}, Path: "b.ferrule", Show: "b.ferrule"}})
	if list.HasErrors() {
		t.Fatal(list)
	}
	p := judge.Compile(loaded.Roots, loaded.Schema)
	s, err := session.Start(&session.Options{Program: p, Day: book.NoDay, Time: func() string { return "" }, Judge: p.NewJudge(judge.Options{All: true}), Name: name, File: []byte(text),
		Sheet: sheet.Options{Schema: loaded.Schema, MethodNames: p.Methods(), Covers: func(string, *club.Club) string { return "" }}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// BenchmarkLine times what lies between a reading and its answer: a bag of 14 clubs in a field of 40, judged by 50 rules.
// Below 10 ms nobody waits for it.
func BenchmarkLine(b *testing.B) {
	rules := "rulebook \"Fifty\"\n  decision three-way at 95 %\nuse methods\n"
	for i := range 20 {
		rules += fmt.Sprintf("rule length-%d\n  for every club except putter\n  require length by plane-60 at most %d in\n", i, 46+i)
		rules += fmt.Sprintf("rule lie-%d\n  for every iron\n  require lie between %d deg and 70 deg\n", i, 40+i)
	}
	for i := range 10 {
		rules += fmt.Sprintf("rule drop-%d\n  for neighbours among iron by number\n  require drop of length by soled per number between 1/8 in and %d in\n", i, 1+i)
	}
	for _, players := range []int{1, 40} {
		sheet := "set,id,club,length,by,lie (deg)\n"
		for i := range players {
			for k, club := range strings.Fields("driver 3w 5w 4h 4i 5i 6i 7i 8i 9i pw gw sw putter") {
				sheet += fmt.Sprintf("player %d,%d-%d,%s,%d 1/2 in,soled,%d\n", i, i, k, club, 45-k/2, 56+k/2)
			}
		}
		b.Run(fmt.Sprint(players), func(b *testing.B) {
			s := begin(b, rules, "field.csv", sheet)
			s = s.Line("7i").Next
			b.ResetTimer()
			for i := range b.N {
				a := s.Line(fmt.Sprintf("lie %d.5", 60+i%3))
				if a.Entry == nil {
					b.Fatal(a.Text)
				}
				a.Next.Prompt()
			}
		})
	}
}
