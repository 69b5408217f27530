package sheet

// This file reads what kind of club a cell names: 7i, 3 wood, wedge PW, driver.

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"ferrule/engine/club"
	"ferrule/lang/catalogue"
	"ferrule/lang/diag"
)

// clubName is what a cell says of a club.
type clubName struct {
	text   string
	kind   catalogue.Kind
	number int    // 0 where it has none
	mark   string // in capitals; "" where it has none
	fault  *fault
}

// A number from the lowest to the highest loft, in degrees, is a wedge's own stamp: it may have that instead of
// letters.
const lowestLoft, highestLoft = 40, 75

// call gives the club its kind, number and mark from the cells of its club and its kind.
func (p *Parser) call(c *club.Club, h *head) {
	text, kind := p.name, p.kind
	if text == "" && kind == "" {
		if len(p.faults) == 0 || p.faults[0].column != "" {
			const message = "the cell is empty; expected a club, as in driver, 3w, 7i, PW or putter"
			p.fault(h.first(clubColumn, kindColumn), "", message, "")
		}
		return
	}
	n, k := p.known(text), p.known(kind)
	if text == "" {
		n = k
	}
	switch {
	case text != "" && n.fault != nil:
		p.fault(h.first(clubColumn, kindColumn), text, n.fault.message, n.fault.hint)
		return
	case k.fault != nil:
		p.fault(h.first(kindColumn), kind, k.fault.message, k.fault.hint)
		return
	case kind != "" && k.kind != n.kind:
		message := "%s is another kind than the club %s; expected %s"
		message = fmt.Sprintf(message, diag.Quote(kind), diag.Quote(text), n.kind)
		p.fault(h.first(kindColumn), kind, message, n.kind.String())
		return
	}
	if n.number > 0 {
		if old, ok := c.Amount(catalogue.Number); ok && old != float64(n.number) {
			p.disagree(c, h, catalogue.Number, strconv.Itoa(int(old)), n, strconv.Itoa(n.number))
			return
		}
		c.SetAmount(catalogue.Number, float64(n.number))
	}
	if n.mark != "" {
		if old, ok := c.Text(catalogue.Mark); ok && !catalogue.Same(old, n.mark) {
			p.disagree(c, h, catalogue.Mark, old, n, n.mark)
			return
		}
		c.SetText(catalogue.Mark, n.mark)
	}
	c.Kind, c.Name = n.kind, n.text
	if text == "" {
		p.full(c)
	}
}

// disagree notes that a column says otherwise than the club's own cell.
func (p *Parser) disagree(c *club.Club, h *head, id catalogue.ID, read string, n *clubName, want string) {
	col := &column{heading: h.sheet.Headings[id]}
	name := p.opts.Schema.Property(id).Name
	message := "%s is not the %s of %s; expected %s or an empty cell"
	p.fault(col, read, fmt.Sprintf(message, diag.Quote(read), name, diag.Quote(n.text), want), want)
	c.Unset(id)
}

// full gives a club that the sheet names by its kind alone the name that it has with its number or mark.
func (p *Parser) full(c *club.Club) {
	if number, ok := c.Amount(catalogue.Number); ok && c.Kind != catalogue.Driver {
		c.Name = p.known(c.Kind.String() + " " + strconv.Itoa(int(number))).text
	} else if mark, ok := c.Text(catalogue.Mark); ok {
		c.Name += " " + mark
	}
}

// known reads the name of a club, or remembers it.
func (p *Parser) known(s string) *clubName {
	n := p.named[s]
	if n != nil {
		return n
	}
	s = strings.Clone(s)
	n = nameOf(s)
	if len(p.named) < remembered {
		p.named[s] = n
	}
	return n
}

// nameOf reads the name of a club.
func nameOf(s string) *clubName {
	n := &clubName{text: strings.Map(plainBlank, s)}
	if f := oddText(s); f != nil {
		n.fault = f
		return n
	}
	words := nameWords(s)
	n.kind, n.number, n.mark = kindOf(words)
	switch {
	case n.kind == catalogue.NoKind:
		n.fault = unknownClub(s, words)
	case n.number > catalogue.HighestNumber:
		message := diag.Quote(s) + " is not a club's number; expected a whole number above zero, as in 7"
		n.fault = &fault{message: message}
	case n.kind == catalogue.Driver && n.number == 0:
		n.number = 1
	}
	return n
}

// plainBlank is a space for a blank of any sort, such as those at which no line breaks.
func plainBlank(c rune) rune {
	if unicode.Is(unicode.Zs, c) {
		return ' '
	}
	return c
}

// nameWords cuts the name of a club into words and numbers, in small letters: "7i" is 7, i.
func nameWords(s string) []string {
	var words []string
	kind := 0 // of the last character: 1 letter, 2 digit
	for _, c := range strings.ToLower(s) {
		switch {
		case unicode.IsLetter(c):
			if kind != 1 {
				words = append(words, "")
			}
			kind = 1
		case c >= '0' && c <= '9', c == '.' && kind == 2: // 56.12 is a loft and a bounce
			if kind != 2 {
				words = append(words, "")
			}
			kind = 2
		case c == '°':
			words = append(words, "")
			kind = 0
		case plainBlank(c) == ' ' || c == '-' && len(words) > 0 || c == '_':
			kind = 0
			continue
		default:
			return append(words, string(c), "") // two words that no club has
		}
		words[len(words)-1] += string(c)
	}
	return words
}

// kindOf finds the club that words name; NoKind where they name none.
func kindOf(words []string) (kind catalogue.Kind, number int, mark string) {
	if i := slices.Index(words, "fairway") + 1; i > 0 && i < len(words) && words[i] == "wood" {
		words = slices.Delete(slices.Clone(words), i, i+1)
	}
	if i := slices.Index(words, "wedge"); i > 0 && catalogue.WedgeMark(words[i-1]+"w") != "" { // P wedge
		words = slices.Clone(words)
		words[i-1] += "w"
	}
	shape, digits, name, letters := "", "", "", ""
	for _, w := range words {
		sort := " ?"
		switch stamp := catalogue.WedgeMark(w); {
		case isNumber(w):
			sort, digits = " #", w
		case w == "°" || w == "deg":
			sort = " °"
		case stamp != "":
			sort, letters = " mark", stamp
		case w == "wedge" || w == "wedges":
			sort, name = " wedge", "wedge"
		case catalogue.KindWord(w) != catalogue.NoKind:
			sort, name = " kind", w
		}
		shape += sort
	}
	loft, err := strconv.ParseFloat(cmp.Or(digits, "0"), 64)
	stamped := err == nil && !strings.HasSuffix(digits, ".") && loft >= lowestLoft && loft <= highestLoft
	switch shape {
	case " kind", " wedge":
		return catalogue.KindOf(name), 0, ""
	case " mark", " mark wedge", " wedge mark":
		return catalogue.Wedge, 0, letters
	case " # kind", " kind #":
		return numbered(name, digits)
	case " # wedge", " wedge #", " # °", " ° #", " # ° wedge", " ° # wedge", " wedge # °": // stamped with its loft
		if stamped || loft > 0 && isWhole(digits) {
			return catalogue.Wedge, 0, digits
		}
	case " #":
		if stamped {
			return catalogue.Wedge, 0, digits
		}
	case " mark #", " # mark", " mark # °", " # ° mark", // with both
		" mark wedge #", " mark wedge # °", " # mark wedge", " # ° mark wedge":
		if stamped {
			return catalogue.Wedge, 0, letters
		}
	}
	switch {
	case len(words) == 1 && words[0] == "d":
		return catalogue.Driver, 0, ""
	case len(words) == 2 && words[0] == "wedge" && len(words[1]) <= 3 && !isNumber(words[1]):
		return catalogue.Wedge, 0, strings.ToUpper(words[1])
	}
	return catalogue.NoKind, 0, ""
}

// numbered is the club of a kind with a number.
func numbered(name, digits string) (kind catalogue.Kind, number int, mark string) {
	kind = catalogue.KindWord(name)
	n, err := strconv.Atoi(digits)
	switch {
	case err != nil, n == 0, kind == catalogue.Putter, kind == catalogue.Chipper, kind == catalogue.Driver && n != 1:
		return catalogue.NoKind, 0, ""
	case name[0] == 'w' && n == 1:
		return catalogue.Driver, 1, ""
	}
	return kind, n, ""
}

func isNumber(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }

func isWhole(s string) bool { return strings.Trim(s, "0123456789") == "" }

// unknownClub says that words name no club, and which they may mean.
func unknownClub(s string, words []string) *fault {
	f := &fault{message: diag.Quote(s) + " is not a club; expected one as in driver, 3w, 5h, 7i, PW or putter"}
	switch {
	case len(words) == 1 && isNumber(words[0]):
		f.message = diag.Quote(s) + " does not say which kind of club it is; " +
			"expected the kind beside the number, as in 7i, 3w or 5h"
		if f.hint = words[0] + "i"; len(words[0]) > 1 && words[0] > "12" {
			f.hint = words[0] + " deg wedge"
		}
	case len(words) == 1 && words[0] == "p":
		f.message = diag.Quote(s) + " may be a pitching wedge or a putter; expected PW or putter"
	case len(words) == 2 && isNumber(words[0]) != isNumber(words[1]):
		number, word := words[0], words[1]
		if isNumber(word) {
			number, word = word, number
		}
		if near, ok := diag.Nearest(word, []string{"driver", "fairway", "wood", "hybrid", "iron", "wedge"}); ok {
			f.hint = number + " " + near
		}
		if n, err := strconv.Atoi(number); err != nil || n == 0 {
			f.message = diag.Quote(s) + " has no club's number; expected a whole number above zero, as in 7i"
			f.hint = ""
		} else if word == "driver" {
			f.message = diag.Quote(s) + " is not a club: a driver's number is 1; expected driver"
			f.hint = "driver"
		}
	default:
		if near, ok := diag.Nearest(strings.ToLower(s), kindWords()); ok {
			f.hint = near
			if stamp := catalogue.WedgeMark(near); stamp != "" {
				f.hint = stamp
			}
		}
	}
	return f
}
