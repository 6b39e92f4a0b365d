package labelling

import (
	"fmt"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// durability prints the date or the open jar.
//
//	keeps up to 30 months:    the date, with the words of rule L30 or the hourglass
//	keeps more than that:     the period after opening, unless it makes no sense
//
// The figure stands in facts.csv, shelf-life-pao-over. A product that states a
// period after opening alone may do so only if it keeps longer than that: it is
// printed, and asked about.
// Source: label-rules.csv, rows L30 to L34.
func (b *labelling) durability() {
	f := b.facts
	limit := law.Fact(b.law, "shelf-life-pao-over").Number
	short := f.BestBeforeMonths > 0 && !limit.Less(exact.Int(int64(f.BestBeforeMonths)))
	switch {
	case short:
		b.date()
		if f.PAOMonths > 0 {
			b.openJar()
			b.say(finding.NewFinding(finding.Note, "label-both-dates", f.DurabilityPos, formula.With().
				Count("months", f.BestBeforeMonths)).
				At(f.DurabilityPos.File, "durability.pao_months", nil), "L34")
		}
	case f.PAOMonths > 0:
		b.openJar()
		if f.BestBeforeMonths == 0 {
			b.say(finding.NewFinding(finding.Ask, "label-durability-basis", f.DurabilityPos, formula.With().
				Num("limit", limit, "", finding.AsIs)).
				At(f.DurabilityPos.File, "durability.best_before_months", nil), "L30")
		}
	case f.BestBeforeMonths > 0 && f.NoPAO.Text != "":
		b.add(LabelItem{Kind: ItemPAO, State: labelNotNeeded, Remark: f.NoPAO.Text}, "L04", "L33")
	case f.BestBeforeMonths > 0:
		b.noDurability("no-pao", formula.With().Count("months", f.BestBeforeMonths), "durability.pao_months", "L32")
	default:
		b.noDurability("", nil, "durability", "L30")
	}
}

func (b *labelling) noDurability(form string, v finding.Values, key, rule string) {
	b.add(LabelItem{Kind: ItemDate, Text: "[durability]", State: LabelMissing}, "L04", rule)
	pos := b.facts.DurabilityPos
	if pos.IsZero() {
		pos = b.facts.Pos
	}
	b.say(finding.NewFinding(finding.Ask, "label-no-durability", pos, v).As(form).At(pos.File, key, nil), rule)
}

func (b *labelling) openJar() {
	b.PAOMonths = b.facts.PAOMonths
	b.add(LabelItem{Kind: ItemPAO, Lead: "Open-jar sign", Text: fmt.Sprintf("%dM", b.PAOMonths),
		State: LabelGiven}, "L04", "L32", "S01")
}

// date prints the words and the month; on artwork the hourglass may stand for
// the words.
func (b *labelling) date() {
	words := law.LabelRule(b.law, "L30").Wording[0]
	i := LabelItem{Kind: ItemDate, Lead: strings.ToUpper(words[:1]) + words[1:], State: LabelGiven}
	if b.facts.Made.IsZero() {
		i.Text, i.State, i.Remark = "[MM/YYYY]", LabelOpen,
			fmt.Sprintf("%d months from making; stamped when the pack is filled, or give --made",
				b.facts.BestBeforeMonths)
	} else {
		i.Text = bestBefore(b.facts.Made, b.facts.BestBeforeMonths)
		i.Remark = fmt.Sprintf("%d months from %s", b.facts.BestBeforeMonths, b.facts.Made)
	}
	b.BestBefore = i.Text
	b.add(i, "L04", "L30", "S02")
}

// bestBefore returns the month, as MM/YYYY, before the end of which a product
// made on a day and keeping for some months is best used: the last month that
// ends within that time, so that the label never promises more.
func bestBefore(made exact.Date, months int) string {
	day := int(made) % 100
	month := int(made)/10000*12 + int(made)/100%100 - 1 + months // counted from year 0
	if day < lastDay(month) {
		month--
	}
	return fmt.Sprintf("%02d/%04d", month%12+1, month/12)
}

// lastDay is the number of days of a month counted from year 0.
func lastDay(month int) int {
	next := month + 1
	return int(exact.Date(next/12*10000+(next%12+1)*100+1).AddDays(-1)) % 100
}
