package book

// This file holds calendar days.

import "time"

// Day is a calendar day, counted from 1970-01-01. NoDay means none.
type Day int

// NoDay is not a day at all.
const NoDay Day = -1 << 40

// ParseDay reads a day written as 2026-04-18; false where it is not a real day.
func ParseDay(s string) (Day, bool) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
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
