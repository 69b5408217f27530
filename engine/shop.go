package engine

// This file tells what the books say about measuring one club: it serves the comparison of editions.

import (
	"fmt"

	"ferrule/engine/club"
)

// Shop is what brings a club's length from one method to another, as text that is the same for the same shape of head and the
// same allowances; with halves also how sure these are. known is false where it hangs on what is not measured.
func (q *Probe) Shop(c *club.Club, halves bool) (text string, known bool) {
	x := q.about(nil, c)
	s := x.measuring()
	known = true
	for name, lacks := range s.lacks {
		for _, l := range lacks {
			known = known && (name == "lie" || l.need == name || l.need == "allowance "+name)
		}
	}
	if s.Head != nil {
		text += fmt.Sprint(s.Head.Shape)
		if halves {
			text += fmt.Sprint(s.Head.Half)
		}
	} else {
		text += fmt.Sprint(s.lacks["head"])
	}
	if s.Cap != nil {
		text += fmt.Sprint(" cap ", s.Cap.Amount)
		if halves {
			text += fmt.Sprint(" ", s.Cap.Half)
		}
	}
	if s.Crown != nil {
		text += fmt.Sprint(" crown ", s.Crown.Amount)
		if halves {
			text += fmt.Sprint(" ", s.Crown.Half)
		}
	}
	return text, known
}
