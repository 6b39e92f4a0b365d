package dossier

import (
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
			terms = append(terms, ingredients.Term{Pos: s.Pos, Key: "packs-to", Values: with().Count("packs", *s.Units).Quote("to", s.To)})
		}
	}
	if filled == nil || len(terms) == 0 {
		return
	}
	var held ingredients.Values
	free := *filled
	hold := func(units *int, key string) {
		if units != nil && *units > 0 {
			free -= *units
			held = held.Term("", key, with().Count("packs", *units))
		}
	}
	hold(b.Yield.RejectedUnits, "packs-rejected")
	if r.out.Yield == nil || r.out.Yield.OverG.Sign() > 0 {
		hold(b.Retained.Units, "packs-kept")
	}
	v := with().Count("sent", sent).Count("filled", *filled)
	f := ingredients.Finding{}
	switch {
	case sent > *filled:
		f = ingredients.NewFinding(ingredients.Stop, "batch-sent", b.Sent[0].Pos, v).As("more")
	case sent > free:
		f = ingredients.NewFinding(ingredients.Ask, "batch-sent", b.Sent[0].Pos, v.Those("held", held)).As("held")
	default:
		return
	}
	f.Sum = terms
	r.say(f.At(b.Source.Name, "sent.units", nil))
}

// dates holds the days of a record to each other and to the day of the run.
//
// Findings: "batch-dates", a stop where something was released or sent out before
// it was made, an ask where it was sent out before its release, or where a day is
// still to come.
func (r *reviewer) dates() {
	b := r.b
	say := func(sev ingredients.Severity, form string, pos ingredients.Pos, v ingredients.Values) {
		r.say(ingredients.NewFinding(sev, "batch-dates", pos, v).As(form).At(b.Source.Name, "date", nil))
	}
	early := func(day ingredients.Date) bool { return !day.IsZero() && !b.Date.IsZero() && day.Before(b.Date) }
	if early(b.Release.Date) {
		say(ingredients.Stop, "decided-before", b.Release.Pos, with().Day("decided", b.Release.Date).Day("made", b.Date))
	}
	for _, s := range b.Sent {
		v := with().Quote("to", s.To).Day("sent", s.Date)
		switch {
		case early(s.Date):
			say(ingredients.Stop, "sent-before", s.Pos, v.Day("made", b.Date))
		case b.Released() && !s.Date.IsZero() && s.Date.Before(b.Release.Date):
			say(ingredients.Ask, "sent-unreleased", s.Pos, v.Day("released", b.Release.Date))
		}
	}
	if r.a == nil {
		return
	}
	today := r.a.Options.Date
	later := func(day ingredients.Date, pos ingredients.Pos, what, to string) {
		if !day.IsZero() && today.Before(day) {
			say(ingredients.Ask, "ahead", pos, with().Term("what", what, with().Quote("to", to)).Day("day", day).Day("today", today))
		}
	}
	if b.State() != "planned" {
		later(b.Date, b.DatePos, "was-made", "")
	}
	later(b.Release.Date, b.Release.Pos, "was-decided", "")
	for _, s := range b.Sent {
		later(s.Date, s.Pos, "was-sent", s.To)
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
				terms = append(terms, ingredients.Term{Pos: u.lot.Pos, Key: "date-in-batch", Values: with().Day("day", u.lot.BestBefore).Name("batch", u.batch.Code)})
			}
		}
		if len(days) < 2 {
			continue
		}
		slices.Sort(days)
		var values ingredients.Values
		for _, d := range days {
			values = values.Day("", d)
		}
		ingredient, _, _ := strings.Cut(key, "\x00")
		f := r.w.onMaterial(ingredients.NewFinding(ingredients.Ask, "lot-dates", list[0].lot.Pos, with().Name("lot", lotName(list[0].lot)).Those("days", values)), ingredient)
		f.Sum = terms
		r.say(f.At(r.b.Source.Name, "lines.lots.best_before", nil))
	}
}
