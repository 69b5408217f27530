package rivals

import (
	"bufio"
	"fmt"
	"io"
)

// WriteBook makes a rule book of that many rules, of the shapes that books have:
// bounds on single clubs with conditions and exceptions, neighbours, sets, formulas.
// The rules do not contradict each other. The error is the writer's.
func WriteBook(w io.Writer, rules int) error {
	out := bufio.NewWriter(w)
	fmt.Fprint(out, `rulebook "A long book"
  edition  2026-04-18
  decision three-way at 95 %

use methods

group low-irons = iron where number <= 5
group scoring   = iron 8 to 9, wedge

let head-moment = mass * (balance - 14 in)
`)
	for n := range rules {
		fmt.Fprintf(out, shapes[n%len(shapes)], n+1, n%15+1)
	}
	return out.Flush()
}

// shapes take the number of the rule, which makes its name and title, and a figure
// from 1 to 15, which moves its limit.
var shapes = [...]string{
	`
rule length-%[1]d "Length %[1]d"
  for      every club except putter where loft < 60 deg and hand = right
  require  length by plane-60 at most 47 %[2]d/16 in allowing 0.2 in
  unless   hand = left and not (kind = chipper): at most 48 in
  decision simple
  mend     "Take {to-pass} off the butt and fit a new grip."
`, `
rule lie-%[1]d "Lie %[1]d"
  for      every low-irons, hybrid 3 to 5
  require  lie between 56 deg and 64.%[2]d deg
  cite     "House policy, page %[1]d"
`, `
rule step-%[1]d "Step %[1]d"
  for      neighbours among iron by number
  require  drop of length by soled per number is 1/2 in +/- %[2]d/64 in
  from     2026-04-01
  until    2026-10-31
`, `
advice wedges-%[1]d "Wedges %[1]d"
  for      each set
  require  count of wedge where loft >= 40 %[2]d/16 deg at most 4
`, `
rule balance-%[1]d "Balance %[1]d"
  for      every scoring
  require  head-moment at most 240 oz in + %[2]d oz in
`, `
rule mass-%[1]d "Mass %[1]d"
  for      every driver, fairway
  require  mass > 250 g and (loft < 30 %[2]d/16 deg or (if has volume then volume <= 460 cm3 else number >= 3))
`,
}
