package report

// This file gathers the steps of a set for their charts, as they are judged.

import (
	"cmp"
	"slices"
	"strings"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/lang/ast"
	"ferrule/lang/book"
)

// mostPairs bounds what is kept of a set for the chart of a rule. A set with more is no bag.
const mostPairs = 1000

// charting gathers the results about neighbours of a set, rule by rule.
type charting struct {
	all   []*chart
	known map[*book.Rule]*chart
}

// of is the chart of a rule.
func (c *charting) of(r *book.Rule) *chart {
	if c.known[r] == nil {
		if c.known == nil {
			c.known = map[*book.Rule]*chart{}
		}
		c.known[r] = &chart{rule: r}
		c.all = append(c.all, c.known[r])
	}
	return c.known[r]
}

// result takes notice of a result.
func (c *charting) result(r *engine.Result) {
	if r.Subject.Kind != ast.OfNeighbours {
		return
	}
	to := c.of(r.Rule)
	kept := *r
	kept.Steps, kept.Budget = nil, nil
	switch {
	case r.Pair != nil:
		to.add(pair{r.Subject.Clubs, step{r.Pair, &kept, allowed(r)}})
	case len(to.beside) < mostPairs:
		to.beside = append(to.beside, &kept)
	default:
		to.alone++
	}
}

// conflict takes notice of neighbours about which the books disagree.
func (c *charting) conflict(k *engine.Conflict) {
	if k.Pair != nil {
		c.of(k.Rule).add(pair{k.Subject.Clubs, step{Pair: k.Pair}})
	}
}

func (c *chart) add(p pair) {
	if len(c.pairs) < mostPairs {
		c.pairs = append(c.pairs, p)
	} else {
		c.more++
	}
}

// draw draws the charts of a set that were asked for: in full of each rule about
// neighbours, else of those with a step that does not pass.
func (c *charting) draw(bag *club.Set, o Options) string {
	var out strings.Builder
	for _, one := range c.all {
		one.order()
		if o.Depth != Full && (one.passes() || one.known() < 2) || len(one.stands) == 0 {
			continue
		}
		if out.Len() == 0 {
			out.WriteString(ends(bagName(bag.Name, bag.File), sheetName(bag.Name, bag.File)))
		}
		out.WriteString(one.draw(o) + "\n")
	}
	return out.String()
}

// order lays the clubs of the pairs in their order.
func (c *chart) order() {
	if slices.ContainsFunc(c.pairs, func(p pair) bool { return p.result == nil }) { // these come last
		slices.SortStableFunc(c.pairs, func(a, b pair) int {
			return cmp.Or(cmp.Compare(a.Key[0].Base, b.Key[0].Base), cmp.Compare(a.Key[1].Base, b.Key[1].Base))
		})
	}
	for i := range c.pairs {
		p := &c.pairs[i]
		if n := len(c.stands); n == 0 || c.stands[n-1].club != p.clubs[0] {
			c.stands = append(c.stands, stand{p.clubs[0], p.Key[0], p.Value[0], nil})
		}
		c.stands = append(c.stands, stand{p.clubs[1], p.Key[1], p.Value[1], &p.step})
	}
}
