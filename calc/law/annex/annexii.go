package annex

import (
	"slices"

	"gallipot/calc/law/condition"
	"gallipot/ingredients/exact"
)

// Annex II as rules of the limit engine.
//
// limits.csv holds the entries of Annex II that a small maker may meet, with
// everything that needs more than one rule. prohibited.csv holds all of them. An
// entry that limits.csv has not becomes a rule here, by its typed columns; of the
// others the names and numbers that limits.csv lacks lead to its rows.

// conditionOf returns the condition of an entry of Annex II, and the form that
// alone is meant where no condition can say it, in the table's own words.
func (p *Prohibition) conditionOf() (when, onlyForm string) {
	switch p.Use {
	case UseHairDye:
		when = "product=hair-dye"
	case UseLashDye:
		when = "product=hair-dye|eyelash-tint"
	case UseFragrance:
		when = "function=fragrance"
	}
	switch p.Form {
	case formNano:
		when = both(when, "nano")
	case formNanoOrMassive:
		when = both(when, "nano|massive")
	case formFibre, formNanotube:
		onlyForm = p.OnlyForm
	}
	if p.Exception == ExceptNatural {
		when = both(when, "except=natural-content")
	}
	for _, m := range p.BannedIf {
		switch {
		case m.Constituent == refiningUnknown:
			when = both(when, refiningUnknown)
		case m.Constituent == "butadiene" && m.AtLeast:
			when = both(when, "butadiene>="+m.Pct.Exact())
		default:
			onlyForm = p.OnlyForm
		}
	}
	if when == "" {
		when = "all"
	}
	return when, onlyForm
}

func both(a, b string) string {
	if a == "" {
		return b
	}
	return a + " & " + b
}

// nothing is what a prohibition allows; rules share it and nobody changes it.
var nothing = exact.Int(0)

// joined is slices.Concat, without a copy where one of the two is empty.
func joined(a, b []string) []string {
	switch {
	case len(b) == 0:
		return slices.Clip(a)
	case len(a) == 0:
		return slices.Clip(b)
	}
	return slices.Concat(a, b)
}

// LimitOf makes the rule of an entry. Conditions that were read before, by their text,
// are taken from read, and others added to it: most entries have the same few.
func (p *Prohibition) LimitOf(read map[string]condition.Condition) *Limit {
	when, onlyForm := p.conditionOf()
	c, known := read[when]
	if !known {
		var err error
		if c, err = condition.Parse(when); err != nil {
			panic("law: " + p.Key + ": " + err.Error()) // the words above are those of the vocabulary
		}
		read[when] = c
	}
	l := &Limit{
		Row: p.Row, Annex: "II", Entry: p.Entry, EntryUnread: !Numbered(p.Entry), Markets: p.Markets,
		Names: joined(p.Names, p.ChemicalNames),
		CAS:   p.CAS, EC: joined(p.EC, p.MisprintedEC), Condition: c, OnlyForm: onlyForm, MaxPct: &nothing,
		From: p.From, Until: p.Until, OffShelf: p.OffShelf, Excepted: p.ExceptEntries,
		ExemptNames: p.ExceptNames, SharedNumber: p.SharedNumber,
		Salts: p.Salts,
	}
	l.Row.Note = "" // its remark is about the entry, and printed with that
	if p.Group {
		l.Class = ClassExamples
	}
	if p.State == StateDraft {
		l.Instrument = InstrumentDraft
	}
	return l
}
