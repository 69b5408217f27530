package sheet

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// hold reads a sheet whatever it is, and asserts what holds of each: rows read = rows that became clubs +
// rows refused (read sees to that), and nothing that cannot be printed leaves the package but as what was read.
func hold(t *testing.T, name, text string) {
	sets, r, p := read(t, name, text, testOptions(t))
	printable := func(what, s string) {
		if !utf8.ValidString(s) || strings.ContainsFunc(s, func(c rune) bool { return unicode.IsControl(c) || unicode.Is(unicode.Cf, c) }) {
			t.Errorf("%s has what cannot be printed: %q", what, s)
		}
	}
	if p != nil {
		if p.Message == "" {
			t.Error("a problem without a message")
		}
		printable("problem", p.Error()+p.Hint)
		return
	}
	for _, w := range r.Warnings() {
		printable("warning", w.Message+w.Hint+w.Column)
	}
	for _, s := range sets {
		printable("set", s.Name)
		for _, f := range s.Refused {
			printable("refusal", f.Message+f.Hint+f.Set+f.Club.ID+f.Club.Name+f.Club.Setting)
			if s := f.Column + f.Read; !utf8.ValidString(s) { // else as it was read
				t.Errorf("what was read is no text: %q", s)
			}
		}
		ids := map[string]bool{}
		for _, c := range s.Clubs {
			printable("club", c.ID+c.Name+c.Setting+c.Method+c.On)
			if c.ID == "" || ids[c.ID] || c.Row == 0 || c.Kind == 0 {
				t.Errorf("set %q: club %q in row %d of kind %v, known already: %v", s.Name, c.ID, c.Row, c.Kind, ids[c.ID])
			}
			ids[c.ID] = true
		}
	}
}

func FuzzCSV(f *testing.F) {
	for _, s := range []string{
		"set,id,club,length (in),by,lie,note\na,1,7i,37 1/2,soled,62 deg,\nb,,PW,35 1/2 | 35 5/8,soled,64 +/- 0.5 deg,\"x\"\"y\nz\"\na,1,8i,1,soled,,\n",
		"club;length;by\r\n7i;95,25 cm;soled\r\n\"8i;3-Apr;wall\r\n\r\n9i;#REF!;x;y\r\n", "kind\tnumber\niron\t7\n\t\n", "\ufeffclub\r7i\r", "set,club\n\x00,7i\n,8i\na,9i",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { hold(t, "f.csv", text) })
}

func FuzzJSONLines(f *testing.F) {
	for _, s := range []string{
		`{"set": "a", "club": "7i", "length (in)": [37.5, "37 5/8"], "by": "soled"}` + "\n" + `{"club": 7}` + "\n\n[1]\n" + `{"set": {"a": 1}, "lie": 1e3}`,
		`{"club": "7i", "club": "8i", "Lie (deg)": 60, "lie_deg": 61}`, `{"kind": "iron", "number": 7, "conforming": true, "made": null}{`, "{\"\u0000\": [[[[[[]]]]]]}",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { hold(t, "f.jsonl", text) })
}

// FuzzXLSX fuzzes the cells of a spreadsheet, and the bytes of one.
func FuzzXLSX(f *testing.F) {
	f.Add(handHead+`<row r="2"><c r="A2" t="str"><v>7i</v></c><c r="B2"><f>1</f></c></row>`, 0, byte(0))
	f.Add(handHead+`<row r="3"><c r="B3" s="1"><v>46115</v></c><c t="s"><v>9</v></c><extLst><c/></extLst></row>`, 300, byte(1))
	f.Add(`<row><c t="d"><v>2026-04-03</v></c></row></sheetData><sheetData><row r="2"/>`, 90, byte(255))
	f.Fuzz(func(t *testing.T, rows string, at int, flip byte) {
		if len(rows) > 1<<16 {
			return
		}
		text := []byte(parts(rows, nil))
		if at >= 0 && at < len(text) {
			text[at] ^= flip
		}
		hold(t, "f.xlsx", string(text))
	})
}
