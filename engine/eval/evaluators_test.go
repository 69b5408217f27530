package eval

// Two evaluators, one meaning: the compiled program and the recording walk are held
// against each other on random formulas and random clubs, and the walk's Kleene logic
// against every completion of the missing data.

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"ferrule/engine/club"
	"ferrule/engine/value"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/check"
	"ferrule/lang/parser"
	"ferrule/lang/source"
	"ferrule/lang/unit"
)

const prologue = `rulebook "Random"
property made     date
property grip     text
property approved yes-no
group long = driver, iron where number <= 4
let twice = loft + loft
`

// writer writes random formulas that are sound by construction.
type writer struct {
	*rapid.T
	pair bool // first and second may be before a name
}

// of is a property of the club, or what was ordered of it, of whichever club of a pair.
func (w writer) of(name string) string { return w.position() + w.pick("", "", "ordered ") + name }

func (w writer) pick(options ...string) string { return rapid.SampledFrom(options).Draw(w.T, "pick") }

func (w writer) position() string {
	if w.pair {
		return w.pick("first ", "second ")
	}
	return ""
}

func (w writer) angle(depth int) string {
	if depth == 0 {
		return w.pick(w.of("loft"), w.of("lie"), w.of("bounce"), "4 deg", "10.5 deg", "60.1 deg")
	}
	a, b := func() string { return w.angle(depth - 1) }, func() string { return w.angle(depth - 1) }
	switch rapid.IntRange(0, 8).Draw(w.T, "form") {
	case 0:
		return fmt.Sprintf("(%s + %s)", a(), b())
	case 1:
		return fmt.Sprintf("(%s - %s)", a(), b())
	case 2:
		return fmt.Sprintf("abs(%s)", a())
	case 3:
		return fmt.Sprintf("%s(%s, %s)", w.pick("min", "max"), a(), b())
	case 4:
		return fmt.Sprintf("(if %s then %s else %s)", w.truth(depth-1), a(), b())
	case 5:
		return fmt.Sprintf("(%s * (%s / %s))", a(), b(), w.angle(0))
	case 6:
		return fmt.Sprintf("(1/2 * %s)", a())
	case 7:
		return fmt.Sprintf("(-(%s))", a())
	}
	if w.pair {
		return a()
	}
	return w.pick("twice", a())
}

func (w writer) truth(depth int) string {
	if depth == 0 {
		p := w.position()
		return w.pick(p+"kind = iron", p+"kind = iron 5", p+"kind != long", w.of("hand")+" = left", w.of("grip")+" = \"Corded\"", w.of("approved"),
			"has "+w.of("loft"), p+"made >= 2010-01-01", "age "+p+"made = 3", "today - "+p+"made <= 1200 days", w.of("made")+" + 3 days > 2010-01-02", p+"number in (5, 7)", p+"number < 6", p+"loft <= "+p+"lie")
	}
	a, b := func() string { return w.truth(depth - 1) }, func() string { return w.truth(depth - 1) }
	switch rapid.IntRange(0, 4).Draw(w.T, "form") {
	case 0:
		return fmt.Sprintf("(%s and %s)", a(), b())
	case 1:
		return fmt.Sprintf("(%s or %s)", a(), b())
	case 2:
		return fmt.Sprintf("(not (%s))", a())
	case 3:
		return fmt.Sprintf("(if %s then %s else %s)", a(), b(), a())
	}
	return fmt.Sprintf("(%s %s %s)", w.angle(depth-1), w.pick("<", "<=", ">", ">=", "=", "!="), w.angle(depth-1))
}

// ready checks a book of one rule and makes its formula ready.
func ready(t *rapid.T, text string) (*Declared, *book.Rule) {
	schema := catalogue.NewSchema()
	tree, mistakes := parser.Parse(source.NewFile("random.ferrule", text))
	if mistakes.HasErrors() {
		t.Fatalf("%s\n%v", text, mistakes)
	}
	checked, mistakes := check.Check(tree, check.Options{Name: "random.ferrule", Schema: schema})
	if mistakes.HasErrors() {
		t.Fatalf("%s\n%v", text, mistakes)
	}
	return Declare([]*book.Book{checked}, schema), checked.Judged()[0]
}

// anyClub draws a club with its order; with gaps set, properties may be missing, and so may the order. Values come from
// small sets, so that equality is met.
func anyClub(t *rapid.T, p *Declared, gaps bool) *club.Club {
	c := anyRow(t, p, gaps)
	switch rapid.IntRange(0, 5).Draw(t, "order") {
	case 0, 1, 2:
		c.Order = anyRow(t, p, gaps)
	case 3:
		c.Sheet = &club.Sheet{Order: &club.Sheet{}} // of which no row is for the club
	}
	if !gaps && c.Order == nil {
		c.Order = anyRow(t, p, false)
	}
	return c
}

// anyRow draws a row of a sheet or an order.
func anyRow(t *rapid.T, p *Declared, gaps bool) *club.Club {
	c := &club.Club{ID: "c", Kind: rapid.SampledFrom(catalogue.Kinds()).Draw(t, "kind")}
	kind := c.Kind
	c.Reset(p.Schema.Len())
	c.ID, c.Kind = "c", kind
	there := func() bool { return !gaps || rapid.Bool().Draw(t, "there") }
	for _, id := range []catalogue.ID{catalogue.Loft, catalogue.Lie, catalogue.Bounce} {
		if there() {
			c.SetAmount(id, rapid.SampledFrom([]float64{0, 4e6, 10.5e6, 60.1e6, 64.1e6}).Draw(t, "angle"))
		}
	}
	if there() {
		c.SetAmount(catalogue.Number, float64(rapid.IntRange(3, 7).Draw(t, "number")))
	}
	if there() {
		c.SetText(catalogue.Hand, rapid.SampledFrom([]string{"left", "right"}).Draw(t, "hand"))
	}
	made, _ := p.Schema.Lookup("made")
	if there() {
		c.SetAmount(made.ID, float64(rapid.IntRange(14600, 14620).Draw(t, "made")))
	}
	grip, _ := p.Schema.Lookup("grip")
	if there() {
		c.SetText(grip.ID, rapid.SampledFrom([]string{"Corded", "Smooth"}).Draw(t, "grip"))
	}
	approved, _ := p.Schema.Lookup("approved")
	if there() {
		c.SetAmount(approved.ID, float64(rapid.IntRange(0, 1).Draw(t, "approved")))
	}
	return c
}

func about(p *Declared, r *book.Rule, c, second *club.Club) *Env {
	x := &Env{Bench: p.NewBench(), Info: r.Book.Info, Bag: &Bag{Set: &club.Set{}, Clubs: []*club.Club{c}}, Club: c}
	x.Bench.Today = book.Day(14610 + 3*365 + 5)
	if second != nil {
		x.Club, x.First, x.Second = nil, c, second
	}
	return x
}

// agree holds the two evaluators against each other.
func agree(t *rapid.T, text string, gaps, pair bool) {
	p, r := ready(t, text)
	c := anyClub(t, p, gaps)
	var second *club.Club
	if pair {
		second = anyClub(t, p, gaps)
	}
	f := NewFormula(r.Value).compile()
	if f.leaves == nil && f.code == nil {
		t.Fatalf("not lowered: %s", text)
	}
	x := about(p, r, c, second)
	n, b, ok := x.runProgram(f, false)
	w := x.Eval(r.Value.Expr)
	known := w.Kind == value.Number || w.Kind == value.Condition && w.Truth != value.Unknown
	if ok && (!known || w.Kind == value.Number && unit.Compare(n, w.Num) != 0 || w.Kind == value.Condition && b != (w.Truth == value.True)) {
		t.Fatalf("%s\nthe program gives %v %v, the walk %+v", text, n, b, w)
	}
	// A division by 0 leaves the program without an answer, where Kleene's logic may have one.
	if !gaps && known && !ok && !strings.Contains(text, " / ") {
		t.Fatalf("%s\nthe walk gives %+v, the program nothing", text, w)
	}
}

func TestEvaluatorsAgree(t *testing.T) {
	rule := func(w writer) string {
		if w.pair {
			return prologue + "rule r \"R\"\n  for neighbours among club by loft\n  require " + w.truth(3) + "\n"
		}
		if rapid.Bool().Draw(w.T, "bounded") {
			return prologue + "rule r \"R\"\n  for every club\n  require (" + w.angle(3) + ") at most 5 deg\n"
		}
		return prologue + "rule r \"R\"\n  for every club\n  require " + w.truth(3) + "\n"
	}
	for _, c := range []struct {
		name       string
		gaps, pair bool
	}{{"all data there", false, false}, {"data missing", true, false}, {"pairs", false, true}} {
		t.Run(c.name, rapid.MakeCheck(func(t *rapid.T) { agree(t, rule(writer{t, c.pair}), c.gaps, c.pair) }))
	}
}

// What Kleene's logic tells with data missing is so whatever the missing data turn out
// to be (S. C. Kleene, Introduction to Metamathematics, section 64; from memory).
func TestMissingDataChangeNothingThatIsTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := writer{T: t}
		text := prologue + "rule r \"R\"\n  for every club\n  require " + w.truth(3) + "\n"
		p, r := ready(t, text)
		c := anyClub(t, p, true)
		before := about(p, r, c, nil).Eval(r.Value.Expr)
		if before.Truth == value.Unknown || strings.Contains(text, "has ") {
			return
		}
		if c.Order == nil {
			c.Order = anyRow(t, p, true)
		}
		for _, c := range []*club.Club{c, c.Order} {
			for id := catalogue.ID(0); int(id) < p.Schema.Len(); id++ {
				if full := anyRow(t, p, false); !c.Has(id) && full.Has(id) {
					if s, ok := full.Text(id); ok {
						c.SetText(id, s)
					} else if a, ok := full.Amount(id); ok {
						c.SetAmount(id, a)
					}
				}
			}
		}
		if after := about(p, r, c, nil).Eval(r.Value.Expr); after.Truth != before.Truth && after.Truth != value.Unknown {
			t.Fatalf("%s\n%v with data missing, %v with all of it", text, before.Truth, after.Truth)
		}
	})
}
