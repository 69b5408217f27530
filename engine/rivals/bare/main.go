// Command bare is the six rules of testdata/six.ferrule as expressions for the engine
// that ferrule itself runs its formulas on, without ferrule around it.
package main

import (
	"log"
	"os"

	"ferrule/engine/rivals/rows"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
)

// bag is what the rule on a whole set sees.
type bag struct{ Count int }

type rule struct {
	name    string
	program *vm.Program // true where the rule is broken
}

func main() {
	onClub := []rule{
		compile("longest-club", `Club != "putter" && Length > 48.0`, rows.Club{}),
		compile("shortest-club", `Club != "putter" && Length < 18.0`, rows.Club{}),
		compile("upright-lie", `Lie > 80.0`, rows.Club{}),
		compile("putter-loft", `Club == "putter" && Loft > 10.0`, rows.Club{}),
		compile("heaviest-club", `Mass > 600.0`, rows.Club{}),
	}
	onSet := compile("clubs-carried", `Count > 14`, bag{})

	var machine vm.VM
	ask := func(r rule, row int, about any, found *rows.Findings) error {
		broken, err := machine.Run(r.program, about)
		if err == nil && broken.(bool) {
			found.Fail(row, r.name)
		}
		return err
	}
	err := rows.Judge(os.Args[1], func(set []rows.Club, found *rows.Findings) error {
		for i := range set {
			for _, r := range onClub {
				if err := ask(r, set[i].Row, &set[i], found); err != nil {
					return err
				}
			}
		}
		return ask(onSet, set[0].Row, bag{len(set)}, found)
	})
	if err != nil {
		log.Fatal(err)
	}
}

func compile(name, text string, about any) rule {
	program, err := expr.Compile(text, expr.Env(about), expr.AsBool())
	if err != nil {
		log.Fatal(err)
	}
	return rule{name, program}
}
