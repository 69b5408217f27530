package judge_test

// Sheets with holes are compared with every way to fill them, judged by the same program: what is told of a sheet with holes is
// so however they are filled, and what would not pass when they are filled one way has a result already. (The meaning of
// Kleene's strong logic: S. C. Kleene, Introduction to Metamathematics, section 64; from memory.)

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/report/wording"
	"ferrule/lang/ast"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
)

// holed is a set with holes: a cell is "" where it is missing.
type holed struct {
	p      *judge.Program
	cells  []cell
	rows   []holedRow
	unread string // the ids of refused rows
}

// cell is a column with the values that it can have.
type cell struct {
	name   string
	values []string
}

type holedRow struct {
	id              string
	cells           []string // by column; a row that is not refused has a kind
	refused, absent bool
	setting         bool // of the club of the row before, of the same id and kind
}

var holedCells = []cell{
	{"kind", []string{"iron", "wedge"}}, {"hand", []string{"left", "right"}}, {"approved", []string{"no", "yes"}},
	{"number", []string{"5", "6", "7"}}, {"lie", []string{"50", "51", "52 +/- 1"}}, {"loft", []string{"28", "34"}},
}

// club is the club of a row.
func (h *holed) club(i int) *club.Club {
	c := &club.Club{}
	c.Reset(h.p.Schema.Len())
	c.ID, c.Row, c.Loose = h.rows[i].id, i+2, h.rows[i].refused
	for k, value := range h.rows[i].cells {
		prop, _ := h.p.Schema.Lookup(h.cells[k].name)
		text, half, unsure := strings.Cut(value, " +/- ")
		n, _ := strconv.ParseFloat(text, 64)
		switch {
		case value == "":
		case prop.ID == catalogue.KindID:
			c.Kind = map[string]catalogue.Kind{"iron": catalogue.Iron, "wedge": catalogue.Wedge}[value]
		case prop.ID == catalogue.Hand:
			c.SetText(prop.ID, value)
		case prop.Sort == catalogue.YesNo:
			c.SetAmount(prop.ID, map[string]float64{"yes": 1}[value])
		case prop.Sort == catalogue.Angle:
			c.SetAmount(prop.ID, n*degree)
			if h, _ := strconv.ParseFloat(half, 64); unsure {
				c.SetReading(club.Reading{Property: prop.ID, Half: h * degree, HasHalf: true})
			}
		default:
			c.SetAmount(prop.ID, n)
		}
	}
	return c
}

// answers are the results of each rule on a set.
type answers map[string][]answer

type answer struct {
	clubs   []string
	verdict decide.Verdict
	of      ast.SubjectKind
	why     string
}

func (h *holed) judge() answers {
	s := &club.Set{}
	for i, r := range h.rows {
		if c := h.club(i); r.absent {
			continue
		} else if n := len(s.Clubs); r.setting {
			c.Setting, s.Clubs[n-1].Next = "high", c
		} else if r.refused {
			s.Refused = append(s.Refused, club.Refusal{Row: club.Row{Row: c.Row}, Club: c})
		} else {
			s.Clubs, s.Rows = append(s.Clubs, c), s.Rows+1
		}
	}
	out := answers{}
	h.p.NewJudge(judge.Options{Day: book.NoDay, All: true}).Set(s, judge.Sink{Result: func(r *judge.Result) {
		a := answer{verdict: r.Verdict, of: r.Subject.Kind, why: strings.Join(wording.Reasons(r.Lacks), "; ")}
		for _, c := range r.Subject.Clubs {
			a.clubs = append(a.clubs, c.ID)
		}
		name := r.Rule.Decl.Name.Text
		out[name] = append(out[name], a)
	}})
	return out
}

// fill calls f with every way to fill the holes from row i on. A refused row may also be no club at all.
func (h *holed) fill(i int, f func()) {
	if i == len(h.rows) {
		f()
		return
	}
	r := &h.rows[i]
	if r.refused {
		r.absent = true
		h.fill(i+1, f)
		r.refused, r.absent = false, false
		defer func() { r.refused = true }()
	}
	h.fillRow(i, f)
}

func (h *holed) fillRow(i int, f func()) {
	cells := h.rows[i].cells
	k := slices.Index(cells, "")
	if k < 0 {
		h.fill(i+1, f)
		return
	}
	for _, v := range h.cells[k].values {
		cells[k] = v
		h.fillRow(i, f)
	}
	cells[k] = ""
}

// ways is how many ways there are to fill the holes.
func (h *holed) ways() int {
	all := 1
	for _, r := range h.rows {
		n := 1
		for k, v := range r.cells {
			if v == "" {
				n *= len(h.cells[k].values)
			}
		}
		if r.refused {
			n++
		}
		all *= n
	}
	return all
}

// randomBook writes a random book of a few rules about what the cells hold.
func randomBook(r *rand.Rand) string {
	of := func(options ...string) string { return options[r.IntN(len(options))] }
	condition := func(p string) string {
		return of(p+"hand = right", p+"approved", "not ("+p+"approved)", p+"loft < 30 deg", p+"number >= 6", p+"kind = iron", p+"kind = iron 5", p+"lie > "+p+"loft",
			p+"hand = right and "+p+"number < 6", p+"hand = left or "+p+"loft > 30 deg")
	}
	selector := func() string {
		list := of("club", "iron", "iron 5 to 6", "wedge, iron 7", "club except wedge", "late")
		switch r.IntN(5) {
		case 0:
			return list
		case 1:
			return list + " where loft <= (mean of loft among club)"
		case 2:
			return list + " where (count of iron where hand = right) > 1"
		}
		return list + " where " + condition("")
	}
	var out strings.Builder
	out.WriteString("rulebook \"Holes\"\nproperty approved yes-no\ngroup late = iron, wedge where number > 5\n")
	for i := range 4 {
		var about, require, p string
		switch r.IntN(5) {
		case 0:
			about, require = "every "+selector(), of(condition(""), "lie at most 52 deg", "loft > (lowest of loft among "+selector()+")", "(count of "+selector()+") < number")
		case 1:
			about = "each set"
			require = of("count of "+selector()+" at most "+of("1", "2", "3"), "count of "+selector()+" is "+of("1", "2"), "spread of lie among "+selector()+" at most 1 deg",
				"(count of "+selector()+") > 1 or (highest of loft among "+selector()+") < 30 deg", "highest of lie among "+selector()+" at most 52 deg", "lowest of lie among "+selector()+" at least 51 deg", "highest of loft among "+selector()+" above 30 deg")
		default:
			about, p = "neighbours among "+selector()+" by "+of("lie", "loft", "number"), "first "
			require = of("rise of lie at most 1 deg", "rise of loft per number at least 0 deg", "drop of lie at most 1 deg", condition("first "), condition("second "))
		}
		fmt.Fprintf(&out, "rule r%d \"R\"\n  for %s\n  require %s\n  decision %s\n", i, about, require, decisions[r.IntN(len(decisions))])
		if r.IntN(3) == 0 && about != "each set" {
			fmt.Fprintf(&out, "  unless %s: exempt\n", condition(p))
		}
	}
	return out.String()
}

// sheet draws rows with holes, few enough that all ways to fill them can be tried.
func (h *holed) draw(r *rand.Rand) {
	for {
		h.rows = nil
		for i := range 2 + r.IntN(4) {
			row := holedRow{id: string(rune('a' + i)), refused: r.IntN(7) == 0}
			if n := len(h.rows); n > 0 && !h.rows[n-1].refused && !h.rows[n-1].setting && r.IntN(6) == 0 {
				row.id, row.refused, row.setting = h.rows[n-1].id, false, true
			}
			for k, c := range h.cells {
				v := c.values[r.IntN(len(c.values))]
				switch {
				case k == 0 && row.setting:
					v = h.rows[len(h.rows)-1].cells[0]
				case r.IntN(7) == 0 && (k > 0 || row.refused):
					v = ""
				}
				row.cells = append(row.cells, v)
			}
			h.rows = append(h.rows, row)
		}
		h.unread = ""
		for _, row := range h.rows {
			if row.refused {
				h.unread += row.id
			}
		}
		if n := h.ways(); n > 1 && n <= 48 {
			return
		}
	}
}

func passes(v decide.Verdict) bool { return v == decide.Pass || v == decide.Exempt }

// contrary says what is told of a sheet with holes and is not so when they are filled one way; "" where nothing is.
func (h *holed) contrary(open, full answers) string {
	for rule, as := range full {
		for _, a := range as {
			known := slices.DeleteFunc(slices.Clone(a.clubs), func(id string) bool { return strings.Contains(h.unread, id) })
			of := slices.IndexFunc(open[rule], func(o answer) bool { return slices.Equal(o.clubs, a.clubs) })
			switch {
			case of >= 0 && (open[rule][of].verdict == a.verdict || open[rule][of].verdict == decide.Unmeasured || open[rule][of].verdict == decide.TooClose):
			case of >= 0 && a.of == ast.OfNeighbours && open[rule][of].verdict == decide.Fail && slices.ContainsFunc(open[rule], func(o answer) bool {
				return o.verdict == decide.Unmeasured && !slices.Contains(a.clubs, o.clubs[0])
			}): // as the two stand, without a club that has no key, and at one setting
			case of >= 0 && a.of == ast.OfNeighbours && a.verdict == decide.Unmeasured: // they tie at another setting
			case of >= 0:
				return fmt.Sprintf("%s %v: %v with holes, %v when filled", rule, a.clubs, open[rule][of].verdict, a.verdict)
			case passes(a.verdict) || a.of == ast.OfClub && len(known) == 0:
			case len(known) < len(a.clubs) && len(open[rule]) > 0: // the refused row is listed, and the rule not silent
			case !slices.ContainsFunc(open[rule], func(o answer) bool {
				return !passes(o.verdict) && !slices.ContainsFunc(known, func(id string) bool { return !slices.Contains(o.clubs, id) })
			}):
				return fmt.Sprintf("%s %v: nothing with holes, %v when filled", rule, a.clubs, a.verdict)
			}
		}
	}
	return ""
}

func TestEveryCompletion(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 7))
	told, filled := 0, 0
	for range 450 {
		text := randomBook(r)
		p, _ := compiled(t, text)
		h := &holed{p: p, cells: holedCells}
		for range 2 {
			h.draw(r)
			open := h.judge()
			for _, as := range open {
				for _, a := range as {
					if a.verdict != decide.Unmeasured && a.verdict != decide.TooClose {
						told++
					}
				}
			}
			rows := fmt.Sprint(h.rows)
			h.fill(0, func() {
				filled++
				full := h.judge()
				if why := h.contrary(open, full); why != "" {
					t.Fatalf("%s\n%s%s\nwith holes %v\nfilled %v\n%v", why, text, rows, open, h.rows, full)
				}
			})
		}
	}
	if told < 700 || filled < 8000 {
		t.Errorf("only %d results told and %d sheets filled", told, filled)
	}
}
