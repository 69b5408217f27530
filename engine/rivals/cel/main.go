// Command cel is the six rules of testdata/six.ferrule as expressions of CEL.
package main

import (
	"log"
	"os"

	"ferrule/engine/rivals/rows"

	"github.com/google/cel-go/cel"
)

type rule struct {
	name    string
	program cel.Program // true where the rule is broken
}

func main() {
	env, err := cel.NewEnv(
		cel.Variable("club", cel.StringType),
		cel.Variable("length", cel.DoubleType),
		cel.Variable("lie", cel.DoubleType),
		cel.Variable("loft", cel.DoubleType),
		cel.Variable("mass", cel.DoubleType),
		cel.Variable("count", cel.IntType),
	)
	if err != nil {
		log.Fatal(err)
	}
	onClub := []rule{
		compile(env, "longest-club", `club != "putter" && length > 48.0`),
		compile(env, "shortest-club", `club != "putter" && length < 18.0`),
		compile(env, "upright-lie", `lie > 80.0`),
		compile(env, "putter-loft", `club == "putter" && loft > 10.0`),
		compile(env, "heaviest-club", `mass > 600.0`),
	}
	onSet := compile(env, "clubs-carried", `count > 14`)

	about := &subject{}
	ask := func(r rule, row int, found *rows.Findings) error {
		broken, _, err := r.program.Eval(about)
		if err == nil && broken.Value().(bool) {
			found.Fail(row, r.name)
		}
		return err
	}
	err = rows.Judge(os.Args[1], func(set []rows.Club, found *rows.Findings) error {
		for i := range set {
			about.club = &set[i]
			for _, r := range onClub {
				if err := ask(r, set[i].Row, found); err != nil {
					return err
				}
			}
		}
		about.count = len(set)
		return ask(onSet, set[0].Row, found)
	})
	if err != nil {
		log.Fatal(err)
	}
}

func compile(env *cel.Env, name, text string) rule {
	checked, issues := env.Compile(text)
	if issues.Err() != nil {
		log.Fatal(issues.Err())
	}
	program, err := env.Program(checked, cel.EvalOptions(cel.OptOptimize))
	if err != nil {
		log.Fatal(err)
	}
	return rule{name, program}
}

// subject hands the club or the set in hand to the expressions, without a map for
// each row.
type subject struct {
	club  *rows.Club
	count int
}

func (s *subject) ResolveName(name string) (any, bool) {
	switch name {
	case "club":
		return s.club.Club, true
	case "length":
		return s.club.Length, true
	case "lie":
		return s.club.Lie, true
	case "loft":
		return s.club.Loft, true
	case "mass":
		return s.club.Mass, true
	case "count":
		return s.count, true
	}
	return nil, false
}

func (s *subject) Parent() cel.Activation { return nil }
