package table

import (
	"slices"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
)

// deriveAnnexII makes the rules of the entries that limits.csv does not hold, and
// marks the rows it does hold whose numbers stand for other things too.
func (t *Tables) deriveAnnexII() {
	rows, read := map[string]*annex.Limit{}, map[string]condition.Condition{}
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
				l.Salts = l.Salts || p.Salts
			}
		}
		if !covered {
			t.annexII = append(t.annexII, p.LimitOf(read))
		}
	}
}

// EveryLimit returns the limits of [Tables.Limits] and the rules of Annex II that
// they leave out, in this order.
func (t *Tables) EveryLimit() []*annex.Limit { return slices.Concat(t.Limits, t.annexII) }
