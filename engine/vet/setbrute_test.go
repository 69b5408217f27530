package vet_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"ferrule/engine/space"
	"ferrule/engine/value"
	"ferrule/engine/vet"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// A rule about sets of which it is said that it can never apply is about no bag of up to three clubs. These are some
// irons and wedges with a few lofts and hands, or without one.
func TestSetsThatNoConditionMeetsByBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	loft := catalogue.NewSchema().Property(catalogue.Loft)
	hand := catalogue.NewSchema().Property(catalogue.Hand)
	var clubs []space.Draft
	for _, shape := range []space.Draft{{Kind: catalogue.Iron, Number: 5}, {Kind: catalogue.Wedge, Mark: "PW"}} {
		for _, deg := range []float64{0, 25, 31, 40} {
			for _, side := range []string{"", "left", "right"} {
				d := shape
				if deg > 0 {
					d = space.With(d, &space.Reading{Prop: loft, Unit: unit.Base(unit.Angle), Amount: unit.Base(unit.Angle).ToBase(deg)})
				}
				if side != "" {
					d = space.With(d, &space.Reading{Prop: hand, Text: side})
				}
				clubs = append(clubs, d)
			}
		}
	}
	never := 0
	for range 120 {
		var all []string
		for range 2 + r.IntN(2) {
			list := pick("iron", "wedge", "iron, wedge", "iron where hand = left", "iron where not (has loft)", "wedge where loft > 30 deg")
			all = append(all, pick(
				fmt.Sprintf("(count of %s) %s %d", list, pick("<", ">", "="), r.IntN(3)),
				fmt.Sprintf("(%s of loft among %s) %s %d deg", pick("highest", "lowest"), list, pick("<", ">"), 30),
				fmt.Sprintf("(spread of loft among %s) %s %d deg", list, pick("<", ">"), 5+r.IntN(5)),
				"hand = "+pick("left", "right"), "has loft", "not (has hand)"))
		}
		text := "rule a \"A\"\n  for each set where " + strings.Join(all, " and ") + "\n  require count of club at most 14\n"
		p, b := loaded(t, text)
		said := false
		for _, f := range bookOf(p, b).List {
			said = said || f.Code == vet.NeverApplies
		}
		if !said {
			continue
		}
		never++
		probe := p.NewProbe()
		var bags func(bag space.Bag, from int)
		bags = func(bag space.Bag, from int) {
			if len(bag) > 0 && probe.TakesSet(b.Rules[0], bag.Lay(p.Schema)) == value.True {
				t.Errorf("it takes %v\n%s", bag.Rows(), text)
				return
			}
			for i := from; i < len(clubs) && len(bag) < 3 && !t.Failed(); i++ {
				bags(append(bag.Clone(), clubs[i]), i)
			}
		}
		bags(nil, 0)
	}
	if never < 10 {
		t.Errorf("only %d rules can never apply", never)
	}
}
