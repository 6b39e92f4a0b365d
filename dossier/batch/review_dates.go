package batch

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/words"
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
			terms = append(terms, finding.Term{Pos: s.Pos, Text: words.Itoa(*s.Units) + " to " + s.To})
		}
	}
	if filled == nil || len(terms) == 0 {
		return
	}
	var held []string
	free := *filled
	hold := func(units *int, word string) {
		if units != nil && *units > 0 {
			free -= *units
			held = append(held, fmt.Sprintf("%d %s", *units, word))
		}
	}
	hold(b.Yield.RejectedUnits, "rejected")
	if r.out.Yield == nil || r.out.Yield.OverG.Sign() > 0 {
		hold(b.Retained.Units, "kept as a sample")
	}
	f := finding.Finding{Code: "batch-sent", Pos: b.Sent[0].Pos, Sum: terms}
	switch {
	case sent > *filled:
		f.Severity = finding.Stop
		f.Message = fmt.Sprintf("%s of batch %s were sent out, and %d were filled", words.Count(sent, "pack", "packs"), b.Code, *filled)
		f.Why = "no more packs can go out than there are; in a recall they are looked for by this record"
		f.Fix = "correct the number that is wrong; where packs of another batch went out, write them into its record"
	case sent > free:
		f.Severity = finding.Ask
		f.Message = fmt.Sprintf("%s of batch %s were sent out; %d were filled, less %s", words.Count(sent, "pack", "packs"), b.Code, *filled, strings.Join(held, " and "))
		f.Why = "what is rejected or kept does not go out"
		f.Fix = "correct the number that is wrong; filled_units counts the packs without the sample, and with those rejected"
	default:
		return
	}
	r.say(f)
}

// dates holds the days of a record to each other and to the day of the run.
//
// Findings: "batch-dates", a stop where something was released or sent out before
// it was made, an ask where it was sent out before its release, or where a day is
// still to come.
func (r *reviewer) dates() {
	b := r.b
	say := func(sev finding.Severity, pos finding.Pos, fix, format string, args ...any) {
		r.say(finding.Findingf(sev, "batch-dates", pos, format, args...).WithFix("%s", fix))
	}
	const oneIsWrong = "correct the day that is wrong"
	early := func(day exact.Date) bool { return !day.IsZero() && !b.Date.IsZero() && day.Before(b.Date) }
	if early(b.Release.Date) {
		say(finding.Stop, b.Release.Pos, oneIsWrong, "batch %s was decided on on %s and made on %s", b.Code, b.Release.Date, b.Date)
	}
	for _, s := range b.Sent {
		switch {
		case early(s.Date):
			say(finding.Stop, s.Pos, oneIsWrong, "packs of batch %s went to %s on %s and were made on %s", b.Code, s.To, s.Date, b.Date)
		case b.Released() && !s.Date.IsZero() && s.Date.Before(b.Release.Date):
			say(finding.Ask, s.Pos, oneIsWrong+"; nothing goes out before a named person has released it (ISO 22716 9)", "packs of batch %s went to %s on %s and were released on %s", b.Code, s.To, s.Date, b.Release.Date)
		}
	}
	if r.a == nil {
		return
	}
	today := r.a.Options.Date
	later := func(day exact.Date, pos finding.Pos, what string) {
		if !day.IsZero() && today.Before(day) {
			say(finding.Ask, pos, "correct it, or run again on that day", "batch %s is said to be %s on %s, and today is %s", b.Code, what, day, today)
		}
	}
	if b.State() != "planned" {
		later(b.Date, b.DatePos, "made")
	}
	later(b.Release.Date, b.Release.Pos, "decided on")
	for _, s := range b.Sent {
		later(s.Date, s.Pos, "sent to "+s.To)
	}
}

// lotsAgree asks where one lot of a material has several dates, in the record or
// beside the other records.
//
// Findings: ask "lot-dates".
func (r *reviewer) lotsAgree() {
	dates := r.w.LotDates()
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
				terms = append(terms, finding.Term{Pos: u.Lot.Pos, Text: u.Lot.BestBefore.String() + " in batch " + u.Batch.Code})
			}
		}
		if len(days) < 2 {
			continue
		}
		slices.Sort(days)
		words := make([]string, len(days))
		for i, d := range days {
			words[i] = d.String()
		}
		ingredient, _, _ := strings.Cut(key, "\x00")
		f := finding.Findingf(finding.Ask, "lot-dates", list[0].Lot.Pos, "lot %s of %s is said to be good until %s", workshop.LotName(list[0].Lot), ingredient, strings.Join(words[:len(words)-1], ", ")+" and "+words[len(words)-1]).
			On(ingredient).WithWhy("one lot of a material has one date").WithFix("read the date on the container and correct the others; give a second lot a number of its own")
		f.Sum = terms
		r.say(f)
	}
}
