package editions

// This file finds rules on what was ordered where "std" and "1 deg up" on an order count from another chart.

import (
	"slices"

	"ferrule/engine/contrast"
	"ferrule/engine/judge"
	"ferrule/lang/book"
)

// standards leaves the limits of rules of both editions open where an order may count from another chart. No subject
// that is tried has such an order.
func (d *editions) standards(old, new *judge.Program) {
	keys := book.NewKeys(false)
	for _, p := range d.out.Pairs {
		limit := func(c Change) bool { return c.Pair == p && c.What == contrast.Limit }
		if p.Old == nil || p.New == nil || slices.ContainsFunc(d.out.Changes, limit) {
			continue
		}
		moved := slices.ContainsFunc(ordered(p.New), func(name string) bool {
			return standard(keys, old, name) != standard(keys, new, name)
		})
		if moved {
			d.out.LeftOut = append(d.out.LeftOut, Open{p, []contrast.What{contrast.Limit},
				"where an order says \"std\", it counts from another chart"})
		}
	}
}

// ordered are the names of what a rule reads on an order: for a length its lie too.
func ordered(r *book.Rule) (names []string) {
	r.Visit(func(part book.Part) bool {
		if ref := part.Ref(); ref != nil && ref.Kind == book.RefProperty && ref.Property.Ordered {
			names = append(names, ref.Property.Name)
			if ref.Property.ByMethod {
				names = append(names, "ordered lie")
			}
		}
		return true
	}, nil)
	return names
}

// standard is the key of the one chart of a property that an order counts from; "" where there is none or several.
func standard(keys *book.Keys, p *judge.Program, name string) string {
	charts := slices.DeleteFunc(book.Charts(p.Books), func(h *book.Chart) bool {
		return h.Of == nil || h.Of.Property.AsOrdered().Name != name
	})
	if len(charts) != 1 {
		return ""
	}
	said := keys.Chart(charts[0])
	if by := charts[0].Of.Method; by != nil {
		said += " by " + keys.Method(by)
	}
	return said
}
