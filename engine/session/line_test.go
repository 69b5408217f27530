package session_test

// This file holds what a session understands of a line.

import (
	"fmt"
	"strings"
	"testing"

	"ferrule/engine/session"
)

// said is what is kept of a line, in short: the club, and what is read of it or the word.
func said(a session.Answer) string {
	e := a.Entry
	if e == nil {
		return "nothing"
	}
	out := strings.TrimPrefix(e.Set+"/"+e.ID, "/")
	if e.Word != "" {
		out += " " + e.Word
	}
	if e.Property != "" {
		out += " " + e.Property
	}
	for _, v := range e.Value {
		if v.Amount != nil {
			out += fmt.Sprintf(" %g %s", *v.Amount, v.Unit)
		} else {
			out += " " + v.Text
		}
	}
	if e.By != "" {
		out += " by " + e.By
	}
	return out
}

// TestLines takes lines in the order in which the bench understands them: word of the session, property with its value,
// value of what is due, id, club, set; a form that fits one missing property goes to it, and anything else gets the
// nearest.
func TestLines(t *testing.T) {
	const rules = `rulebook "Lines"
use methods
property grip text
property made date
property flex text one of "R", "S"
rule d
  for every driver
  require made >= 2020-01-01 and flex = "R"
rule l
  for every iron
  require lie between 59 deg and 65 deg
rule n
  for every club
  require length by soled at most 46 in
rule s
  for every club
  require swingweight at most D4
rule g
  for every club
  require grip = "cord"
`
	const sheet = "set,id,club,length (in),by,lie,swingweight,grip\nBirch,i7,7 iron,,soled,,,\nBirch,8,8 iron,,,,,\nOak,d,driver,,,,,\n"
	for _, c := range []struct{ before, line, want, answer string }{
		{"", "62", "Birch/i7 lie 62 deg", "7 iron (i7): lie 62 deg."},
		{"", "61.5 lie", "Birch/i7 lie 61.5 deg", "lie 61.5 deg"},
		{"", "lie 61.5", "Birch/i7 lie 61.5 deg", "lie 61.5 deg"},
		{"", "Lie angle 61.5 deg", "Birch/i7 lie 61.5 deg", "lie 61.5 deg"},
		{"", "61 62 61", "Birch/i7 lie 61 deg 62 deg 61 deg", "mean of 3: 61.33 deg"},
		{"", "61 | 62", "Birch/i7 lie 61 deg 62 deg", "mean of 2"},
		{"", "37 1/8 in", "Birch/i7 length 37.125 in by soled", "length 37 1/8 in by soled"},
		{"", "95 cm by wall", "Birch/i7 length 95 cm by wall", "length 95 cm by wall"},
		{"lie 62", "37 1/8 37 1/4", "Birch/i7 length 37.125 in 37.25 in by soled", "mean of 2: 37 3/16 in"},
		{"", "D2", "Birch/i7 swingweight 32 pts", "swingweight D2"},
		{"lie 62|37|D2", "cord", "Birch/i7 grip cord", "grip cord"},
		{"lie 62|37", "again 37 1/8", "Birch/i7 again length 37 in 37.125 in by soled", "mean of 2"},
		{"lie 62", "undo", "Birch/i7 undo", "Taken back: lie 62"},
		{"lie 62|undo", "redo", "Birch/i7 redo", "There again: lie 62"},
		{"", "skip", "Birch/i7 skip lie", "The lie is left until all else is read."},
		{"made 2026-05-01", "made 2026-05-02", "Birch/i7 made 2026-05-02", "made 2026-05-02, was 2026-05-01."},
		{"", "next", "Birch/8 next", "8 iron (8)."},
		{"", "back", "Oak/d back", "Driver (d)."},
		{"", "club 8", "Birch/8 club", "8 iron (8)."},
		{"", "8 iron", "Birch/8 club", "8 iron (8)."},
		{"", "9 iron", "Birch/9 iron club 9 iron", "Added to Birch: 9 iron."},
		{"", "Oak", "Oak/d set", "Driver (d)."},
		{"", "set Elm", "Elm/ set", "The set Elm has no club yet."},
		{"", "by plane-60", "Birch/i7 by by plane-60", "Further lengths are read by plane-60."},
		{"", "note loose", "Birch/i7 note note loose", "Noted for 7 iron (i7): loose."},
		{"note loose", "note short", "Birch/i7 note note loose; short", "Noted for 7 iron (i7): loose; short."},
		{"", "show", "nothing", "club"},
		{"", "", "nothing", "Nothing typed. Lie is due, as in 61.5."},
		{"", "again 62", "nothing", "Name what was read again"},
		{"", "undo", "nothing", "There is nothing to undo."},
		{"", "by hand", "nothing", "not a method that the rule books know"},
		{"", "lie 62 by soled", "nothing", "Only a length is read by a method, not lie."},
		{"", "62 g", "nothing", `"62 g" is a mass; expected an angle; type it like 61.5.`},
		{"lie 62", "12 deg", "nothing", `"12 deg" is an angle; expected a length; type it like 44 3/4. Or type "club 12 deg" for the club.`},
		{"lie 62", "club 12 deg", "Birch/12 deg club 12 deg", "Added to Birch"},
		{"lie 62", "12 wedge", "Birch/12 wedge club 12 wedge", "Added to Birch"},
		{"", "lei 62", "nothing", "lei 62"},
		{"", "lie 620", "nothing", "It is not taken yet."},
		{"lie 620", "n", "nothing", "Dropped."},
		{"lie 620", "y", "Birch/i7 lie 620 deg", "It counts as not measured."},
		{"lie 620", "62", "Birch/i7 lie 62 deg", "lie 620 was dropped."},
		{"", "club fortytwo", "nothing", "fortytwo is not a club of Birch"},
		{"", "why l", "nothing", "report of l on Birch/i7"},
		{"", "why k", "nothing", `The books have no rule "k".`},
		{"", "qwerty", "nothing", "is not understood"},
		{"", "quit", "nothing", `"done" writes the sheet and ends. Ctrl-D ends and keeps the readings.`},
		{"", "?", "nothing", `"help" shows what can be typed.`},
		{"set Oak", "3 May 2024", "Oak/d made 3 May 2024", "Driver (d): made 2024-05-03."},
		{"set Oak", "r", "Oak/d flex r", "Driver (d): flex"},
		{"set Oak", "X", "nothing", "is not understood"},
		{"set Oak|r", "again S", "nothing", `Type "flex S" to put it in the place of what was read.`},
		{"lie 62", "again 61 by soled", "nothing", "Only a length is read by a method, not lie."},
		{"club d|set Oak", "46", "Oak/d length 46 in by soled", "Driver (d): length 46 in by soled."},
	} {
		s := begin(t, rules, "lines.csv", sheet)
		s.Report = func(_ []byte, rule, set, club string) string { return "report of " + rule + " on " + set + "/" + club }
		for _, line := range strings.Split(c.before, "|") {
			if line != "" {
				s = s.Line(line).Next
			}
		}
		a := s.Line(c.line)
		text := strings.Join(strings.Fields(a.Text), " ")
		if got := said(a); got != c.want || !strings.Contains(text, c.answer) {
			t.Errorf("%q behind %q: kept %s, said %q; want %s and %q", c.line, c.before, got, text, c.want, c.answer)
		}
	}
}
