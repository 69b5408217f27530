// Command opa is the six rules of testdata/six.ferrule as a policy for OPA, six.rego,
// asked once a set.
package main

import (
	"context"
	_ "embed"
	"encoding/json"
	"log"
	"os"

	"ferrule/engine/rivals/rows"

	"github.com/open-policy-agent/opa/v1/ast"
	"github.com/open-policy-agent/opa/v1/rego"
)

//go:embed six.rego
var policy string

func main() {
	ctx := context.Background()
	query, err := rego.New(rego.Query("data.six.found"), rego.Module("six.rego", policy)).PrepareForEval(ctx)
	if err != nil {
		log.Fatal(err)
	}
	err = rows.Judge(os.Args[1], func(set []rows.Club, found *rows.Findings) error {
		answer, err := query.Eval(ctx, rego.EvalParsedInput(input(set)))
		if err != nil {
			return err
		}
		for _, one := range answer[0].Expressions[0].Value.([]any) {
			finding := one.(map[string]any)
			row, err := finding["row"].(json.Number).Int64()
			if err != nil {
				return err
			}
			found.Fail(int(row), finding["rule"].(string))
		}
		return nil
	})
	if err != nil {
		log.Fatal(err)
	}
}

// The names of a club's values in the policy.
var (
	row    = ast.StringTerm("row")
	name   = ast.StringTerm("club")
	length = ast.StringTerm("length")
	lie    = ast.StringTerm("lie")
	loft   = ast.StringTerm("loft")
	mass   = ast.StringTerm("mass")
	clubs  = ast.StringTerm("clubs")
)

// input builds the policy's own values, which is quicker than handing it maps.
func input(set []rows.Club) ast.Value {
	terms := make([]*ast.Term, len(set))
	for i, c := range set {
		terms[i] = ast.ObjectTerm(
			[2]*ast.Term{row, ast.IntNumberTerm(c.Row)},
			[2]*ast.Term{name, ast.StringTerm(c.Club)},
			[2]*ast.Term{length, ast.FloatNumberTerm(c.Length)},
			[2]*ast.Term{lie, ast.FloatNumberTerm(c.Lie)},
			[2]*ast.Term{loft, ast.FloatNumberTerm(c.Loft)},
			[2]*ast.Term{mass, ast.FloatNumberTerm(c.Mass)},
		)
	}
	return ast.NewObject([2]*ast.Term{clubs, ast.ArrayTerm(terms...)})
}
