package book

// This file holds calendar days.

import (
	"time"

	"ferrule/lang/unit"
)

// Day is a calendar day, counted from 1970-01-01. NoDay means none.
type Day int

// NoDay is not a day at all.
const NoDay Day = -1 << 40

// ParseDay reads a day written as 2026-04-18; false where it is not a real day, or one before 1900.
func ParseDay(s string) (Day, bool) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil || t.Year() < unit.FirstYear {
		return NoDay, false
	}
	return Day(t.Unix() / 86400), true
}

// Time returns the start of the day, as UTC has it.
func (d Day) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// String returns the day as 2026-04-18; "" for NoDay.
func (d Day) String() string {
	if d == NoDay {
		return ""
	}
	return d.Time().Format(time.DateOnly)
}

// Period is the days from one to another, both included. NoDay is an open end.
type Period struct{ From, Until Day }

// last is the last day, one after all others where it is open. The first one needs no such care: NoDay is before all
// others.
func (p Period) last() Day {
	if p.Until == NoDay {
		return -NoDay
	}
	return p.Until
}

// Turns are the first day of the period and the last one, as far as it has them, and the days beside them.
func (p Period) Turns() []Day {
	var out []Day
	if p.From != NoDay {
		out = append(out, p.From, p.From-1)
	}
	if p.Until != NoDay {
		out = append(out, p.Until, p.Until+1)
	}
	return out
}

// InForce reports whether a day is in the period; on NoDay every period is in force.
func (p Period) InForce(on Day) bool { return on == NoDay || p.From <= on && on <= p.last() }

// Empty reports whether the period ends before it begins.
func (p Period) Empty() bool { return p.From > p.last() }

// Meets reports whether some day is in both of two periods.
func (p Period) Meets(q Period) bool { return p.From <= q.last() && q.From <= p.last() }

// During reports whether each day of the period is one of q.
func (p Period) During(q Period) bool { return q.From <= p.From && p.last() <= q.last() }
