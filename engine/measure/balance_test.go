package measure

import (
	"math"
	"testing"
)

const gram = 1e9 // ng

// The scale itself: 213.5 oz in is D0 (30 points), 217 oz in D2. From memory, common practice.
func TestSwingWeightScale(t *testing.T) {
	at := func(ozin float64) float64 { return Body{Mass: ozin / 10 * ounce, Balance: 24 * inch}.SwingWeight() }
	near(t, "D0", at(213.5), 30, 1e-9)
	near(t, "D2", at(217), 32, 1e-9)
	near(t, "A0", at(161), 0, 1e-9)
}

// The facts of the trade on an ordinary club: a 5 iron of 415 g, 38 in long, that balances 29 in from
// the end of its grip; its head's centre is about 37 in from there. Common practice: half an inch is
// about three points, 2 g on the head about one, 5 g on the grip about one the other way.
func TestTradeFacts(t *testing.T) {
	club := Body{Mass: 415 * gram, Balance: 29 * inch}
	before := club.SwingWeight()
	// By hand: 415 g * (29-14) in = 6225 g in = 219.58 oz in; (219.58-161)/1.75 = 33.47, D3.5.
	near(t, "the club", before, 33.47, 0.01)
	// By hand: the cut takes 0.8 g at 13.75 in before the fulcrum off, +11 g in, and moves the fulcrum by 1/2 in
	// under 414.2 g, -207.1 g in: -196.1 g in = -6.917 oz in = -3.95 points.
	cut := club.CutButt(inch/2, 1.6*gram/inch)
	near(t, "half an inch off the butt", cut.SwingWeight()-before, -3.95, 0.01)
	// A driver, 310 g and 45 in, that balances 32.5 in from the end of its grip: by hand 0.5 g at 13.75 in off, +6.9 g in,
	// -0.5 in * 309.5 g = -154.75 g in; -147.9 g in = -5.216 oz in = -2.98 points.
	driver := Body{Mass: 310 * gram, Balance: 32.5 * inch}
	near(t, "half an inch off a driver", driver.CutButt(inch/2, 1*gram/inch).SwingWeight()-driver.SwingWeight(), -2.98, 0.01)
	// By hand: 2 g * (37-14) in = 46 g in = 1.623 oz in = 0.93 points.
	near(t, "2 g on the head", club.With(Body{2 * gram, 37 * inch}).SwingWeight()-before, 0.93, 0.01)
	// By hand: 5 g * (4-14) in = -50 g in = -1.764 oz in = -1.01 points.
	near(t, "5 g on the grip", club.With(Body{5 * gram, 4 * inch}).SwingWeight()-before, -1.01, 0.01)
	near(t, "the mass for one point more", club.MassFor(before+1, 37*inch)/gram, 1.75*28.349523125/23, 1e-9)
}

// What is cut off and put on again changes nothing.
func TestCutAndExtend(t *testing.T) {
	club := Body{Mass: 400 * gram, Balance: 30 * inch}
	back := club.CutButt(3*inch/4, 2*gram/inch).CutButt(-3*inch/4, 2*gram/inch)
	near(t, "mass", back.Mass/gram, 400, 1e-9)
	near(t, "balance", back.Balance/inch, 30, 1e-9)
	// By hand: 400 g less 1.5 g, at 3/8 in: (12000 - 0.5625)/398.5 - 0.75 = 29.3615 in.
	cut := club.CutButt(3*inch/4, 2*gram/inch)
	near(t, "mass after the cut", cut.Mass/gram, 398.5, 1e-9)
	near(t, "balance after the cut", cut.Balance/inch, 29.3615, 1e-4)
	if (Body{}).With(Body{}).Sound() || !club.Sound() || (Body{Mass: 1, Balance: math.NaN()}).Sound() {
		t.Error("a body of nothing is sound, or one of something is not")
	}
}

// A uniform bar stays one wherever it is cut: its balance is its middle.
func TestCutsOfAUniformBar(t *testing.T) {
	bar, q := Body{Mass: 80 * gram, Balance: 20 * inch}, 2*gram/inch
	tip := bar.CutTip(40*inch, 5*inch, q)
	near(t, "mass after the tip", tip.Mass/gram, 70, 1e-9)
	near(t, "balance after the tip", tip.Balance/inch, 17.5, 1e-9)
	both := tip.CutButt(3*inch, q)
	near(t, "mass after both", both.Mass/gram, 64, 1e-9)
	near(t, "balance after both", both.Balance/inch, 16, 1e-9)
}
