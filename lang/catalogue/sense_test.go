package catalogue

import "testing"

// What no measurement gives is not a reading at all; what some club can have is possible.
func TestSenseless(t *testing.T) {
	s := NewSchema()
	for _, p := range []Property{{Name: "face-time", Sort: Time}, {Name: "offset", Sort: Length}, {Name: "old-length", Sort: Length, ByMethod: true, Method: "soled"}, {Name: "head-mass", Sort: Mass}, {Name: "wear", Sort: Area}} {
		if _, err := s.Declare(p); err != nil {
			t.Fatal(err)
		}
	}
	const inch, degree = 25.4e6, 1e6
	for _, c := range []struct {
		name      string
		amount    float64
		senseless bool
		possible  bool
	}{
		{"number", 7, false, true}, {"number", 7.5, true, true}, {"number", 0, true, true}, {"number", 1001, true, true},
		{"length", 10 * inch, false, true}, {"length", 9.99 * inch, false, false}, {"length", 72 * inch, false, true}, {"length", 0, true, false},
		{"old-length", 9.99 * inch, false, false}, {"old-length", -inch, true, false}, {"offset", -inch, false, true},
		{"lie", 90 * degree, false, true}, {"lie", 90.1 * degree, false, false}, {"lie", 0, true, false}, {"loft", -4 * degree, false, true}, {"loft", -20.1 * degree, false, false},
		{"face-time", 0, true, true}, {"face-time", 1e9, false, true}, {"head-mass", 0, true, true}, {"wear", 0, false, true}, {"swingweight", -3, false, true},
	} {
		p, _ := s.Lookup(c.name)
		if (Senseless(p, c.amount) != "") != c.senseless || Possible(p, c.amount) != c.possible {
			t.Errorf("%s %v: %q, possible %v", c.name, c.amount, Senseless(p, c.amount), Possible(p, c.amount))
		}
	}
}
