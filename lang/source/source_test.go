package source

import "testing"

func TestPlacesAreCountedAsAPersonCounts(t *testing.T) {
	f := NewFile("a.ferrule", "\ufeffrule é\r\n\tfor club # \"x\"\n  at \"a # b\"\n")
	for _, c := range []struct {
		offset int
		want   Pos
	}{{0, Pos{1, 1}}, {5, Pos{1, 6}}, {7, Pos{1, 7}}, {9, Pos{2, 1}}, {10, Pos{2, 2}}, {1 << 20, Pos{4, 1}}} {
		if got := f.Pos(c.offset); got != c.want {
			t.Errorf("offset %d: %v, want %v", c.offset, got, c.want)
		}
	}
	if got := f.Line(1); got != "rule é" {
		t.Errorf("line 1 is %q", got)
	}
	if got := (Span{f, 0, len(f.Text)}).OneLine(); got != `rule é for club at "a # b"` {
		t.Errorf("on one line: %q", got)
	}
}
