package editor

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"math/rand"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/engine/decide"
	"ferrule/engine/judge"
	"ferrule/engine/trial"
	"ferrule/lang/load"
	"ferrule/lang/source"
	"ferrule/rulesets"
)

// shop is a folder of books by their names, all as they are on the disk.
type shop map[string]string

// ask is a request about a book, with "|" at the place that it is about. The book is open and unsaved.
func (s shop) ask(t testing.TB, name, marked string) *request {
	t.Helper()
	offset := strings.Index(marked, "|")
	if offset < 0 {
		offset = len(marked)
		marked += "|"
	}
	text := marked[:offset] + marked[offset+1:]
	files := fstest.MapFS{}
	for name, text := range s {
		files["shop/"+name] = &fstest.MapFile{Data: []byte(text)}
	}
	disk := func(dir string) (Folder, error) {
		sub, err := fs.Sub(files, cmp.Or(strings.Trim(dir, "/"), "."))
		return folderOf{sub}, err
	}
	o := opened("file:///shop/"+name, 1, NewText(text))
	r := &request{doc: &document{open: o, disk: disk, beside: map[string]*open{o.URI: o}}, server: &server{}, ctx: t.Context()}
	r.Position = o.Position(offset)
	return r
}

type folderOf struct{ fs.FS }

func (folderOf) Close() error { return nil }

// at is the book with "|" before the nth time that a word stands in it, counted from 0.
func at(text, word string, n int) string {
	i := 0
	for range n + 1 {
		i += strings.Index(text[i:], word) + 1
	}
	return text[:i-1] + "|" + text[i-1:]
}

const (
	houseBook = `property made date
group woods = driver, fairway
let heavy = 320 g
method bench "By the bench"
  covers   every club
  stop     at 60 deg
  top      at cap end
  reads    to 1/8 in
rule light "Woods are light"
  for      every woods
  require  mass at most heavy
rule old "Not too old"
  for      every club
  require  made >= 2010-01-01
`
	mainBook = `use "lib/house.ferrule" without old
use methods
chart lengths of length by bench per club
  woods    = 45 in
rule long "By the chart"
  for      every woods where made >= 2000-01-01
  require  length by bench within 1 in of lengths
  unless   kind = woods and length by plane-60 > 44 in: exempt
case "½” and the rest, 🏌"
  club     light: driver, mass 310 g, made 2011-01-01 # light
  expect   light on light: pass
`
)

var house = shop{"lib/house.ferrule": houseBook, "main.ferrule": mainBook}

// edited is the folder after the edits of an answer.
func (s shop) edited(t testing.TB, answer any) shop {
	t.Helper()
	out := maps.Clone(s)
	for uri, edits := range answer.(WorkspaceEdit).Changes {
		name := strings.TrimPrefix(uri, "file:///shop/")
		text := NewText(out[name])
		for _, e := range slices.Backward(edits) {
			text = text.With(e.Range, e.NewText)
		}
		out[name] = text.All
	}
	return out
}

func TestRenameAcrossFiles(t *testing.T) {
	for _, c := range []struct {
		word  string
		n     int
		times string // in main.ferrule and in lib/house.ferrule
	}{
		{"woods", 0, "3 2"}, {"woods", 2, "3 2"}, {"bench", 0, "2 1"}, {"made", 0, "2 2"}, {"old", 0, "1 1"},
		{"light", 2, "1 1"}, {"long", 0, "1 0"}, {"lengths", 1, "2 0"},
	} {
		r := house.ask(t, "main.ferrule", at(mainBook, c.word, c.n))
		r.NewName = "zz-new"
		answer, err := rename(r)
		if err != nil {
			t.Errorf("%s: %v", c.word, err)
			continue
		}
		then := house.edited(t, answer)
		if got := fmt.Sprint(strings.Count(then["main.ferrule"], "zz-new"), strings.Count(then["lib/house.ferrule"], "zz-new")); got != c.times {
			t.Errorf("%s is renamed %s times, not %s:\n%s%s", c.word, got, c.times, then["main.ferrule"], then["lib/house.ferrule"])
		}
		for name := range house {
			if _, list := load.Load(rulesets.FS(), []load.Root{{FS: files(then), Path: name, Show: name}}); len(list) > 0 {
				t.Errorf("%s: %v", c.word, list)
			}
		}
	}
}

func files(s shop) fs.FS {
	out := fstest.MapFS{}
	for name, text := range s {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

// What cannot be renamed is refused with the reason, and nothing is offered for it beforehand.
func TestRenameRefused(t *testing.T) {
	for _, c := range []struct{ word, to, why string }{
		{"driver", "big", "driver is a kind of club"}, {"mass", "weight", "mass is a property that ferrule knows"},
		{"every", "each", "every is a word of the language"}, {"methods", "ways", "methods is a shipped book"},
		{"plane-60", "plane", "plane-60 is declared in the shipped book methods, which cannot be changed"},
		{"By the", "x", "there is no name here"}, {"# light", "x", "there is no name here"}, {"45 in", "x", "there is no name here"},
		{"pass", "fine", "pass is not a name that a book declares"},
	} {
		r := house.ask(t, "main.ferrule", at(mainBook, c.word, 0))
		r.NewName = c.to
		if _, err := rename(r); err == nil || err.Error() != c.why {
			t.Errorf("%s: %v, not %q", c.word, err, c.why)
		}
		if got, err := prepareRename(r); got != nil || err != nil {
			t.Errorf("%s: %v is offered", c.word, got)
		}
	}
	for _, c := range []struct{ word, to, why string }{
		{"woods", "at", `"at" is a word of the language`}, {"woods", "irons", `"irons" is a kind of club`},
		{"made", "lengths", "the name lengths is declared here and in lib/house.ferrule"},
		{"woods", "Big", `"Big" is not a name`}, {"woods", "big woods", `"big woods" is not a name`}, {"woods", "", "is not a name"},
		{"bench", "soled", "the method soled comes from"}, {"light", "long", "the name long is declared here and in"},
		{"made", "loft", "is a property that ferrule already knows"},
	} {
		r := house.ask(t, "main.ferrule", at(mainBook, c.word, map[string]int{"light": 2}[c.word]))
		r.NewName = c.to
		if _, err := rename(r); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s to %s: %v, not %q", c.word, c.to, err, c.why)
		}
		if got, _ := json.Marshal(answered(prepareRename(r))); !strings.Contains(string(got), `"placeholder":"`+c.word+`"`) {
			t.Errorf("%s: %s is offered", c.word, got)
		}
	}
	alike := shop{"a.ferrule": "use \"b.ferrule\"\nuse \"c.ferrule\"\nproperty made date\n", "b.ferrule": houseBook,
		"c.ferrule": "property made date\ngroup new = iron where made > 2020-01-01\n"}
	r := alike.ask(t, "c.ferrule", at(alike["c.ferrule"], "made", 1))
	r.NewName = "built" // one column of the sheet, whoever declares it
	answer, err := rename(r)
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range alike.edited(t, answer) {
		if strings.Contains(text, "made") {
			t.Errorf("made is left in %s:\n%s", name, text)
		}
	}
	too := "use equipment-rules\nproperty made date\ngroup new = iron where made > 2020-01-01\n"
	r = shopOf(too).ask(t, "main.ferrule", at(too, "made", 0))
	r.NewName = "built"
	if _, err := rename(r); err == nil || err.Error() != "made is declared in a shipped book, too, which cannot be changed" {
		t.Error(err)
	}
	broken := maps.Clone(house)
	broken["lib/cut.ferrule"] = "rule cut \"Short\"\n  for every woods where\n"
	r = broken.ask(t, "main.ferrule", at(mainBook, "woods", 0))
	r.NewName = "timber"
	if _, err := rename(r); err == nil || err.Error() != "cut.ferrule has mistakes, so it is not known what woods means in line 2; mend them first" {
		t.Error(err)
	}
}

// A book further up in the folder that the client has open uses the names, too.
func TestRenameFromBelow(t *testing.T) {
	for _, roots := range [][]string{{"", "file:///shop"}, {"file:///", "file:///shop/"}, {"file:///shop/lib", "file:///shop", "file:///sho"}, nil} {
		r := house.ask(t, "lib/house.ferrule", at(houseBook, "woods", 0))
		r.roots, r.NewName = roots, "timbers"
		answer, err := rename(r)
		if err != nil {
			t.Fatal(err)
		}
		then := house.edited(t, answer)
		if got := strings.Count(then["main.ferrule"], "timbers"); got != 3 && roots != nil || strings.Count(then["lib/house.ferrule"], "timbers") != 2 {
			t.Errorf("with %q open, %d are renamed further up", roots, got)
		}
	}
	r := house.ask(t, "lib/house.ferrule", at(houseBook, "light", 0))
	r.roots, r.NewName = []string{"file:///shop"}, "long"
	if _, err := rename(r); err == nil || !strings.Contains(err.Error(), "main.ferrule, line 5: the name long is declared here and in") {
		t.Error(err)
	}
}

func answered(a any, _ error) any { return a }

func TestDefinitionAndReferences(t *testing.T) {
	for _, c := range []struct {
		word string
		n    int
		want string
	}{
		{"woods", 1, "file:///shop/lib/house.ferrule 1:6"}, {"bench", 1, "file:///shop/lib/house.ferrule 3:7"},
		{"lib/", 0, "file:///shop/lib/house.ferrule 0:0"}, {"lengths", 1, "file:///shop/main.ferrule 2:6"},
		{"plane-60", 0, ""}, {"driver", 0, ""}, {"methods", 0, ""}, {"long", 0, "file:///shop/main.ferrule 4:5"},
	} {
		answer, err := definition(house.ask(t, "main.ferrule", at(mainBook, c.word, c.n)))
		got := ""
		if l, ok := answer.(Location); ok {
			got = fmt.Sprintf("%s %d:%d", l.URI, l.Range.Start.Line, l.Range.Start.Character)
		}
		if err != nil || got != c.want {
			t.Errorf("%s is declared at %q, not %q (%v)", c.word, got, c.want, err)
		}
	}
	r := house.ask(t, "main.ferrule", at(mainBook, "made", 1))
	for _, with := range []bool{false, true} {
		r.Context.IncludeDeclaration = with
		answer, err := references(r)
		if got := len(answer.([]Location)); err != nil || got != map[bool]int{false: 3, true: 4}[with] {
			t.Errorf("%d references to made: %v %v", got, answer, err)
		}
	}
}

// shippedShop is the shipped books as files of a shop, which use each other as files.
func shippedShop(t *testing.T) shop {
	s := shop{}
	for _, name := range rulesets.Names() {
		text, err := fs.ReadFile(rulesets.FS(), name+".ferrule")
		if err != nil {
			t.Fatal(err)
		}
		s[name+".ferrule"] = string(text)
	}
	for file, text := range s {
		for _, name := range rulesets.Names() {
			text = strings.ReplaceAll(text, "\nuse "+name, "\nuse \""+name+".ferrule\"")
		}
		s[file] = text
	}
	return s
}

// verdicts are what comes of the cases of all books of a folder.
func (s shop) verdicts(t *testing.T) (all []decide.Verdict) {
	for _, name := range slices.Sorted(maps.Keys(s)) {
		loaded, list := load.Load(nil, []load.Root{{FS: files(s), Path: name, Show: name}})
		if list.HasErrors() {
			t.Fatalf("%s has mistakes: %v", name, list)
		}
		for _, o := range trial.Run(judge.Compile(loaded.Roots, loaded.Schema), loaded.Roots[0]) {
			v := decide.Verdict(0)
			if o.Got != nil {
				v = o.Got.Verdict
			}
			all = append(all, v)
		}
	}
	return all
}

// After a rename all books give the same verdicts, and renaming back restores every byte.
func TestRandomRenames(t *testing.T) {
	s := shippedShop(t)
	before := s.verdicts(t)
	var all []source.Span
	for name := range s {
		loaded, _ := load.Load(nil, []load.Root{{FS: files(s), Path: name, Show: name}})
		for _, n := range loaded.Roots[0].Info.Named {
			if n.At.File == loaded.Roots[0].File {
				all = append(all, n.At)
			}
		}
	}
	slices.SortFunc(all, func(a, b source.Span) int {
		return strings.Compare(fmt.Sprint(a.File.Name, a.Start), fmt.Sprint(b.File.Name, b.Start))
	})
	random := rand.New(rand.NewSource(1))
	for range 8 {
		n := all[random.Intn(len(all))]
		name, old := n.File.Name, n.Text()
		r := s.ask(t, name, s[name][:n.Start]+"|"+s[name][n.Start:])
		r.NewName = "zz" + fmt.Sprint(random.Intn(100))
		answer, err := rename(r)
		if err != nil {
			t.Errorf("%s in %s: %v", old, name, err)
			continue
		}
		then := s.edited(t, answer)
		if maps.Equal(then, s) || !slices.Equal(then.verdicts(t), before) {
			t.Errorf("%s in %s: the verdicts are not the same, or nothing has changed", old, name)
		}
		i := strings.Index(then[name], r.NewName)
		back := then.ask(t, name, then[name][:i]+"|"+then[name][i:])
		back.NewName = old
		answer, err = rename(back)
		if err != nil || !maps.Equal(then.edited(t, answer), s) {
			t.Errorf("%s in %s is not as it was after it was renamed back (%v)", old, name, err)
		}
	}
}
