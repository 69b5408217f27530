package load_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"ferrule/lang/diag"
	"ferrule/lang/load"
)

// files makes a file system of names and texts.
func files(pairs ...string) fstest.MapFS {
	m := fstest.MapFS{}
	for i := 0; i < len(pairs); i += 2 {
		m[pairs[i]] = &fstest.MapFile{Data: []byte(pairs[i+1])}
	}
	return m
}

// root is a book of a file system by its own name.
func root(fsys fs.FS, name string) load.Root { return load.Root{FS: fsys, Path: name, Show: name} }

// said is a list in one text, a line each.
func said(list diag.List) string {
	var b strings.Builder
	for _, d := range list {
		name := ""
		if d.Span.File != nil {
			name = d.Span.File.Name
		}
		fmt.Fprintf(&b, "%s:%d: %s: %s; expected %s; try %s", name, d.Span.Line(), d.Code, d.Message, d.Expected, d.Hint)
		for _, r := range d.Related {
			fmt.Fprintf(&b, "; see %s:%d", r.Span.File.Name, r.Span.Line())
		}
		for _, n := range d.Notes {
			fmt.Fprintf(&b, "; %s", n)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

const flat = "rule flat \"F\"\n  for every club\n  require lie at most 80 deg\n"

func method(name string) string {
	return "method " + name + " \"M\"\n  covers every club\n  stop at lie\n  top at cap edge\n  reads to 1/8 in\n"
}

func head(clubs, camber string) string {
	return "head " + clubs + "\n  reach 1.75 in\n  camber " + camber + " in\n  toe 4.2 in\n  toe-radius 1.3 in\n  heel 0.5 in\n  heel-radius 0.6 in\n"
}

var shipped = files("methods.ferrule", method("soled")+method("wall"), "local.ferrule", "use methods\n"+flat)

// What is said of books that use others; each mistake is on one line.
func TestUses(t *testing.T) {
	for _, c := range []struct {
		name  string
		files fstest.MapFS // the root is a.ferrule
		want  string       // lines that must be said, each by some words; "" for nothing
	}{
		{"sound", files("a.ferrule", "use methods\nuse \"sub/b.ferrule\"\nuse \"c.ferrule\" only flat\nrule long \"L\"\n  for every shorts\n  require length by soled at most 46 in\n",
			"sub/b.ferrule", "use \"c/d.ferrule\"\ngroup shorts = iron\n", "sub/c/d.ferrule", "property made date\n", "c.ferrule", flat), ""},
		{"itself is not meant", files("a.ferrule", "use \"house.ferrule\"\n", "house.ferrule", "use \"hous.ferrule\"\n", "houses.ferrule", ""), `house.ferrule:1: missing-book: there is no file "hous.ferrule"; expected a file in the folder of this book or below it; try "houses.ferrule"`},
		{"missing file", files("a.ferrule", "use \"hous.ferrule\"\nlet x = house-loft\n", "house.ferrule", ""), `a.ferrule:1: missing-book: there is no file "hous.ferrule"; expected a file in the folder of this book or below it; try "house.ferrule"`},
		{"allowances of two books", files("a.ferrule", "use \"b.ferrule\"\nallowance cap 1/8 in\n", "b.ferrule", "use \"c.ferrule\"\n", "c.ferrule", "allowance cap 1/4 in\n"),
			"a.ferrule:2: rows-differ: two allowances hold for the same clubs and differ, this one and one of c.ferrule; expected one of them, or a where that tells them apart; try ; see c.ferrule:1"},
		{"equal allowances of two books, and of a cap and a crown", files("a.ferrule", "use \"b.ferrule\"\nallowance cap 1/8 in\nallowance crown 1/4 in where loft > 3 deg\n", "b.ferrule", "allowance cap 3.175 mm\nallowance crown 1/8 in\n"), ""},
		{"heads of two books", files("a.ferrule", "use \"b.ferrule\"\n"+head("iron, driver", "9"), "b.ferrule", head("driver", "10")+head("iron", "9")), "a.ferrule:2: rows-differ: two heads hold for the same clubs and differ, this one and one of b.ferrule; expected one of them, or a where that tells them apart; try ; see b.ferrule:1"},
		{"heads of two books for other clubs", files("a.ferrule", "use \"b.ferrule\"\n"+head("iron", "9"), "b.ferrule", head("driver", "10")), ""},
		{"a column that nothing declares", files("a.ferrule", "rule r \"R\"\n  for every club\n  require zzyzx < 3 deg\n"), "declare it: property zzyzx angle"},
		{"missing file below", files("a.ferrule", "use \"sub/hous.ferrule\"\n", "sub/house.ferrule", ""), `try "sub/house.ferrule"`},
		{"no ending", files("a.ferrule", "use \"house\"\n", "house.ferrule", ""), `try "house.ferrule"`},
		{"shipped as a file", files("a.ferrule", "use \"methods.ferrule\"\n"), "try methods; A shipped book is used by its name"},
		{"missing shipped", files("a.ferrule", "use method5\n"), `there is no shipped book "method5"; expected a shipped book (local, methods), or a file in quotation marks; try methods`},
		{"a file without marks", files("a.ferrule", "use house\n", "house.ferrule", ""), `try "house.ferrule"`},
		{"up", files("a.ferrule", "use \"../x.ferrule\"\n"), `a.ferrule:1: outside-folder: "../x.ferrule" leads out of the book's folder`},
		{"up within", files("a.ferrule", "use \"sub/../../x.ferrule\"\n"), "outside-folder"},
		{"absolute", files("a.ferrule", "use \"/etc/x.ferrule\"\n"), "outside-folder: \"/etc/x.ferrule\" starts at the top of the disk"},
		{"backslash", files("a.ferrule", "use \"sub\\x.ferrule\"\n"), `has a "\" in it`},
		{"drive", files("a.ferrule", "use \"c:x.ferrule\"\n"), "starts with a drive"},
		{"empty", files("a.ferrule", "use \"\"\n"), "does not name a file"},
		{"folder", files("a.ferrule", "use \"sub\"\n", "sub/x.ferrule", ""), `book-unread: "sub" is a folder`},
		{"itself", files("a.ferrule", "use \"./a.ferrule\"\n"), "a.ferrule:1: ring-of-books: a.ferrule uses itself"},
		{"ring", files("a.ferrule", "use \"b.ferrule\"\n", "b.ferrule", "\nuse \"c.ferrule\"\n", "c.ferrule", "use \"b.ferrule\"\n"),
			"c.ferrule:1: ring-of-books: books use each other in a ring: b.ferrule uses c.ferrule, which uses b.ferrule"},
		{"too large", files("a.ferrule", "use \"b.ferrule\"\n", "b.ferrule", strings.Repeat(" ", 1<<20+4)), `a.ferrule:1: book-too-large: "b.ferrule" has 1048580 bytes`},
		{"mistakes of several books, sorted", files("a.ferrule", "use \"b.ferrule\"\nlet x = lie + 3\n", "b.ferrule", "let y = lie + mass\n"),
			"a.ferrule:2: unit-clash\nb.ferrule:1: unit-clash"},
		{"a faulty name of a used book is said once", files("a.ferrule", "use \"b.ferrule\"\nlet x = y + 3 deg\nlet z = q + 3 deg\n", "b.ferrule", "let y = lie + mass\nlet q = lie +\n"),
			"b.ferrule:1: unit-clash\nb.ferrule:2: cut-short"},
		{"names of a used book's uses are not passed on", files("a.ferrule", "use \"b.ferrule\"\nlet x = length by soled\n", "b.ferrule", "use methods\n"),
			"a.ferrule:2: unknown-name: unknown method \"soled\"; expected a method; try ; methods, which b.ferrule uses, has one. What a used book itself uses is not passed on by name: write use methods here too."},
		{"its rules are not judged", files("a.ferrule", "use \"b.ferrule\"\ncase \"C\"\n  club a: iron\n  expect flat on a: pass\n", "b.ferrule", "use local\n"), "a.ferrule:4: unknown-name"},
		{"one name from two books", files("a.ferrule", "use \"b.ferrule\"\nuse \"c.ferrule\"\n", "b.ferrule", flat, "c.ferrule", "\n"+flat),
			"a.ferrule:2: repeated-name: the rule flat comes from b.ferrule and from c.ferrule; expected each name from one place; only and without choose rules; try ; see b.ferrule:1; see c.ferrule:2"},
		{"unless it is left out", files("a.ferrule", "use \"b.ferrule\"\nuse \"c.ferrule\" without flat\n", "b.ferrule", flat, "c.ferrule", "\n"+flat), ""},
		{"only and without filter rules alone", files("a.ferrule", "use \"b.ferrule\" only flat\nuse \"c.ferrule\" without flat\n", "b.ferrule", flat+"group front = iron\n", "c.ferrule", flat+"group front = wedge\n"),
			"a.ferrule:2: repeated-name: the group front comes from b.ferrule and from c.ferrule"},
		{"own and used", files("a.ferrule", "use \"b.ferrule\"\n"+flat, "b.ferrule", flat), "a.ferrule:2: repeated-name: the name flat is declared here and in b.ferrule; expected another name, or a use without that rule; try ; see b.ferrule:1"},
		{"one declaration by two routes", files("a.ferrule", "use \"b.ferrule\" only flat\nuse \"sub/../b.ferrule\" without x\n", "b.ferrule", flat), "a.ferrule:2: outside-folder"},
		{"one book with two filters", files("a.ferrule", "use \"b.ferrule\" only flat\nuse \"b.ferrule\" without flat\n", "b.ferrule", flat+strings.Replace(flat, "flat", "flatter", 1)), ""},
		{"the same again", files("a.ferrule", "use \"b.ferrule\"\nuse \"b.ferrule\" only flat\n", "b.ferrule", flat), "a.ferrule:2: used-twice"},
		{"a filter without its rule", files("a.ferrule", "use \"b.ferrule\" only flatt\n", "b.ferrule", flat), "a.ferrule:1: unknown-name: b.ferrule has no rule \"flatt\"; expected a rule of b.ferrule: flat; try flat"},
		{"any word that a rule may have", files("a.ferrule", "use \"b.ferrule\" only at, and\nuse \"c.ferrule\" without or, only\n",
			"b.ferrule", strings.Replace(flat, "flat", "at", 1)+strings.Replace(flat, "flat", "and", 1), "c.ferrule", strings.Replace(flat, "flat", "or", 1)+strings.Replace(flat, "flat", "only", 1)+flat), ""},
		{"a filter with a name far from the one there is", files("a.ferrule", "use \"b.ferrule\" only x\nuse \"b.ferrule\" without y\n", "b.ferrule", flat),
			"a.ferrule:1: unknown-name: b.ferrule has no rule \"x\"; expected a rule of b.ferrule: flat; try flat\na.ferrule:2: unknown-name: b.ferrule has no rule \"y\"; expected a rule of b.ferrule: flat; try flat"},
		{"one column declared alike", files("a.ferrule", "use \"b.ferrule\"\nproperty made date\nlet x = if made > 2020-01-01 then 1 else 2\n", "b.ferrule", "property made date\n"), ""},
		{"one column declared otherwise", files("a.ferrule", "use \"b.ferrule\"\nproperty made text\n", "b.ferrule", "\nproperty made date\n"),
			"a.ferrule:2: unlike-columns: made is declared as date and as text; expected one sort, one method and one list of texts for each column of a sheet; or another name; try ; see b.ferrule:2"},
		{"otherwise in a book further away", files("a.ferrule", "use \"b.ferrule\"\nproperty made text\n", "b.ferrule", "use \"c.ferrule\"\n", "c.ferrule", "property made date\n"), "a.ferrule:2: unlike-columns"},
		{"methods of one name in two books", files("a.ferrule", "use \"b.ferrule\"\n"+strings.Replace(method("soled"), "1/8", "1/16", 1), "b.ferrule", "use methods\n"),
			"a.ferrule:2: repeated-name: the method soled is declared here and differently in methods, and a sheet that names it could mean either"},
		{"one method in two books", files("a.ferrule", "use \"b.ferrule\"\n"+method("soled"), "b.ferrule", "use methods\n"), ""},
		{"methods of one name, one used", files("a.ferrule", "use methods\n"+method("soled")), "a.ferrule:2: repeated-name: the name soled is declared here and in methods"},
		{"a byte order mark and CRLF", files("a.ferrule", "\ufeffuse methods\r\nlet x = length by soled\r\n"), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, list := load.Load(shipped, []load.Root{root(c.files, "a.ferrule")})
			got := strings.Split(strings.TrimSuffix(said(list), "\n"), "\n")
			want := strings.Split(c.want, "\n")
			if len(got) != len(want) || c.want == "" && len(list) > 0 {
				t.Fatalf("said:\n%s\nwanted:\n%s", said(list), c.want)
			}
			for i := range want {
				if !strings.Contains(got[i], want[i]) {
					t.Errorf("said:   %s\nwanted: %s", got[i], want[i])
				}
			}
		})
	}
}

// A book that two others use is loaded once, used books come before their users, and a rule
// that comes by two routes is judged once.
func TestOnceAndInOrder(t *testing.T) {
	fsys := files("a.ferrule", "use \"b.ferrule\"\nuse \"c.ferrule\"\n", "b.ferrule", "use \"c.ferrule\"\nproperty made date\n", "c.ferrule", flat)
	loaded, list := load.Load(shipped, []load.Root{root(fsys, "a.ferrule"), root(fsys, "c.ferrule"), {Path: "local", Show: "local"}})
	if len(list) > 0 {
		t.Fatal(said(list))
	}
	var names []string
	for _, b := range loaded.All {
		names = append(names, b.Name)
	}
	if got := strings.Join(names, " "); got != "c.ferrule b.ferrule a.ferrule methods local" {
		t.Errorf("loaded %s", got)
	}
	if loaded.Roots[0] != loaded.All[2] || loaded.Roots[1] != loaded.All[0] || len(loaded.Roots) != 3 {
		t.Errorf("roots %v", loaded.Roots)
	}
	if n := len(loaded.Roots[0].Judged()); n != 1 {
		t.Errorf("%d rules are judged, want 1", n)
	}
	if !loaded.Roots[2].Shipped || loaded.Roots[0].Shipped {
		t.Error("which book is shipped is not kept")
	}
	if _, ok := loaded.Schema.Lookup("made"); !ok {
		t.Error("the schema lacks a declared property")
	}
}

// One column has one meaning of its empty cells and one list of texts, whichever books speak of it; a declaration that
// says nothing of them yields.
func TestDefaultsOfSeveralBooks(t *testing.T) {
	fsys := files("a.ferrule", "property junior yes-no else no\nproperty flex text one of \"R\", \"S\" else \"R\"\nproperty hand else right\n",
		"bare.ferrule", "property junior yes-no\nproperty flex text\ngroup xs = club where flex = \"X\"\n",
		"alike.ferrule", "property junior yes-no else no\nproperty flex text one of \"s\", \"r\"\nproperty hand else right\n",
		"user.ferrule", "use \"a.ferrule\"\nproperty flex text\ngroup xs = club where flex = \"X\"\n",
		"other.ferrule", "property junior yes-no else yes\n", "list.ferrule", "property flex text one of \"R\", \"X\"\n",
		"off.ferrule", "property flex text else \"X\"\n", "left.ferrule", "property hand else left\n")
	for _, c := range []struct{ first, second, want string }{
		{"a", "bare", ""}, {"bare", "a", ""}, {"a", "alike", ""}, {"bare", "off", ""},
		{"a", "user", `user.ferrule:3: unlisted-text: "X" is not on the list of flex; expected one of "R" or "S"; try `},
		{"a", "other", "other.ferrule:1: unlike-columns: an empty cell of junior means yes here and no there; " +
			"expected one meaning of an empty cell for each column of a sheet; or another name; try ; see a.ferrule:1"},
		{"a", "list", "list.ferrule:1: unlike-columns: flex is declared with two lists of texts; expected one sort, " +
			"one method and one list of texts for each column of a sheet; or another name; try ; see a.ferrule:2"},
		{"a", "off", "off.ferrule:1: unlike-columns: an empty cell of flex means \"X\" here and \"R\" there; " +
			"expected one meaning of an empty cell for each column of a sheet; or another name; try ; see a.ferrule:2"},
		{"off", "a", "a.ferrule:2: unlike-columns: an empty cell of flex means \"R\" here and \"X\" there; " +
			"expected one meaning of an empty cell for each column of a sheet; or another name; try ; see off.ferrule:1"},
		{"off", "alike", "alike.ferrule:2: unlisted-text: an empty cell of flex means \"X\", which is not on its list; " +
			"expected a text of the list; try ; see off.ferrule:1"},
		{"a", "left", "left.ferrule:1: unlike-columns: an empty cell of hand means left here and right there; " +
			"expected one meaning of an empty cell for each column of a sheet; or another name; try ; see a.ferrule:3"},
	} {
		_, list := load.Load(shipped, []load.Root{root(fsys, c.first+".ferrule"), root(fsys, c.second+".ferrule")})
		if got := strings.TrimSuffix(said(list), "\n"); got != c.want {
			t.Errorf("%s and %s: said:\n%s\nwanted:\n%s", c.first, c.second, got, c.want)
		}
	}
}

// A book for a newer program has one mistake, whatever else is in it, and so has a book that uses it.
func TestNewerLanguage(t *testing.T) {
	fsys := files("new.ferrule", "rulebook \"N\"\n  language 2\n  flavour [sweet]\nrule gaps\n  where ever\n",
		"user.ferrule", "use \"new.ferrule\" only gaps\nrule lies \"L\"\n  for every club\n  require lie at most some-limit\n",
		"one.ferrule", "rulebook \"O\"\n  language 1\n"+flat)
	const want = "new.ferrule:2: newer-language: this book is written in edition 2 of the language, and this ferrule knows " +
		"edition 1; expected a newer ferrule, or a book that is written in edition 1; try \n"
	for _, roots := range [][]string{{"new.ferrule"}, {"user.ferrule"}, {"one.ferrule", "user.ferrule", "new.ferrule"}} {
		var all []load.Root
		for _, name := range roots {
			all = append(all, root(fsys, name))
		}
		if _, list := load.Load(shipped, all); said(list) != want {
			t.Errorf("%v: said:\n%swanted:\n%s", roots, said(list), want)
		}
	}
}

// A spare book is read where the books before it have no method. No book is read twice.
func TestSpareRoot(t *testing.T) {
	for _, c := range []struct {
		text  string
		roots int
	}{{flat, 2}, {"use methods\n" + flat, 1}, {method("own") + flat, 1}, {"rule flat\n", 1}} {
		folder := counting{files("a.ferrule", c.text), map[string]int{}}
		spare := load.Root{Path: "methods", Show: "methods", Spare: true}
		loaded, _ := load.Load(shipped, []load.Root{root(folder, "a.ferrule"), spare})
		if len(loaded.Roots) != c.roots || folder.opened["a.ferrule"] != 1 {
			t.Errorf("%q gives %d roots, want %d, and is opened %d times", c.text, len(loaded.Roots), c.roots, folder.opened["a.ferrule"])
		}
	}
}

// counting counts how often its files are opened.
type counting struct {
	fs.FS
	opened map[string]int
}

func (c counting) Open(name string) (fs.File, error) {
	c.opened[name]++
	return c.FS.Open(name)
}

func TestRootsThatCannotBeRead(t *testing.T) {
	fsys := files("hous.ferrule", "")
	loaded, list := load.Load(shipped, []load.Root{root(fsys, "house.ferrule"), {Path: "metods", Show: "metods"}})
	want := "house.ferrule:1: missing-book: there is no file \"house.ferrule\"; expected the file of a rule book; try hous.ferrule\n" +
		"metods:1: missing-book: there is no shipped book \"metods\"; expected a shipped book (local, methods), or a file in quotation marks; try methods\n"
	if got := said(list); got != want {
		t.Errorf("said:\n%swanted:\n%s", got, want)
	}
	if len(loaded.Roots) != 2 || loaded.Roots[0] == nil || loaded.Roots[1] == nil {
		t.Errorf("roots %v", loaded.Roots)
	}
}

// A link that leads out of the folder is refused by the folder, and said in plain words.
func TestLinksStayInTheFolder(t *testing.T) {
	dir := t.TempDir()
	inside := filepath.Join(dir, "shop")
	for name, text := range map[string]string{"secret.ferrule": flat, "shop/a.ferrule": "use \"link.ferrule\"\n"} {
		if err := os.MkdirAll(inside, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("../secret.ferrule", filepath.Join(inside, "link.ferrule")); err != nil {
		t.Skip(err)
	}
	folder, err := os.OpenRoot(inside)
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	loaded, list := load.Load(shipped, []load.Root{root(folder.FS(), "a.ferrule")})
	if got := said(list); !strings.Contains(got, `a.ferrule:1: outside-folder: "link.ferrule" is a link that leads out of the book's folder`) || len(list) != 1 {
		t.Errorf("said: %s", got)
	}
	if len(loaded.All) != 1 {
		t.Errorf("%d books were loaded", len(loaded.All))
	}
}

// refusing refuses one file with an error.
type refusing struct {
	fs.FS
	err error
}

func (r refusing) Open(name string) (fs.File, error) {
	if name == "b.ferrule" {
		return nil, &fs.PathError{Op: "open", Path: name, Err: r.err}
	}
	return r.FS.Open(name)
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{fs.ErrPermission, `a.ferrule:1: book-unread: "b.ferrule" cannot be read: you do not have permission`},
		{errors.New("input/output error\x1b[31m"), `a.ferrule:1: book-unread: "b.ferrule" cannot be read: input/output error<U+001B>[31m`},
	} {
		_, list := load.Load(nil, []load.Root{root(refusing{files("a.ferrule", "use \"b.ferrule\"\n"), c.err}, "a.ferrule")})
		if got := said(list); len(list) != 1 || !strings.HasPrefix(got, c.want) {
			t.Errorf("said %q, want %q", got, c.want)
		}
	}
}

// No more than 64 books are used, however they hang together.
func TestTooManyBooks(t *testing.T) {
	chain := func(n int) diag.List {
		fsys := fstest.MapFS{}
		for i := range n {
			fsys[fmt.Sprintf("b%d.ferrule", i)] = &fstest.MapFile{Data: fmt.Appendf(nil, "use \"b%d.ferrule\"\n", i+1)}
		}
		fsys[fmt.Sprintf("b%d.ferrule", n)] = &fstest.MapFile{}
		_, list := load.Load(nil, []load.Root{root(fsys, "b0.ferrule")})
		return list
	}
	if list := chain(64); len(list) > 0 {
		t.Error(said(list))
	}
	for _, n := range []int{65, 500} {
		if list := chain(n); len(list) != 1 || list[0].Code != diag.TooManyBooks {
			t.Errorf("%d books: %s", n, said(list))
		}
	}
}
