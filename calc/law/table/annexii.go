package table

import (
	"slices"

	"gallipot/calc/law/annex"
	"gallipot/ingredients"
)

// deriveAnnexII makes the rules of the entries that limits.csv does not hold, and
// marks the rows it does hold whose numbers stand for other things too.
func (t *Tables) deriveAnnexII() {
	rows := map[string]*annex.Limit{}
	for _, l := range t.Limits {
		if l.Annex == "II" {
			rows[l.Key] = l
		}
	}
	for _, p := range t.prohibited {
		if p.State == annex.StateEmpty || p.State == annex.StateElsewhere {
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
			t.annexII = append(t.annexII, p.LimitOf())
		}
	}
}

// indexAnnexII leads the names and numbers of Annex II to their rules. A name that
// an official list ties to a class entry leads to it too, see [ByLinkedName].
func (t *Tables) indexAnnexII() {
	rows := map[string]*annex.Limit{}
	for _, l := range t.Limits {
		rows[l.Key] = l
	}
	own := map[string]*annex.Limit{}
	for _, l := range t.annexII {
		own[l.Key] = l
	}
	t.ByLinked = map[string][]*annex.Limit{}
	for _, p := range t.prohibited {
		var to []*annex.Limit
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
func enterRow(into map[string][]*annex.Limit, words []string, names bool, l *annex.Limit) {
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
func (t *Tables) EveryLimit() []*annex.Limit { return slices.Concat(t.Limits, t.annexII) }
