package parser

import (
	"flag"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ferrule/lang/ast"
	"ferrule/lang/source"
)

var (
	sentences = flag.Int("sentences", 1000, "how many sentences of the grammar are read")
	seed      = flag.Uint64("seed", 1, "which ones")
)

// grammar is the language as its reference describes it, one production a line, in ordinary context-free form. A name
// that has no production is a word, a sign, a text or a quantity as it is written, with _ for a blank; ↵ starts a line.
// X? is X or nothing, and an exclamation mark makes what a production reads a node of the tree. Three things that the
// reference says of names are in the forms: only a length takes "by METHOD", a value of a set stands in parentheses beside
// an operator, and directly behind a number "in" is the inch.
const grammar = `
Book = Header? Declaration
Declaration = Use | Group | Property | Chart | Let | Method | Allowance | Head | Rule | Advice | Waive | Case

!Header = rulebook Text Edition? Language? Event? Decision? Contact? Mass? Extension?
!Edition = ↵ edition Day
!Language = ↵ language 1
!Event = ↵ event Text
!Contact = ↵ contact Text
!Mass = ↵ butt-mass Sum | ↵ tip-mass Sum
!Extension = ↵ extension at most Sum

!Use = ↵ use methods Only? Without? | ↵ use "house.ferrule" Only? Without?
Only = only Names
Without = without Names
Names = Name | Names , Name
!Group = ↵ group low = Selector
!Property = ↵ property face Sort | ↵ property face text OneOf? Default? | ↵ property junior yes-no No? | ↵ property hand Left
Sort = angle | length by soled | length by plane-60
OneOf = one of Texts
Texts = Text | Texts , Text
!Default = else Text
!No = else no
!Left = else left | else right
!Chart = ↵ chart house of Length per club Rows | ↵ chart house of loft per club Rows
Rows = Row | Rows Row
!Row = ↵ Items = Sum Where?
!Let = ↵ let span = Formula
!Method = ↵ method house-soled Text? Covers? Stop? Top? Reads? LieSet? Ruler?
!Covers = ↵ covers every Selector
!Stop = ↵ stop at lie | ↵ stop at 60_deg | ↵ stop along axis
!Top = ↵ top at cap edge | ↵ top at cap end | ↵ top at butt
!Reads = ↵ reads to Sum
!LieSet = ↵ lie-set within Sum
!Ruler = ↵ ruler within Sum
!Allowance = ↵ allowance cap Sum Within? Where? | ↵ allowance crown Sum Within? Where?
Within = within Sum
!Head = ↵ head Items Where? Reach? Toe?
!Reach = ↵ reach Sum Within?
!Toe = ↵ toe-radius Sum Within?

!Rule = ↵ rule drops Text? For? Require? Exceptions? Decision? From? Until? Cite? Mends?
!Advice = ↵ advice drops For? Require?
!For = ↵ for every Selector | ↵ for each set Where? | ↵ for neighbours among Selector by Key
Key = number | loft | Length
!Require = ↵ require Formula | ↵ require SetValue Bound | ↵ require Sum Bound
Exceptions = Unless | Exceptions Unless
!Unless = ↵ unless Formula : Lifted | ↵ else unless Formula : Lifted
Lifted = exempt | Bound
!Decision = ↵ decision simple | ↵ decision three-way at Sum | ↵ decision guarded acceptance at Sum | ↵ decision guarded rejection at Sum
!From = ↵ from Day
!Until = ↵ until Day
!Cite = ↵ cite Text
Mends = Mend | Over Under
!Mend = ↵ mend Text
!Over = ↵ mend over Text
!Under = ↵ mend under Text
!Bound = at most Sum Allowing? | at least Sum Allowing? | below Sum Allowing? | above Sum Allowing? | between Sum and Sum Allowing? | is Sum PlusMinus? Allowing? | within Sum of Sum Allowing?
PlusMinus = +/- Sum
Allowing = allowing Sum

!Waive = ↵ waive drops Text? On? From? Until? Cite?
!On = ↵ on Id OfSet? | ↵ on Id and Id OfSet? | ↵ on Id , Id OfSet? | ↵ on set Id
OfSet = of Id
Id = d1 | Birch | 7i | "J._B"

!Case = ↵ case Text Clubs? Sets? Day_? Expects?
!Clubs = Clubs_
Clubs_ = Club | Clubs_ Club
Sets = Set | Sets Set
!Set = ↵ set Name Clubs_?
!Club = ↵ club Name : Measured Readings? | ↵ order Name : Measured Readings?
Measured = putter | Item_
Readings = , Reading | Readings , Reading
!Reading = Name Literal HalfWidth? By?
Literal = Amount | Minus | Text | Day | left | yes
!Minus = ± Amount
HalfWidth = +/- Amount
By = by soled
!Day_ = ↵ on Day
Expects = Expect | Expects Expect
!Expect = ↵ expect drops on Subjects : pass Details? | ↵ expect drops on set Name? : too-close Details?
Subjects = Subject | Subjects , Subject
Subject = Name | NameOf
!NameOf = Name of Name
Details = Worth | excepted | mend Text | Worth excepted | excepted mend Text Worth
Worth = value Sum PlusMinus?

Formula = If | Or | And | Not
!If = if Formula then Formula else Formula
!Or = Or or Not | Not or Not
!And = And and Not | Not and Not
Not = Negation | Comparison
!Negation = not Not
Comparison = Compared | In | Sum
!Compared = Sum = Sum | Sum != Sum | Sum < Sum | Sum <= Sum | Sum > Sum | Sum >= Sum | kind = Kind | First != Kind | hand = left
Kind = putter | woods | Item_
!In = Listed in ( Sums ) | Listed not in ( Sums ) | kind in ( Kinds ) | kind not in ( Kinds )
Listed = Name | Paren | hand
Sums = Sum | Sums , Sum
Kinds = Kind | Kinds , Kind
Sum = Plus | Product
!Plus = Sum + Product | Sum - Product
Product = Times | Operand
!Times = Product * Operand | Product / Operand
Operand = Minus_ | Amount | Day | Text | Paren | Call | Has | Ref | today | Age | Repeats | Share | Count
!Minus_ = ± Amount | ± Name | ± Paren
!Paren = ( Formula ) | ( SetValue )
!Call = abs ( Formula ) | min ( Arguments ) | max ( Arguments )
Arguments = Formula , Formula | Arguments , Formula
!Has = has Ref
Ref = Name | Length | Ordered | Second
!Length = length by soled | length by plane-60
!Ordered = ordered Name | ordered length by soled
!First = first kind | second kind
!Second = first Name | second Name | first length by soled | second ordered Name
!Age = age Name | age Day | age Paren | age Born
!Born = first born | ordered born | second ordered born
!Repeats = mean of Ref among readings | spread of Ref among readings
!Share = share of ( Formula ) among readings
!Count = count of readings of Ref
SetValue = Aggregate | CountOf | Step
!Aggregate = longest of Each among Selector | mean of Each among Selector
Each = Name | Length | Ordered | Paren
!CountOf = count of Selector
!Step = drop of Each | rise of Each | drop of Each per number | rise of Each per number

!Selector = Items Except? Where?
Except = except Items
Where = where Formula
Items = Item | Items , Item
Item = iron | wedges | woods | club | Item_ | Range
!Item_ = iron 5 | wedge "PW"
!Range = iron 5 to 9
Name = lie | loft | mass | house | number
Amount = 3 | 45_3/4_in | 2_% | D2 | 3_days | 1/8_in
Day = 2026-04-18
Text = "A" | "B_#_b"
`

// symbol is a production of the grammar, or what it reads as it is.
type symbol struct {
	word         string // "" of a production
	node         bool
	alternatives [][]*symbol
	least        int // how few words it can be
	depth        int // the fewest levels that it needs
}

// symbols of the grammar by name.
func readGrammar() map[string]*symbol {
	const far = 1 << 20
	all := map[string]*symbol{}
	lines := strings.Split(grammar, "\n")
	for _, line := range lines {
		if name, _, ok := strings.Cut(line, " = "); ok {
			all[strings.TrimPrefix(name, "!")] = &symbol{node: name[0] == '!', least: far, depth: far}
		}
	}
	named := func(name string) *symbol {
		if s := all[name]; s != nil {
			return s
		}
		s := &symbol{word: strings.ReplaceAll(name, "_", " "), least: 1}
		if of, ok := strings.CutSuffix(name, "?"); ok {
			s = &symbol{alternatives: [][]*symbol{{}, {all[of]}}, depth: 1}
		}
		all[name] = s
		return s
	}
	for _, line := range lines {
		name, right, _ := strings.Cut(line, " = ")
		if p := all[strings.TrimPrefix(name, "!")]; p != nil {
			for _, a := range strings.Split(right, " | ") {
				var of []*symbol
				for _, s := range strings.Fields(a) {
					of = append(of, named(s))
				}
				p.alternatives = append(p.alternatives, of)
			}
		}
	}
	for range all { // more often than anything is nested
		for _, p := range all {
			for _, a := range p.alternatives {
				words, depth := 0, 0
				for _, s := range a {
					words, depth = words+s.least, max(depth, s.depth)
				}
				p.least, p.depth = min(p.least, words), min(p.depth, depth+1)
			}
		}
	}
	return all
}

// sentence is the words of a sentence, with the places of its nodes.
type sentence struct {
	words []*symbol
	nodes map[[2]int]bool // the first word and the one behind the last; single words are left out
}

// derive adds what a symbol can be, of not many levels more.
func (x *sentence) derive(s *symbol, r *rand.Rand, levels int) {
	if s.word != "" {
		x.words = append(x.words, s)
		return
	}
	from, fit := len(x.words), s.alternatives
	if depth := func(a []*symbol) (d int) {
		for _, s := range a {
			d = max(d, s.depth)
		}
		return d
	}; levels > 0 {
		fit = slices.DeleteFunc(slices.Clone(fit), func(a []*symbol) bool { return depth(a) >= max(levels, s.depth) })
	} else {
		fit = slices.DeleteFunc(slices.Clone(fit), func(a []*symbol) bool { return depth(a) >= s.depth })
	}
	for _, of := range fit[r.IntN(len(fit))] {
		x.derive(of, r, levels-1)
	}
	if s.node {
		x.nodes[[2]int{from, len(x.words)}] = true
	}
}

// counter counts the ways in which the grammar reads words.
type counter struct {
	words []*symbol
	known map[span]int
}

type span struct {
	of       *symbol
	from, to int
}

func (c *counter) ways(s *symbol, from, to int) int {
	if s.word != "" {
		if to == from+1 && c.words[from] == s {
			return 1
		}
		return 0
	}
	at := span{s, from, to}
	n, ok := c.known[at]
	if !ok {
		for _, a := range s.alternatives {
			n += c.sequence(a, from, to)
		}
		c.known[at] = n
	}
	return n
}

func (c *counter) sequence(of []*symbol, from, to int) int {
	if len(of) == 0 {
		if from == to {
			return 1
		}
		return 0
	}
	least := 0
	for _, s := range of[1:] {
		least += s.least
	}
	if len(of) == 1 {
		return c.ways(of[0], from, to)
	}
	if of[0].word != "" && (from == to || c.words[from] != of[0]) {
		return 0
	}
	n := 0
	for middle := from + of[0].least; middle <= to-least; middle++ {
		if of[0].word != "" && middle > from+1 {
			break
		}
		if first := c.ways(of[0], from, middle); first > 0 {
			n += first * c.sequence(of[1:], middle, to)
		}
	}
	return n
}

// written is a sentence as text, with lines broken where a clause may go on, and the places of its words.
func (x *sentence) written(r *rand.Rand) string {
	var b strings.Builder
	depth, plain := 0, true // a waiver names clubs as a sheet does, line by line
	for i, s := range x.words {
		next := func(n int) string {
			if i+n < 0 || i+n >= len(x.words) {
				return ""
			}
			return x.words[i+n].word
		}
		before := next(-1)
		marks := []string{"+", "-", "*", "/", "=", "!=", "<", "<=", ">", ">=", "+/-", "and", "or", "then", "else"}
		goesOn := depth > 0 || slices.Contains(marks, s.word) || slices.Contains(marks, before) ||
			slices.Contains([]string{",", ":", "("}, before)
		switch {
		case s.word == "↵":
			b.WriteString("\n")
			plain = next(1) != "on"
			continue
		case before == "↵" || before == "±" || i == 0:
		case goesOn && plain && s.word != "±" && next(1) != "unless" && before != "else" && r.IntN(6) == 0:
			b.WriteString([]string{"\n", "  # why\n\n\t", "\r\n    "}[r.IntN(3)])
		default:
			b.WriteString(" ")
		}
		switch s.word {
		case "(":
			depth++
		case ")":
			depth--
		}
		b.WriteString(strings.Replace(s.word, "±", "-", 1))
	}
	return b.String() + "\n"
}

// spansOf adds the places of all nodes below v.
func spansOf(v reflect.Value, add func(source.Span)) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			spansOf(v.Elem(), add)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			spansOf(v.Index(i), add)
		}
	case reflect.Struct:
		switch x := v.Interface().(type) {
		case source.Span:
			add(x)
			return
		case source.File:
			return
		case ast.Paren:
			if x.List != nil { // what it stands for has no place of its own
				add(x.Span)
				spansOf(reflect.ValueOf(x.List), add)
				return
			}
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				spansOf(v.Field(i), add)
			}
		}
	}
}

// TestOneTree reads sentences of the grammar that are drawn at random. The grammar must read each in one way only, and the
// parser in the same way: without a mistake, into nodes at the very places of the sentence's own.
func TestOneTree(t *testing.T) {
	all := readGrammar()
	r := rand.New(rand.NewPCG(*seed, 0))
	longest, met := 0, map[*symbol]bool{}
	for range *sentences {
		x := &sentence{nodes: map[[2]int]bool{}}
		for len(x.words) == 0 || len(x.words) > 60 {
			x.words = x.words[:0]
			clear(x.nodes)
			x.derive(all["Book"], r, 8+r.IntN(18))
		}
		longest = max(longest, len(x.words))
		text := x.written(r)
		if n := (&counter{x.words, map[span]int{}}).ways(all["Book"], 0, len(x.words)); n != 1 {
			t.Fatalf("the grammar reads this in %d ways:\n%s", n, text)
		}
		file := source.NewFile("", text)
		tree, list := Parse(file)
		if len(list) > 0 {
			t.Fatalf("%v\n%s", list, text)
		}
		tokens, _ := scan(file, func(mistake) {})
		first, last, at := map[int]int{}, map[int]int{}, 0
		for i, s := range x.words {
			met[s] = true
			if s.word == "↵" {
				continue
			}
			if at == len(tokens) {
				t.Fatalf("%d words are read in a sentence of more:\n%s", at, text)
			}
			first[tokens[at].Pos.Offset], last[tokens[at].Pos.Column] = i, i+1
			at++
		}
		if at != len(tokens) {
			t.Fatalf("%d words are read in a sentence of %d:\n%s", len(tokens), at, text)
		}
		got := map[[2]int]bool{}
		note := func(s source.Span) {
			if from, to := first[s.Start], last[s.End]; to > from+1 {
				got[[2]int{from, to}] = true
			}
		}
		spansOf(reflect.ValueOf(tree.Header), note)
		spansOf(reflect.ValueOf(tree.Decls), note)
		want := map[[2]int]bool{}
		for n := range x.nodes {
			if x.words[n[0]].word == "↵" {
				n[0]++
			}
			if n[1] > n[0]+1 {
				want[n] = true
			}
		}
		if !reflect.DeepEqual(got, want) {
			for n := range want {
				if !got[n] {
					t.Errorf("no node is read for %q", words(x.words[n[0]:n[1]]))
				}
			}
			for n := range got {
				if !want[n] {
					t.Errorf("a node is read for %q", words(x.words[n[0]:n[1]]))
				}
			}
			t.Fatal(text)
		}
	}
	for name, s := range all {
		if s.word != "" && !met[s] {
			t.Errorf("%q was in no sentence", name)
		}
	}
	t.Logf("%d sentences, the longest of %d words", *sentences, longest)
}

func words(of []*symbol) string {
	var all []string
	for _, s := range of {
		all = append(all, s.word)
	}
	return strings.Join(all, " ")
}
