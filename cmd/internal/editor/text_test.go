package editor

import (
	"math/rand"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"pgregory.net/rapid"

	"ferrule/lang/source"
)

// model is a text as the Language Server Protocol 3.17 counts it ("Text Documents"): UTF-16 units in lines that end in
// "\n", "\r\n" or "\r".
type model []uint16

// index is the unit at a position; a character beyond its line is the line's end.
func (m model) index(p Position) int {
	at := 0
	for range p.Line {
		for at < len(m) && m[at] != '\n' && m[at] != '\r' {
			at++
		}
		if at+1 < len(m) && m[at] == '\r' && m[at+1] == '\n' {
			at++
		}
		at = min(at+1, len(m))
	}
	end := at
	for end < len(m) && end-at < p.Character && m[end] != '\n' && m[end] != '\r' {
		end++
	}
	if p.Line >= m.lines() {
		return len(m)
	}
	return end
}

func (m model) lines() int {
	s := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(utf16.Decode(m)))
	return 1 + strings.Count(s, "\n")
}

// splits reports whether an index is inside a surrogate pair.
func (m model) splits(i int) bool {
	return i > 0 && i < len(m) && utf16.IsSurrogate(rune(m[i])) && utf16.IsSurrogate(rune(m[i-1])) && m[i-1] < 0xDC00 && m[i] >= 0xDC00
}

// pieces are what texts are made of: a character of one unit in one, two and three bytes, one of two units in four,
// each end of a line, and a byte order mark.
var pieces = []string{"a", "½", "”", "𝄞", "\n", "\r\n", "\r", "  ", "\ufeff", "rule r \"R\"\n", "  for every iron\n", "46 in"}

// Any edit of any text is what it is in UTF-16 units, and places lead there and back.
func TestEditsAreCountedInUTF16(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Map(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 12), func(p []string) string { return strings.Join(p, "") })
		text := NewText(draw.Draw(t, "text"))
		for range 4 {
			m := model(utf16.Encode([]rune(text.All)))
			place := func(name string) Position {
				return Position{rapid.IntRange(0, 6).Draw(t, name+" line"), rapid.IntRange(0, 9).Draw(t, name+" character")}
			}
			r := Range{place("from"), place("to")}
			from, to := m.index(r.Start), m.index(r.End)
			if m.splits(from) || m.splits(to) || from > to {
				continue
			}
			with := draw.Draw(t, "with")
			want := string(utf16.Decode(m[:from])) + with + string(utf16.Decode(m[to:]))
			before := text.All
			if text = text.With(r, with); text.All != want {
				t.Fatalf("%q with %q at %v is %q, expected %q", before, with, r, text.All, want)
			}
		}
		file := source.NewFile("x", text.All)
		for i := range file.Text {
			if p := text.Position(i); text.Offset(p) != i && file.Text[i] != '\n' {
				t.Fatalf("byte %d of %q is at %v, which is byte %d", i, file.Text, p, text.Offset(p))
			}
		}
		into := draw.Draw(t, "into")
		for _, e := range text.edits(into) {
			if text.mark > 0 && !strings.HasPrefix(into, byteOrderMark) {
				into = byteOrderMark + into
			}
			if got := text.With(e.Range, e.NewText).All; got != into {
				t.Fatalf("%v makes %q of %q, expected %q", e, got, text.All, into)
			}
		}
	})
}

// Places in a line with each kind of character, counted by hand.
func TestPlaces(t *testing.T) {
	text := NewText("\ufeffrule r \"½ ” 𝄞 R\"\r\n  for")
	for offset, want := range map[int]Position{0: {0, 1}, 8: {0, 9}, 10: {0, 10}, 14: {0, 12}, 19: {0, 15}, 20: {0, 16}, 25: {1, 1}} {
		if got := text.Position(offset); got != want {
			t.Errorf("byte %d is at %v, expected %v", offset, got, want)
		}
	}
	if got := text.Offset(Position{0, 99}); text.All[got+text.mark:] != "\r\n  for" {
		t.Errorf("a place beyond the line is byte %d", got)
	}
	if got := text.Offset(Position{99, 0}); got != len(text.All)-text.mark {
		t.Errorf("a place beyond the text is byte %d", got)
	}
}

// FuzzEdits has a server take any sequence of edits: it then says of the text what it says of the same text when it is
// opened.
func FuzzEdits(f *testing.F) {
	for seed := range int64(4) {
		f.Add(seed, 30)
	}
	f.Fuzz(func(t *testing.T, seed int64, n int) {
		random := rand.New(rand.NewSource(seed))
		lines := slices.Concat(pieces, strings.SplitAfter(sample, "\n"))
		s := started(t, "house.ferrule", "let front = lie + 1 deg\n")
		s.open("a.ferrule", sample)
		m := model(utf16.Encode([]rune(sample)))
		for range max(0, n%40) {
			place := func() Position { return Position{random.Intn(m.lines() + 1), random.Intn(30)} }
			r := &Range{place(), place()}
			from, to := m.index(r.Start), m.index(r.End)
			if m.splits(from) || m.splits(to) || from > to {
				continue
			}
			with := lines[random.Intn(len(lines))]
			m = slices.Concat(m[:from], utf16.Encode([]rune(with)), m[to:])
			s.edit("a.ferrule", r, with)
		}
		got, text := s.told("a.ferrule"), string(utf16.Decode(m))
		s.close("a.ferrule")
		s.open("a.ferrule", text)
		if want := s.told("a.ferrule"); got != want {
			t.Errorf("of\n%s\nit says\n%s\nand of the same text opened anew\n%s", text, got, want)
		}
	})
}

// sample is a book with everything that a server shows.
const sample = `rulebook "Sample ½ ” 𝄞"
  decision three-way at 95 %
use methods
use "house.ferrule"

group long-clubs = driver, fairway
rule longest "L" # 𝄞
  for every long-clubs
  require length by soled at most 46 in
rule lies "Lies"
  for every iron
  require lie at most 62 deg
  unless loft ≥ 50 deg: at most 65 deg

case "shown"
  club a: iron 6, lie 61 deg, loft 30 deg
  expect lies on a: pass
`
