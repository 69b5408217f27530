package check_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/check"
	"ferrule/lang/diag"
	"ferrule/lang/unit"
)

// The dimension checker is compared with the definition of a dimension: a formula is sound
// exactly where its value scales as a power product when the base units are changed, and
// the powers are its dimension (P. W. Bridgman, Dimensional Analysis, chapter 2; from memory).
// So each random formula is worked out with plain numbers, once as it is and once for each base
// unit made t times smaller; the exponent log r / log t must be the same whole number for two t.
// Every leaf has a value of its own out of a hat, so that nothing cancels.

// leafDims are the names that are in random formulas, with the exponents of length,
// angle, mass, time and swing-weight points; "2" stands for bare numbers.
var leafDims = map[string][5]int{
	"balance": {1, 0, 0, 0, 0}, "grip-length": {1, 0, 0, 0, 0}, "lie": {0, 1, 0, 0, 0}, "loft": {0, 1, 0, 0, 0}, "mass": {0, 0, 1, 0, 0},
	"frequency": {0, 0, 0, -1, 0}, "swingweight": {0, 0, 0, 0, 1}, "volume": {3, 0, 0, 0, 0}, "inertia": {2, 0, 1, 0, 0},
	"butt-mass": {-1, 0, 1, 0, 0}, "2": {},
}

var leafNames = []string{"balance", "grip-length", "lie", "loft", "mass", "frequency", "swingweight", "volume", "inertia", "butt-mass", "2"}

// formula is a random formula with the values of its leaves.
type formula struct {
	leaves map[ast.Expr]float64
	dims   map[ast.Expr][5]int
	hat    *rand.Rand
}

func (f *formula) leaf(e ast.Expr, dim [5]int) ast.Expr {
	f.leaves[e], f.dims[e] = 1+f.hat.Float64(), dim
	return e
}

func (f *formula) draw(t *rapid.T, depth int) ast.Expr {
	if depth == 0 || rapid.IntRange(0, 3).Draw(t, "stop") == 0 {
		name := rapid.SampledFrom(leafNames).Draw(t, "leaf")
		var e ast.Expr = &ast.Ref{Name: ast.Name{Text: name}}
		if name == "2" {
			e = &ast.Quantity{Value: unit.Quantity{Number: big.NewRat(2, 1), Unit: unit.Lookup(""), Text: "2"}}
		}
		return f.leaf(e, leafDims[name])
	}
	switch rapid.IntRange(0, 5).Draw(t, "form") {
	case 0:
		return &ast.Paren{X: f.draw(t, depth-1)}
	case 1:
		return &ast.Unary{Op: ast.Neg, X: f.draw(t, depth-1)}
	}
	op := rapid.SampledFrom([]ast.Op{ast.Add, ast.Sub, ast.Mul, ast.Div}).Draw(t, "op")
	x := f.draw(t, depth-1)
	y := f.draw(t, depth-1)
	if rapid.Bool().Draw(t, "alike") { // sums of one dimension would be rare by chance
		y = f.like(x)
	}
	return &ast.Binary{Op: op, X: x, Y: y}
}

// like draws a formula of the same form as e, with other values.
func (f *formula) like(e ast.Expr) ast.Expr {
	switch e := e.(type) {
	case *ast.Paren:
		return &ast.Paren{X: f.like(e.X)}
	case *ast.Unary:
		return &ast.Unary{Op: e.Op, X: f.like(e.X)}
	case *ast.Binary:
		return &ast.Binary{Op: e.Op, X: f.like(e.X), Y: f.like(e.Y)}
	case *ast.Ref:
		c := *e
		return f.leaf(&c, f.dims[e])
	case *ast.Quantity:
		c := *e
		return f.leaf(&c, f.dims[e])
	}
	return e
}

// value works the formula out with the base units scaled.
func (f *formula) value(e ast.Expr, scale [5]float64) float64 {
	switch e := e.(type) {
	case *ast.Paren:
		return f.value(e.X, scale)
	case *ast.Unary:
		return -f.value(e.X, scale)
	case *ast.Binary:
		x, y := f.value(e.X, scale), f.value(e.Y, scale)
		switch e.Op {
		case ast.Add:
			return x + y
		case ast.Sub:
			return x - y
		case ast.Mul:
			return x * y
		}
		return x / y
	}
	v := f.leaves[e]
	for i, n := range f.dims[e] {
		v *= math.Pow(scale[i], float64(n))
	}
	return v
}

// powers are the exponents by which a formula scales; false where it does not scale so,
// and an error in told where the numbers are too close to nothing to say.
func (f *formula) powers(e ast.Expr) (powers [5]int, scales, told bool) {
	ones := [5]float64{1, 1, 1, 1, 1}
	plain := f.value(e, ones)
	scales = true
	for i := range powers {
		var exponents [2]float64
		for j, t := range []float64{1.7, 2.9} {
			s := ones
			s[i] = t
			r := f.value(e, s) / plain
			if math.IsNaN(r) || math.IsInf(r, 0) || math.Abs(plain) < 1e-6 || r == 0 {
				return powers, false, false
			}
			if r < 0 { // the sign has changed: no power does that
				scales = false
				continue
			}
			exponents[j] = math.Log(r) / math.Log(t)
		}
		powers[i] = int(math.Round(exponents[0]))
		for _, x := range exponents {
			scales = scales && math.Abs(x-float64(powers[i])) < 1e-6
		}
	}
	return powers, scales, true
}

func TestDimensionsScale(t *testing.T) {
	sound, faulty := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		f := &formula{leaves: map[ast.Expr]float64{}, dims: map[ast.Expr][5]int{}, hat: rand.New(rand.NewPCG(1, 2))}
		e := f.draw(t, 4)
		powers, scales, told := f.powers(e)
		if !told {
			return
		}
		let := &ast.Let{Named: ast.Named{Name: ast.Name{Text: "x"}}, Value: e}
		checked, list := check.Check(&ast.Book{Decls: []ast.Decl{let}}, check.Options{})
		for _, d := range list {
			if d.Code != diag.UnitClash {
				return // a division by the constant 0
			}
		}
		typ := checked.Info.Types[e]
		if scales != (typ.Kind == book.Number) {
			t.Fatalf("scales as a power product: %v; the checker gives %+v, %v", scales, typ, list)
		}
		if !scales {
			faulty++
			return
		}
		sound++
		x := typ.Dim.Exponents // of mass, length, angle, swing weight and time
		if got := [5]int{int(x[1]), int(x[2]), int(x[0]), int(x[4]), int(x[3])}; got != powers {
			t.Fatalf("scales by %v, the checker gives %v", powers, got)
		}
	})
	if sound == 0 || faulty == 0 {
		t.Errorf("%d sound and %d faulty formulas were drawn", sound, faulty)
	}
}
