package judge

// This file is about rows that were refused and are one more setting of a club whose other rows were read: its rules
// must hold at that setting too, and nobody knows whether they do.

import (
	"cmp"
	"slices"

	"ferrule/engine/club"
	"ferrule/engine/decide"
	"ferrule/engine/value"
	"ferrule/lang/catalogue"
)

// unread is a refused row that is one more setting of a club.
type unread struct {
	club *club.Club // what could be read of it
	of   *club.Club // the club, in its first row, at no setting
	row  int
}

// unreadSettings finds the refused rows of a set that are one more setting of one of its clubs, by club, and those that
// may be a club of their own. A row is both that has the setting of another row of its id, or another kind.
func unreadSettings(s *club.Set) (of map[*club.Club][]unread, others []club.Refusal) {
	if !adjustable(s) {
		return nil, s.Refused
	}
	of = map[*club.Club][]unread{}
	ids := make(map[string]*club.Club, len(s.Clubs))
	for _, c := range s.Clubs {
		ids[catalogue.Key(c.ID)] = c
	}
	for _, f := range s.Refused {
		c := ids[catalogue.Key(cmp.Or(f.Club.ID, f.Club.Name))]
		named, same := f.Club.Setting != "", false
		for d := c; d != nil; d = d.Next {
			named = named || d.Setting != ""
			same = same || catalogue.Same(d.Setting, f.Club.Setting)
		}
		if c == nil || !named || same && f.Club.ID == "" {
			others = append(others, f)
			continue
		}
		bare := c.Clone()
		bare.Setting = ""
		of[c] = append(of[c], unread{settingOf(c, f.Club), bare, f.Row.Row})
		if same || f.Club.Kind != catalogue.NoKind && f.Club.Kind != c.Kind {
			others = append(others, f)
		}
	}
	return of, others
}

// adjustable reports whether a set has refused rows, and a row that names a setting.
func adjustable(s *club.Set) bool {
	named := func(c *club.Club) bool { return c.Setting != "" || c.Next != nil }
	return len(s.Refused) > 0 && (slices.ContainsFunc(s.Clubs, named) ||
		slices.ContainsFunc(s.Refused, func(f club.Refusal) bool { return named(f.Club) }))
}

// settingOf is what was read of a row as one more setting of c: the same club, so of its kind, number and mark.
func settingOf(c, read *club.Club) *club.Club {
	d := read.Clone()
	d.ID, d.Loose = c.ID, true
	other := d.Kind != c.Kind
	d.Kind = c.Kind
	if n, ok := c.Amount(catalogue.Number); ok && (other || !d.Has(catalogue.Number)) {
		d.SetAmount(catalogue.Number, n)
	}
	if m, ok := c.Text(catalogue.Mark); ok && (other || !d.Has(catalogue.Mark)) {
		d.SetText(catalogue.Mark, m)
	}
	return d
}

// atUnread judges a club at those of its settings that could not be read; nil where that leaves nothing open.
func (j *Judge) atUnread(x *task, r *rule, c *club.Club) (open *Result) {
	us := j.unread[c]
	for i, u := range us {
		res, clash := j.one(x, r, u.club)
		open = worse(open, x.doubted(r, x.about(r, u.club), res, clash, us[i:i+1]))
	}
	return open
}

// doubt gives to what the unread settings of the bag of x leave open: whatever does not pass at them could be so, or
// could not. Whether it passes depends on the settings that were read.
func (x *task) doubt(r *rule, at []unread, to Sink) Sink {
	give := func(s Subject, res *Result, clash *Conflict) {
		if d := x.doubted(r, s, res, clash, at); d != nil && to.Result != nil {
			to.Result(d)
		}
	}
	return Sink{
		Result:   func(res *Result) { give(res.Subject, res, nil) },
		Conflict: func(c *Conflict) { give(c.Subject, nil, c) },
	}
}

// doubted is the result of a subject of which some club is at an unread setting, where all that could be read of it
// came to res or clash. It is nil where it passes or the rule is not about it.
func (x *task) doubted(r *rule, s Subject, res *Result, clash *Conflict, at []unread) *Result {
	if res == nil && clash == nil || res != nil && (res.Verdict == decide.Pass || res.Verdict == decide.Exempt) {
		return nil
	}
	s.Clubs = slices.Clone(s.Clubs)
	var lacks []value.Lack
	for _, u := range at {
		lacks = value.Merge(lacks, []value.Lack{{Kind: value.RowOfSetting, Row: u.row, Club: u.of.Called()}})
		for i, c := range s.Clubs {
			if c == u.club {
				s.Clubs[i] = u.of
			}
		}
	}
	d := x.result(r, s, unmeasured(lacks))
	if res != nil {
		d.Steps, d.Whole = res.Steps, res.Whole
		for _, name := range value.Needs(res.Lacks) {
			d.Lacks = append(slices.Clip(d.Lacks), value.Lack{Kind: value.Wanted, Property: name})
		}
	}
	return d
}
