package table

import (
	"slices"

	"gallipot/ingredients"
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
func (p *Prohibition) conditionOf() (condition, onlyForm string) {
	switch p.Use {
	case UseHairDye:
		condition = "product=hair-dye"
	case UseLashDye:
		condition = "product=hair-dye|eyelash-tint"
	case UseFragrance:
		condition = "function=fragrance"
	}
	switch p.Form {
	case formNano:
		condition = both(condition, "nano")
	case formNanoOrMassive:
		condition = both(condition, "nano|massive")
	case formFibre, formNanotube:
		onlyForm = p.OnlyForm
	}
	if p.Exception == ExceptNatural {
		condition = both(condition, "except=natural-content")
	}
	for _, m := range p.BannedIf {
		switch {
		case m.Constituent == refiningUnknown:
			condition = both(condition, refiningUnknown)
		case m.Constituent == "butadiene" && m.AtLeast:
			condition = both(condition, "butadiene>="+m.Pct.Exact())
		default:
			onlyForm = p.OnlyForm
		}
	}
	if condition == "" {
		condition = "all"
	}
	return condition, onlyForm
}

func both(a, b string) string {
	if a == "" {
		return b
	}
	return a + " & " + b
}

// limitOf makes the rule of an entry.
func (p *Prohibition) limitOf() *Limit {
	condition, onlyForm := p.conditionOf()
	c, err := Parse(condition)
	if err != nil {
		panic("law: " + p.Key + ": " + err.Error()) // the words above are those of the vocabulary
	}
	nothing := exact.Int(0)
	l := &Limit{
		Row: p.Row, Annex: "II", Entry: p.Entry, EntryUnread: !numbered(p.Entry), Markets: p.Markets, Names: slices.Concat(p.Names, p.ChemicalNames),
		CAS: p.CAS, EC: slices.Concat(p.EC, p.MisprintedEC), Condition: c, OnlyForm: onlyForm, MaxPct: &nothing,
		From: p.From, Until: p.Until, OffShelf: p.OffShelf, Excepted: p.ExceptEntries, ExemptNames: p.ExceptNames, SharedNumber: p.SharedNumber,
	}
	l.Row.Note = ""
	if p.Group {
		l.Class = ClassExamples
	}
	if p.State == stateDraft {
		l.Instrument = InstrumentDraft
	}
	return l
}

// deriveAnnexII makes the rules of the entries that limits.csv does not hold, and
// marks the rows it does hold whose numbers stand for other things too.
func (t *Tables) deriveAnnexII() {
	rows := map[string]*Limit{}
	for _, l := range t.Limits {
		if l.Annex == "II" {
			rows[l.Key] = l
		}
	}
	for _, p := range t.prohibited {
		if p.State == stateEmpty || p.State == stateElsewhere {
			continue
		}
		covered := false
		for _, key := range p.Limits {
			if l := rows[key]; l != nil {
				covered = true
				l.SharedNumber = l.SharedNumber || p.SharedNumber
			}
		}
		if !covered {
			t.annexII = append(t.annexII, p.limitOf())
		}
	}
}

// indexAnnexII leads the names and numbers of Annex II to their rules. A name that
// an official list ties to a class entry leads to it too, see [ByLinkedName].
func (t *Tables) indexAnnexII() {
	rows := map[string]*Limit{}
	for _, l := range t.Limits {
		rows[l.Key] = l
	}
	own := map[string]*Limit{}
	for _, l := range t.annexII {
		own[l.Key] = l
	}
	t.ByLinked = map[string][]*Limit{}
	for _, p := range t.prohibited {
		var to []*Limit
		if l := own[p.Key]; l != nil {
			to = append(to, l)
		}
		for _, key := range p.Limits {
			if l := rows[key]; l != nil {
				to = append(to, l)
			}
		}
		for _, l := range to {
			enterRow(t.ByName, slices.Concat(p.Names, p.ChemicalNames), true, l)
			enterRow(t.ByLinked, p.Linked, true, l)
			enterRow(t.ByCAS, p.CAS, false, l)
			enterRow(t.ByEC, slices.Concat(p.EC, p.MisprintedEC), false, l)
		}
	}
}

// enterRow enters a row under each of the names or numbers, once.
func enterRow(into map[string][]*Limit, words []string, names bool, l *Limit) {
	for _, w := range words {
		if names {
			w = ingredients.NameKey(w)
		}
		if !slices.Contains(into[w], l) {
			into[w] = append(into[w], l)
		}
	}
}

// EveryLimit returns the limits of [Tables.Limits] and the rules of Annex II that
// they leave out, in this order.
func (t *Tables) EveryLimit() []*Limit { return slices.Concat(t.Limits, t.annexII) }
