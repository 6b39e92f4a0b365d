package batch

import (
	"slices"
	"strings"

	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// sent holds what was sent out against what was filled.
//
// Findings: "batch-sent", a stop where more packs were sent than were filled, an
// ask where the rejected ones or the sample would have to be among them. The
// sample is counted beside the packs filled; where the masses do not bear that
// out, or are not known, it may be one of them.
func (r *reviewer) sent() {
	b := r.b
	filled, sent := b.Yield.FilledUnits, 0
	var terms []finding.Term
	for _, s := range b.Sent {
		if s.Units != nil {
			sent += *s.Units
			terms = append(terms, finding.Term{Pos: s.Pos, Key: "packs-to", Values: workshop.With().
				Count("packs", *s.Units).Quote("to", s.To)})
		}
	}
	if filled == nil || len(terms) == 0 {
		return
	}
	var held finding.Values
	free := *filled
	hold := func(units *int, key string) {
		if units != nil && *units > 0 {
			free -= *units
			held = held.Term("", key, workshop.With().Count("packs", *units))
		}
	}
	hold(b.Yield.RejectedUnits, "packs-rejected")
	if r.out.Yield == nil || r.out.Yield.OverG.Sign() > 0 {
		hold(b.Retained.Units, "packs-kept")
	}
	v := workshop.With().Count("sent", sent).Count("filled", *filled)
	f := finding.Finding{}
	switch {
	case sent > *filled:
		f = finding.NewFinding(finding.Stop, "batch-sent", b.Sent[0].Pos, v).As("more")
	case sent > free:
		f = finding.NewFinding(finding.Ask, "batch-sent", b.Sent[0].Pos, v.Those("held", held)).As("held")
	default:
		return
	}
	f.Sum = terms
	r.say(f.At(b.Source.Name, "sent.units", nil))
}

// longAgo is how many years back a batch is hardly written down (common practice, no
// source): a year with a slip of the finger is.
const longAgo = 30

// dates holds the days of a record to each other and to the day of the run.
//
// Findings: "batch-dates", a stop where something was released or sent out before
// it was made, an ask where it was sent out before its release, or where a day is
// still to come or long past.
func (r *reviewer) dates() {
	b := r.b
	say := func(sev finding.Severity, form string, pos exact.Pos, v finding.Values) {
		r.say(finding.NewFinding(sev, "batch-dates", pos, v).As(form).At(b.Source.Name, "date", nil))
	}
	early := func(day exact.Date) bool { return !day.IsZero() && !b.Date.IsZero() && day.Before(b.Date) }
	if early(b.Release.Date) {
		say(finding.Stop, "decided-before", b.Release.Pos, workshop.With().Day("decided", b.Release.Date).
			Day("made", b.Date))
	}
	for _, s := range b.Sent {
		v := workshop.With().Quote("to", s.To).Day("sent", s.Date)
		switch {
		case early(s.Date):
			say(finding.Stop, "sent-before", s.Pos, v.Day("made", b.Date))
		case b.Released() && !s.Date.IsZero() && s.Date.Before(b.Release.Date):
			say(finding.Ask, "sent-unreleased", s.Pos, v.Day("released", b.Release.Date))
		}
	}
	if r.a == nil {
		return
	}
	today := r.a.Options.Date
	later := func(day exact.Date, pos exact.Pos, what, to string) {
		if !day.IsZero() && today.Before(day) {
			say(finding.Ask, "ahead", pos, workshop.With().Term("what", what, workshop.With().Quote("to", to)).
				Day("day", day).Day("today", today))
		}
	}
	if years := today.AddYears(-longAgo); !b.Date.IsZero() && b.Date.Before(years) {
		say(finding.Ask, "long-ago", b.DatePos, workshop.With().Day("made", b.Date).Count("years", longAgo))
	}
	if b.State() != "planned" {
		later(b.Date, b.DatePos, "was-made", "")
	}
	later(b.Release.Date, b.Release.Pos, "was-decided", "")
	for _, s := range b.Sent {
		later(s.Date, s.Pos, "was-sent", s.To)
	}
}

// lotsAgree asks where one lot of a material has several dates, in the record or
// beside the other records.
//
// Findings: ask "lot-dates".
func (r *reviewer) lotsAgree() {
	dates := r.w.LotDate
	uses := map[string][]workshop.LotUse{}
	var order []string
	workshop.EachLot([]*workshop.Batch{r.b}, func(b *workshop.Batch, key string, lot workshop.BatchLot) {
		if uses[key] == nil {
			order = append(order, key)
		}
		uses[key] = append(uses[key], workshop.LotUse{Batch: b, Lot: lot})
	})
	for _, key := range order {
		list := uses[key]
		if other, known := dates[key]; known && other.Batch != r.b {
			list = append(list, other)
		}
		var days []exact.Date
		var terms []finding.Term
		for _, u := range list {
			if !slices.Contains(days, u.Lot.BestBefore) {
				days = append(days, u.Lot.BestBefore)
				terms = append(terms, finding.Term{Pos: u.Lot.Pos, Key: "date-in-batch", Values: workshop.With().
					Day("day", u.Lot.BestBefore).Name("batch", u.Batch.Code)})
			}
		}
		if len(days) < 2 {
			continue
		}
		slices.Sort(days)
		var values finding.Values
		for _, d := range days {
			values = values.Day("", d)
		}
		ingredient, _, _ := strings.Cut(key, "\x00")
		f := r.w.OnMaterial(finding.NewFinding(finding.Ask, "lot-dates", list[0].Lot.Pos, workshop.With().
			Name("lot", workshop.LotName(list[0].Lot)).Those("days", values)), ingredient)
		f.Sum = terms
		r.say(f.At(r.b.Source.Name, "lines.lots.best_before", nil))
	}
}

// lotsNamed asks where a line names one lot beside a list of lots, and stops where a batch
// is said to contain itself.
//
// Findings: ask "batch-lots-twice", stop "batch-own-lot".
func (r *reviewer) lotsNamed() {
	say := func(sev finding.Severity, code string, pos exact.Pos, id string, v finding.Values) {
		r.say(r.w.OnMaterial(finding.NewFinding(sev, code, pos, v), id).At(r.b.Source.Name, "lines.lots", nil))
	}
	for _, l := range r.b.Lines {
		if l.LotAndLots {
			say(finding.Ask, "batch-lots-twice", l.Lots[0].Pos, l.Ingredient, workshop.With().
				Name("lot", workshop.LotName(l.Lots[0])))
		}
		for _, lot := range l.Lots {
			if workshop.SameLot(lot.Lot, r.b.Code) {
				say(finding.Stop, "batch-own-lot", lot.Pos, l.Ingredient, workshop.With().Name("lot", lot.Lot).
					Name("batch", r.b.Code))
			}
		}
	}
}
