package limits

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
)

// addSalts adds the entries that name what a substance is a salt of. An entry of
// Annex II that is for the salts holds; another one is asked about, be it that it
// lists the usual salts or that it names the acid alone (salicylic acid, III/98): an
// acid and its salt are one and the same in water of a given pH. Where another entry of
// the same annex names the salt itself (V/1a, the further salts of benzoic acid), that
// one speaks for it.
func (m *matcher) addSalts(s *formula.Substance, by map[*annex.Limit]*rowMatch,
	add func(row *annex.Limit, how, doubt string, standsFor ...string)) {
	names := m.tables.Dictionary().Names()
	speaks := func(of *annex.Limit) bool { // an entry for the salt itself, wherever and whenever of binds
		for row, f := range by {
			if f.doubt == "" && row.Annex == of.Annex && !row.Own && row.Instrument != annex.InstrumentDraft &&
				row.From.IsZero() && row.Until.IsZero() && row.Replaced.IsZero() &&
				!slices.ContainsFunc(of.Markets, func(m rows.Market) bool { return !row.For(m) }) {
				return true
			}
		}
		return false
	}
	for _, n := range s.AllNames() {
		for _, base := range names.SaltOf(n) {
			for _, f := range law.LimitsOf(m.tables, base.Name, nil, nil) {
				switch {
				case f.By != "name" || f.Limit.Own || by[f.Limit] != nil && by[f.Limit].doubt == "":
				case f.Limit.Salts:
					add(f.Limit, f.By, "")
				case !base.MaybeEster && !speaks(f.Limit):
					add(f.Limit, f.By, saltOfNamed)
				}
			}
		}
	}
}
