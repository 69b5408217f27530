package editions_test

// This file compares Diff with brute force: random books and random changes of them, every club, pair and bag of a grid
// judged by both editions on every day that counts. What the grid finds Diff must find, and what Diff finds must
// be judged differently when its rows are read as a sheet.

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"ferrule/engine"
	"ferrule/engine/club"
	"ferrule/engine/contrast"
	"ferrule/engine/decide"
	"ferrule/engine/editions"
	"ferrule/engine/judge"
	"ferrule/engine/sheet"
	"ferrule/engine/space"
	"ferrule/lang/book"
	"ferrule/lang/catalogue"
	"ferrule/lang/unit"
)

// modelBound is a bound on a value.
type modelBound struct {
	words  string
	a, b   float64
	widens float64
}

// modelCond is a condition.
type modelCond struct {
	prop string
	op   string
	at   float64
	word string // of a hand or a kind
}

type modelUnless struct {
	cond   modelCond
	exempt bool
	bound  modelBound
}

type modelRule struct {
	name     string
	advice   bool
	subject  string // club, neighbours or set
	items    []string
	except   []string
	where    []modelCond
	value    string
	bound    modelBound
	unless   []modelUnless
	decision string
	from     string
	until    string
}

// style is how a book is written, which changes nothing.
type style struct {
	metric, lets, groups, twisted, reversed bool
	prefix                                  string
}

var (
	lofts   = []float64{10, 15, 20}
	lies    = []float64{58, 62}
	lengths = []float64{38, 40}
	dates   = []string{"2026-03-01", "2026-04-10", "2026-05-20"}
)

func pick[T any](r *rand.Rand, of []T) T { return of[r.Intn(len(of))] }

func randomCond(r *rand.Rand) modelCond {
	switch r.Intn(5) {
	case 0:
		return modelCond{prop: "hand", word: pick(r, []string{"left", "right"})}
	case 1:
		return modelCond{prop: "kind", word: pick(r, []string{"iron", "putter", "driver"})}
	case 2:
		return modelCond{prop: "lie", op: pick(r, []string{"<", "<=", ">", ">="}), at: pick(r, lies)}
	case 3:
		return modelCond{prop: "number", op: pick(r, []string{"<", "<=", ">", ">="}), at: 5}
	}
	return modelCond{prop: "loft", op: pick(r, []string{"<", "<=", ">", ">="}), at: pick(r, lofts)}
}

func randomBound(r *rand.Rand, value string) modelBound {
	figures := map[string][]float64{"loft": lofts, "lie": lies, "length by soled": lengths, "count": {1, 2, 3}, "rise": {0, 2, 5}}[value]
	b := modelBound{words: pick(r, []string{"at most", "at least", "below", "above", "between"}), a: pick(r, figures)}
	if b.words == "between" {
		b.a, b.b = figures[0], figures[len(figures)-1]
	} else if value != "count" && r.Intn(4) == 0 {
		b.widens = 1
	}
	return b
}

func randomRule(r *rand.Rand, name string) modelRule {
	m := modelRule{name: name, subject: "club", value: pick(r, []string{"loft", "lie", "length by soled"}), advice: r.Intn(6) == 0}
	switch r.Intn(6) {
	case 0:
		m.subject, m.value = "neighbours", "rise"
		m.items = []string{pick(r, []string{"iron", "iron 4 to 6", "iron 5 to 6"})}
		m.bound = randomBound(r, m.value)
		return m
	case 1:
		m.subject, m.value = "set", "count"
		m.items = []string{pick(r, []string{"iron", "putter", "iron 4 to 5", "driver"})}
		m.bound = randomBound(r, m.value)
		return m
	}
	m.items = pick(r, [][]string{{"club"}, {"iron", "wedge"}, {"driver"}, {"iron 4 to 5", "putter"}, {"iron"}})
	if m.items[0] == "club" && r.Intn(2) == 0 {
		m.except = []string{"putter"}
	}
	for range r.Intn(3) {
		m.where = append(m.where, randomCond(r))
	}
	m.bound = randomBound(r, m.value)
	for range r.Intn(3) {
		u := modelUnless{cond: randomCond(r), exempt: r.Intn(2) == 0}
		if !u.exempt {
			u.bound = randomBound(r, m.value)
		}
		if !slices.ContainsFunc(m.unless, func(v modelUnless) bool { return v.cond == u.cond }) {
			m.unless = append(m.unless, u)
		}
	}
	if m.value == "length by soled" && r.Intn(2) == 0 {
		m.decision = pick(r, []string{"three-way at 95 %", "guarded acceptance at 95 %"})
	}
	if r.Intn(3) == 0 {
		m.from = pick(r, dates[:2])
		if r.Intn(2) == 0 {
			m.until = dates[2]
		}
	}
	return m
}

func (c modelCond) write(s style) string {
	switch {
	case c.word != "":
		return c.prop + " = " + c.word
	case c.prop == "number":
		return fmt.Sprintf("%s %s %g", c.prop, c.op, c.at)
	}
	if s.twisted {
		turned := map[string]string{"<": ">=", "<=": ">", ">": "<=", ">=": "<"}[c.op]
		return fmt.Sprintf("not (%s %s %g deg)", c.prop, turned, c.at)
	}
	return fmt.Sprintf("%s %s %g deg", c.prop, c.op, c.at)
}

func (b modelBound) write(value string, s style) string {
	q := func(v float64) string {
		switch {
		case value == "count":
			return fmt.Sprintf("%g", v)
		case value == "length by soled" && s.metric:
			return fmt.Sprintf("%.1f mm", v*25.4)
		case value == "length by soled":
			return fmt.Sprintf("%g in", v)
		}
		return fmt.Sprintf("%g deg", v)
	}
	if b.words == "between" {
		if s.twisted {
			return "is " + q((b.a+b.b)/2) + " +/- " + q((b.b-b.a)/2)
		}
		return "between " + q(b.a) + " and " + q(b.b)
	}
	if b.widens > 0 && s.twisted {
		k := 1.0
		if b.words == "at least" || b.words == "above" {
			k = -1
		}
		return b.words + " " + q(b.a+k*b.widens)
	}
	if b.widens > 0 {
		return b.words + " " + q(b.a) + " allowing " + q(b.widens)
	}
	return b.words + " " + q(b.a)
}

// write writes a book of rules.
func write(rules []modelRule, s style) string {
	var b strings.Builder
	b.WriteString("rulebook \"Random\"\n\nuse methods\n\n")
	rules = slices.Clone(rules)
	if s.reversed {
		slices.Reverse(rules)
	}
	for _, m := range rules {
		items := strings.Join(m.items, ", ")
		if s.groups && items != "club" {
			fmt.Fprintf(&b, "group of-%s%s = %s\n", s.prefix, m.name, items)
			items = "of-" + s.prefix + m.name
		}
		value := map[string]string{"count": "count of " + items, "rise": "rise of loft"}[m.value]
		if value == "" {
			value = m.value
		}
		if s.lets && m.subject == "club" {
			fmt.Fprintf(&b, "let what-%s%s = %s\n", s.prefix, m.name, value)
			value = "what-" + s.prefix + m.name
		}
		word := "rule"
		if m.advice {
			word = "advice"
		}
		fmt.Fprintf(&b, "%s %s \"%s\"\n", word, m.name, s.prefix)
		switch m.subject {
		case "set":
			b.WriteString("  for each set\n")
		case "neighbours":
			fmt.Fprintf(&b, "  for neighbours among %s by number\n", items)
		default:
			fmt.Fprintf(&b, "  for every %s", items)
			if len(m.except) > 0 {
				b.WriteString(" except " + strings.Join(m.except, ", "))
			}
			var conds []string
			for _, c := range m.where {
				conds = append(conds, c.write(s))
			}
			if s.reversed {
				slices.Reverse(conds)
			}
			if len(conds) > 0 {
				b.WriteString(" where " + strings.Join(conds, " and "))
			}
			b.WriteByte('\n')
		}
		fmt.Fprintf(&b, "  require %s %s\n", value, m.bound.write(m.value, s))
		for _, u := range m.unless {
			fmt.Fprintf(&b, "  unless %s: ", u.cond.write(s))
			if u.exempt {
				b.WriteString("exempt\n")
			} else {
				b.WriteString(u.bound.write(m.value, s) + "\n")
			}
		}
		for _, c := range [][2]string{{"decision", m.decision}, {"from", m.from}, {"until", m.until}} {
			if c[1] != "" {
				fmt.Fprintf(&b, "  %s %s\n", c[0], c[1])
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// mutate changes one rule and names the part that it changed.
func mutate(r *rand.Rand, rules []modelRule) (out []modelRule, rule, what string) {
	out = slices.Clone(rules)
	i := r.Intn(len(out))
	m := &out[i]
	m.unless, m.where = slices.Clone(m.unless), slices.Clone(m.where)
	switch r.Intn(8) {
	case 0:
		if m.subject != "club" {
			m.items = []string{"iron 4"}
		} else {
			m.items = pick(r, [][]string{{"iron 4 to 6"}, {"iron 5"}, {"driver", "iron"}, {"putter"}})
			m.except = nil
		}
		if m.subject == "set" {
			return out, m.name, "limit"
		}
		return out, m.name, "scope"
	case 1:
		u := modelUnless{cond: randomCond(r), exempt: true}
		if m.subject == "club" && !slices.ContainsFunc(m.unless, func(v modelUnless) bool { return v.cond == u.cond }) {
			m.unless = append(m.unless, u)
			return out, m.name, "exception"
		}
	case 2:
		if len(m.unless) > 0 {
			m.unless = m.unless[1:]
			return out, m.name, "exception"
		}
	case 3:
		m.from, m.until = pick(r, dates[:2]), ""
		return out, m.name, "dates"
	case 4:
		if m.value == "length by soled" {
			m.decision = pick(r, []string{"simple", "guarded rejection at 95 %", "three-way at 99 %"})
			return out, m.name, "decision"
		}
	case 5:
		m.advice = !m.advice
		return out, m.name, "weight"
	case 6:
		if m.subject == "club" && len(m.where) > 0 {
			m.where[0] = randomCond(r)
			return out, m.name, "scope"
		}
	}
	m.bound = randomBound(r, m.value)
	return out, m.name, "limit"
}

// readSheet reads rows as a sheet for the books of a program; rows that are refused say nothing.
func readSheet(t testing.TB, p *judge.Program, rows []space.Row) *club.Set {
	t.Helper()
	var text bytes.Buffer
	for _, row := range rows {
		line, err := json.Marshal(row)
		if err != nil {
			t.Fatal(err)
		}
		text.Write(append(line, '\n'))
	}
	r, problem := sheet.Open("w.jsonl", &text, engine.SheetOptions("", p))
	if problem != nil {
		t.Fatal(problem)
	}
	set, _ := r.Next()
	return set
}

// verdicts judges a set; by rule and subject.
func verdicts(j *judge.Judge, set *club.Set) map[string]decide.Verdict {
	out := map[string]decide.Verdict{}
	j.Set(set, judge.Sink{Result: func(r *judge.Result) {
		key := r.Rule.Decl.Name.Text
		for _, c := range r.Subject.Clubs {
			key += " " + c.ID
		}
		out[key] = r.Verdict
	}})
	return out
}

// confirmed holds every witness against what both editions say of its rows.
func confirmed(t testing.TB, d *editions.Difference, old, new *judge.Program) {
	t.Helper()
	for _, c := range d.Changes {
		k := c.Contrast
		for _, side := range []struct {
			p    *judge.Program
			r    *book.Rule
			said space.Saying
		}{{old, c.Old, k.Old}, {new, c.New, k.New}} {
			var got decide.Verdict
			if side.r != nil {
				got = verdicts(side.p.NewJudge(judge.Options{Day: k.On, All: true}), readSheet(t, side.p, k.Rows))[strings.Join(append([]string{side.r.Decl.Name.Text}, k.Clubs...), " ")]
			}
			if got != side.said.Verdict(true) {
				t.Errorf("%s %s: the witness %v says %v, judged it is %v", c.Rule().Decl.Name.Text, c.What, k.Rows, side.said.Verdict(true), got)
			}
		}
		if (k.Old.Verdict(true) == k.New.Verdict(true)) != (c.What == contrast.Weight) {
			t.Errorf("%s %s: the witness %v says %v and %v", c.Rule().Decl.Name.Text, c.What, k.Rows, k.Old.Verdict(true), k.New.Verdict(true))
		}
	}
}

// grid is every bag that is judged: single clubs, pairs of irons, and bags of a few.
func grid() []*club.Set {
	deg, in := unit.Lookup("deg"), unit.Lookup("in")
	none := -1.0
	make := func(id string, kind catalogue.Kind, number, loft, lie, length float64, hand string) *club.Club {
		c := &club.Club{}
		c.Reset(int(catalogue.KnownProperties))
		c.ID, c.Kind = id, kind
		if number > 0 {
			c.SetAmount(catalogue.Number, number)
		}
		if loft >= 0 {
			c.SetAmount(catalogue.Loft, deg.ToBase(loft))
		}
		if lie >= 0 {
			c.SetAmount(catalogue.Lie, deg.ToBase(lie))
		}
		if length >= 0 {
			c.SetAmount(catalogue.LengthID, in.ToBase(length))
			c.Method = "soled"
		}
		if hand != "" {
			c.SetText(catalogue.Hand, hand)
		}
		return c
	}
	var out []*club.Set
	shapes := []struct {
		kind   catalogue.Kind
		number float64
	}{{catalogue.Driver, 1}, {catalogue.Iron, 4}, {catalogue.Iron, 5}, {catalogue.Iron, 6}, {catalogue.Wedge, 0}, {catalogue.Putter, 0}}
	for _, s := range shapes {
		for _, loft := range []float64{none, 9.5, 10, 12, 15, 18, 20, 21} {
			for _, lie := range []float64{none, 58, 60, 63} {
				for _, length := range []float64{none, 38, 38.1, 39, 40} {
					for _, hand := range []string{"", "left", "right"} {
						out = append(out, &club.Set{Clubs: []*club.Club{make("a", s.kind, s.number, loft, lie, length, hand)}})
					}
				}
			}
		}
	}
	for _, a := range []float64{4, 5, 6} {
		for _, b := range []float64{4, 5, 6} {
			for _, rise := range []float64{-1, 0, 1, 2, 3, 5, 6} {
				out = append(out, &club.Set{Clubs: []*club.Club{make("a", catalogue.Iron, a, 15, none, none, ""), make("b", catalogue.Iron, b, 15+rise, none, none, "")}})
			}
		}
	}
	for _, s := range shapes {
		for n := 2; n <= 4; n++ {
			set := &club.Set{}
			for i := range n {
				set.Clubs = append(set.Clubs, make(string(rune('a'+i)), s.kind, s.number, none, none, none, ""))
			}
			out = append(out, set)
		}
	}
	return out
}

// differing are the rules that judge something of the grid differently.
func differing(old, new *judge.Program, sets []*club.Set) map[string]string {
	out := map[string]string{}
	days := []string{"2026-05-20"}
	if slices.ContainsFunc(append(old.Rules(), new.Rules()...), func(r *book.Rule) bool { return r.From != book.NoDay }) {
		days = append(days, "2026-02-28", "2026-03-05", "2026-04-15", "2026-05-21")
	}
	for _, on := range days {
		day, _ := book.ParseDay(on)
		first, second := old.NewJudge(judge.Options{Day: day, All: true}), new.NewJudge(judge.Options{Day: day, All: true})
		for _, set := range sets {
			a, b := verdicts(first, set), verdicts(second, set)
			for key := range a {
				if a[key] != b[key] {
					out[strings.Fields(key)[0]] = fmt.Sprint(key, " ", on, " ", a[key], " ", b[key])
				}
			}
			for key := range b {
				if a[key] != b[key] {
					out[strings.Fields(key)[0]] = fmt.Sprint(key, " ", on, " ", a[key], " ", b[key])
				}
			}
		}
	}
	return out
}

func TestDiffAgainstBruteForce(t *testing.T) {
	sets := grid()
	r := rand.New(rand.NewSource(23))
	trials, seen, changed := 30, 0, 0
	if testing.Short() {
		trials = 10
	}
	for range trials {
		var rules []modelRule
		for i := range 1 + r.Intn(3) {
			rules = append(rules, randomRule(r, string(rune('a'+i))+"-rule"))
		}
		s := style{prefix: "x"}
		rewritten := style{metric: r.Intn(2) == 0, lets: r.Intn(2) == 0, groups: r.Intn(2) == 0, twisted: r.Intn(2) == 0, reversed: r.Intn(2) == 0, prefix: "y"}
		oldText, sameText := write(rules, s), write(rules, rewritten)
		mutated, name, what := mutate(r, rules)
		newText := write(mutated, rewritten)
		old, again, new := compiled(t, oldText), compiled(t, sameText), compiled(t, newText)
		if d := editions.Compare(t.Context(), old, again); !d.Same() {
			t.Errorf("a rewrite is told to be a change: %v %v\n%s\n%s", told(&d), d.LeftOut, oldText, sameText)
		}
		d := editions.Compare(t.Context(), old, new)
		confirmed(t, &d, old, new)
		if len(d.LeftOut) > 0 {
			t.Errorf("left out: %v\n%s\n%s", d.LeftOut, oldText, newText)
		}
		for _, c := range d.Changes {
			if c.Rule().Decl.Name.Text != name || c.What.String() != what {
				t.Errorf("told %s %s where %s of %s was changed\n%s\n%s", c.Rule().Decl.Name.Text, c.What, what, name, oldText, newText)
			}
		}
		changed += len(d.Changes)
		for rule, how := range differing(old, new, sets) {
			seen++
			if !slices.ContainsFunc(d.Changes, func(c editions.Change) bool { return c.Rule().Decl.Name.Text == rule && c.What != contrast.Weight }) {
				t.Errorf("the grid finds that %s judges differently, %s, and Diff does not\n%s\n%s", rule, how, oldText, newText)
			}
		}
	}
	if seen < trials/2 {
		t.Errorf("of %d books only %d judge differently on the grid: the trials try too little", trials, seen)
	}
	t.Logf("%d books, %d rules that differ on the grid, %d changes told", trials, seen, changed)
}

// withPart is a rule with one part of another.
func withPart(m, from modelRule, what string) modelRule {
	switch what {
	case "scope":
		m.items, m.except, m.where = from.items, from.except, from.where
	case "limit":
		m.bound = from.bound
	case "exception":
		m.unless = from.unless
	case "dates":
		m.from, m.until = from.from, from.until
	case "decision":
		m.decision = from.decision
	case "weight":
		m.advice = from.advice
	}
	return m
}

// Where several parts of a rule change, each is told that alone changes a verdict which the editions give differently.
func TestDiffOfSeveralParts(t *testing.T) {
	sets := grid()
	r := rand.New(rand.NewSource(23))
	wanted := 0
	for range 16 {
		old := randomRule(r, "a-rule")
		if old.subject != "club" {
			continue
		}
		next := old
		for range 4 {
			changed, _, what := mutate(r, []modelRule{old})
			next = withPart(next, changed[0], what)
		}
		text := write([]modelRule{old}, style{prefix: "x"})
		newText := write([]modelRule{next}, style{prefix: "y", twisted: true, lets: true, groups: true})
		a, b := compiled(t, text), compiled(t, newText)
		d := editions.Compare(t.Context(), a, b)
		confirmed(t, &d, a, b)
		if len(d.LeftOut) > 0 {
			t.Errorf("left out: %v\n%s\n%s", d.LeftOut, text, newText)
		}
		var able []string
		for _, what := range []string{"scope", "limit", "exception", "dates", "decision"} {
			if how := alone(a, b, compiled(t, write([]modelRule{withPart(old, next, what)}, style{prefix: "x"})), sets); how != "" {
				able = append(able, what)
				if !slices.ContainsFunc(d.Changes, func(c editions.Change) bool { return c.What.String() == what }) {
					t.Errorf("%s alone makes a difference, %s, and is not told; told are %v\n%s\n%s", what, how, told(&d), text, newText)
				}
			}
		}
		wanted += len(able)
		for _, c := range d.Changes {
			part := c.What.String()
			if c.What == contrast.Weight || len(able) == 0 || slices.Contains(able, part) {
				continue
			}
			if e := editions.Compare(t.Context(), a, compiled(t, write([]modelRule{withPart(old, next, part)}, style{prefix: "x"}))); e.Same() {
				t.Errorf("%s is told and changes nothing: %v\n%s\n%s", part, told(&d), text, newText)
			}
		}
	}
	if wanted < 10 {
		t.Errorf("only %d parts make a difference alone: the trials try too little", wanted)
	}
	t.Logf("%d parts that make a difference alone", wanted)
}

// alone finds a subject of the grid on which an edition with one part of the next judges as neither; "" if there is none.
func alone(old, new, hybrid *judge.Program, sets []*club.Set) string {
	for _, on := range []string{"2026-05-20", "2026-02-28", "2026-03-05", "2026-04-15", "2026-05-21"} {
		day, _ := book.ParseDay(on)
		var judges []*judge.Judge
		for _, p := range []*judge.Program{old, new, hybrid} {
			judges = append(judges, p.NewJudge(judge.Options{Day: day, All: true}))
		}
		for _, set := range sets {
			a, b, h := verdicts(judges[0], set), verdicts(judges[1], set), verdicts(judges[2], set)
			for _, key := range []string{"a-rule a"} {
				if a[key] != b[key] && a[key] != h[key] {
					c := set.Clubs[0]
					return fmt.Sprint(c.Kind, " ", a[key], " ", b[key], " ", h[key], " ", on)
				}
			}
		}
	}
	return ""
}

// told are changes for a message.
func told(d *editions.Difference) []string {
	var out []string
	for _, c := range d.Changes {
		out = append(out, fmt.Sprint(c.Rule().Decl.Name.Text, " ", c.What, " ", c.Contrast.Rows, " ", c.Contrast.Old.Verdict(true), " ", c.Contrast.New.Verdict(true)))
	}
	return out
}
