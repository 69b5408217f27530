package catalogue

import "testing"

func TestSameTexts(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"Midsize", "Mid size", true}, {"MID-SIZE", "mid  size", true}, {" midsize ", "Midsize", true}, {"mid‑size", "mid\u00a0size", true},
		{"S-300", "s300", true}, {"300 S", "300s", true}, {"i7", "I-7", true}, {"Birch", "birch", true}, {"Ärger", "ärger", true},
		{"1-12", "112", false}, {"1 12", "112", false}, {"1-12", "1 12", false}, {"1 - 12", "1-12", true}, {"1-12", "1‑12", true}, {"1-12-", "1-12", true},
		{"", "-", false}, {"-", "--", false}, {"-", "-", true}, {"", "", true}, {"a", "", false}, {"ab", "a", false},
		{"Midsize", "Mid_size", false}, {"Midsize", "Midsized", false}, {"a\xff", "A\xff", true},
	} {
		if Same(c.a, c.b) != c.same || Same(c.b, c.a) != c.same || (Key(c.a) == Key(c.b)) != c.same {
			t.Errorf("%q (%q) and %q (%q): same %v", c.a, Key(c.a), c.b, Key(c.b), Same(c.a, c.b))
		}
		if Key(Key(c.a)) != Key(c.a) {
			t.Errorf("the key of %q changes from %q to %q", c.a, Key(c.a), Key(Key(c.a)))
		}
	}
}
