package trim_test

import (
	"testing"

	"ferrule/engine/judge"
	"ferrule/engine/trim"
	"ferrule/lang/book"
)

// Clubs are cut to what was ordered; the working is beside each.
func TestCutToTheOrder(t *testing.T) {
	const rows = "id,club,length (in),by,lie (deg)\n5,5i,38 3/8,soled,61\n6,6i,37 5/8,soled,61.5\n"
	within := "use methods\nrule as-ordered \"A\"\n for every iron\n require length by soled within 1/8 in of ordered length by soled\n"
	for name, c := range map[string]struct{ book, order, want string }{
		// 38 3/8 is 1/4 beyond 38 1/8: four sixteenths. 37 5/8 is on the limit of 37 1/2 and 1/8.
		"too long": {within, "id,club,length (in),by\n5,5i,38,soled\n6,6i,37 1/2,soled\n", "5 -4 as-ordered; 6 +0"},
		// Before the grip it is ordered 37 7/8, which is 38 to the edge of the cap, 1/8 in on.
		"ordered before the grip": {within, "id,club,length (in),by\n5,5i,37 7/8,bare\n6,6i,37 1/2,soled\n", "5 -4 as-ordered; 6 +0"},
		"no row of the order":     {within, "id,club,length (in),by\n5,5i,38,soled\n", "5 -4 as-ordered; 6 +0; open as-ordered ordered length"},
		// The 5 was ordered 3/8 longer than the 6 and is 3/4 longer: 3/8 is too much, of which 1/8 may stay; four sixteenths.
		"steps": {"use methods\nrule steps \"S\"\n for neighbours among iron by number\n require drop of length by soled within 1/8 in of (drop of ordered length by soled)\n",
			"id,club,length (in),by\n5,5i,38,soled\n6,6i,37 5/8,soled\n", "5 -4 steps; 6 +0"},
	} {
		t.Run(name, func(t *testing.T) {
			p := program(t, c.book)
			s, order := bag(t, p, rows), bag(t, p, c.order)
			for i, o := range order.Clubs {
				s.Clubs[i].Order, s.Clubs[i].Sheet.Order = o, o.Sheet
			}
			plan := trim.Make(p.NewJudge(judge.Options{Day: book.NoDay}), s, trim.Options{Grid: in / 16})
			if got := outline(plan); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}
