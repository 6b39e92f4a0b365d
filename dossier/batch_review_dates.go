package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/ingredients"
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
	var terms []ingredients.Term
	for _, s := range b.Sent {
		if s.Units != nil {
			sent += *s.Units
			terms = append(terms, ingredients.Term{Pos: s.Pos, Text: itoa(*s.Units) + " to " + s.To})
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
	f := ingredients.Finding{Code: "batch-sent", Pos: b.Sent[0].Pos, Sum: terms}
	switch {
	case sent > *filled:
		f.Severity = ingredients.Stop
		f.Message = fmt.Sprintf("%s of batch %s were sent out, and %d were filled", count(sent, "pack", "packs"), b.Code, *filled)
		f.Why = "no more packs can go out than there are; in a recall they are looked for by this record"
		f.Fix = "correct the number that is wrong; where packs of another batch went out, write them into its record"
	case sent > free:
		f.Severity = ingredients.Ask
		f.Message = fmt.Sprintf("%s of batch %s were sent out; %d were filled, less %s", count(sent, "pack", "packs"), b.Code, *filled, strings.Join(held, " and "))
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
	say := func(sev ingredients.Severity, pos ingredients.Pos, fix, format string, args ...any) {
		r.say(ingredients.Findingf(sev, "batch-dates", pos, format, args...).WithFix("%s", fix))
	}
	const oneIsWrong = "correct the day that is wrong"
	early := func(day ingredients.Date) bool { return !day.IsZero() && !b.Date.IsZero() && day.Before(b.Date) }
	if early(b.Release.Date) {
		say(ingredients.Stop, b.Release.Pos, oneIsWrong, "batch %s was decided on on %s and made on %s", b.Code, b.Release.Date, b.Date)
	}
	for _, s := range b.Sent {
		switch {
		case early(s.Date):
			say(ingredients.Stop, s.Pos, oneIsWrong, "packs of batch %s went to %s on %s and were made on %s", b.Code, s.To, s.Date, b.Date)
		case b.Released() && !s.Date.IsZero() && s.Date.Before(b.Release.Date):
			say(ingredients.Ask, s.Pos, oneIsWrong+"; nothing goes out before a named person has released it (ISO 22716 9)", "packs of batch %s went to %s on %s and were released on %s", b.Code, s.To, s.Date, b.Release.Date)
		}
	}
	if r.a == nil {
		return
	}
	today := r.a.Options.Date
	later := func(day ingredients.Date, pos ingredients.Pos, what string) {
		if !day.IsZero() && today.Before(day) {
			say(ingredients.Ask, pos, "correct it, or run again on that day", "batch %s is said to be %s on %s, and today is %s", b.Code, what, day, today)
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

// lotUse is one lot with a date in a record.
type lotUse struct {
	batch *Batch
	lot   BatchLot
}

// lotKey tells lots apart: the maker's number, or the supplier's where there is no
// other, of one material; "" without a number.
func lotKey(ingredient string, lot BatchLot) string {
	name := strings.ToLower(strings.TrimSpace(lotName(lot)))
	if name == "" {
		return ""
	}
	return ingredient + "\x00" + name
}

// lotDates gives for each lot on record the use whose date most records have, the
// first of equals.
func lotDates(batches []*Batch) map[string]lotUse {
	uses := map[string]map[ingredients.Date]int{}
	eachLot(batches, func(_ *Batch, key string, lot BatchLot) {
		if uses[key] == nil {
			uses[key] = map[ingredients.Date]int{}
		}
		uses[key][lot.BestBefore]++
	})
	dates := map[string]lotUse{}
	eachLot(batches, func(b *Batch, key string, lot BatchLot) {
		if best, known := dates[key]; !known || uses[key][best.lot.BestBefore] < uses[key][lot.BestBefore] {
			dates[key] = lotUse{b, lot}
		}
	})
	return dates
}

// eachLot visits every lot that has a number and a date.
func eachLot(batches []*Batch, visit func(b *Batch, key string, lot BatchLot)) {
	for _, b := range batches {
		for _, l := range b.Lines {
			for _, lot := range l.Lots {
				if key := lotKey(l.Ingredient, lot); key != "" && !lot.BestBefore.IsZero() {
					visit(b, key, lot)
				}
			}
		}
	}
}

// lotsAgree asks where one lot of a material has several dates, in the record or
// beside the other records.
//
// Findings: ask "lot-dates".
func (r *reviewer) lotsAgree() {
	dates := r.w.lotDate
	uses := map[string][]lotUse{}
	var order []string
	eachLot([]*Batch{r.b}, func(b *Batch, key string, lot BatchLot) {
		if uses[key] == nil {
			order = append(order, key)
		}
		uses[key] = append(uses[key], lotUse{b, lot})
	})
	for _, key := range order {
		list := uses[key]
		if other, known := dates[key]; known && other.batch != r.b {
			list = append(list, other)
		}
		var days []ingredients.Date
		var terms []ingredients.Term
		for _, u := range list {
			if !slices.Contains(days, u.lot.BestBefore) {
				days = append(days, u.lot.BestBefore)
				terms = append(terms, ingredients.Term{Pos: u.lot.Pos, Text: u.lot.BestBefore.String() + " in batch " + u.batch.Code})
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
		f := ingredients.Findingf(ingredients.Ask, "lot-dates", list[0].lot.Pos, "lot %s of %s is said to be good until %s", lotName(list[0].lot), ingredient, strings.Join(words[:len(words)-1], ", ")+" and "+words[len(words)-1]).
			On(ingredient).WithWhy("one lot of a material has one date").WithFix("read the date on the container and correct the others; give a second lot a number of its own")
		f.Sum = terms
		r.say(f)
	}
}
