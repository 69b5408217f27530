package measure

// This file holds the statics of a club: where it balances, how heavy its head swings, and what
// cutting or adding at the butt does to both.

import "math"

// Body is a club or a part of it: its mass and how far its balance point is from its end. That is
// the very end of the grip of a club, and the butt of a bare shaft.
// Masses are in nanograms and lengths in nanometres, the base units of lang/unit. The zero value
// is nothing at all.
type Body struct {
	Mass    float64
	Balance float64
}

// moment is about the end, ng nm.
func (b Body) moment() float64 { return b.Mass * b.Balance }

// With returns the body together with another whose balance is counted from the same end. With
// a negative mass the other is taken away.
func (b Body) With(part Body) Body {
	mass := b.Mass + part.Mass
	if mass == 0 {
		return Body{}
	}
	return Body{Mass: mass, Balance: (b.moment() + part.moment()) / mass}
}

// CutButt returns the body after a piece of that length was cut off its end, the piece being
// uniform with that mass per length (ng/nm). The balance is then counted from the new end. A
// negative length adds such a piece, an extension.
func (b Body) CutButt(length, perLength float64) Body {
	rest := b.With(Body{Mass: -perLength * length, Balance: length / 2})
	rest.Balance -= length
	return rest
}

// CutTip returns the body after a piece of that length was cut off its tip, which was the length
// whole from its end; the piece is uniform with that mass per length (ng/nm).
func (b Body) CutTip(whole, length, perLength float64) Body {
	return b.With(Body{Mass: -perLength * length, Balance: whole - length/2})
}

// Figures of the swing-weight scale: the fulcrum 14 in from the very end of the grip, 1.75 oz in a
// point, and D0, which is 30 points above A0, at 213.5 oz in. Common practice, from memory.
const (
	inch    = 25.4e6         // nm
	ounce   = 28.349523125e9 // ng
	fulcrum = 14 * inch      // nm from the end of the grip
	point   = 1.75 * ounce * inch
	zero    = 213.5*ounce*inch - 30*point // A0
)

// headMoment returns the moment of the body about the fulcrum 14 in from its end, ng nm.
func (b Body) headMoment() float64 { return b.Mass * (b.Balance - fulcrum) }

// SwingWeight returns the swing weight of the body in points from A0: D2 is 32.
func (b Body) SwingWeight() float64 { return (b.headMoment() - zero) / point }

// MassFor returns the mass, ng, that brings the body to a swing weight of that many points from A0
// when it is added at a distance from its end (nm); negative where mass must come off. It is
// not finite where the distance is that of the fulcrum.
func (b Body) MassFor(points, at float64) float64 {
	return (points*point + zero - b.headMoment()) / (at - fulcrum)
}

// Sound reports whether the body can be one: its mass is above 0 and its balance a number.
func (b Body) Sound() bool {
	return b.Mass > 0 && !math.IsInf(b.Mass, 0) && !math.IsNaN(b.Balance) && !math.IsInf(b.Balance, 0)
}
