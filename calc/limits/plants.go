package limits

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/ingredients/names"
)

// addEntryPlant notes the plant, part and preparation that an entry names.
func (m *matcher) addEntryPlant(e table.EntryPlant) {
	m.ofPlant[e.Name] = e.Plant
	for _, latin := range formula.LatinNames(e.Name, e.Plant) {
		if !slices.Contains(m.species[latin], e.Rule) {
			m.species[latin] = append(m.species[latin], e.Rule)
		}
	}
}

// addSpecies adds the entries of a plant whose part and preparation a material
// has, or leaves open, however the two are printed.
func (m *matcher) addSpecies(s *formula.Substance, add func(row *annex.Limit, how, doubt string,
	standsFor ...string)) {
	for _, n := range append(s.AllNames(), s.Maybe...) {
		material := formula.Plant(m.session, n)
		if material == nil {
			material = &names.Plant{Of: n}
		}
		for _, latin := range formula.LatinNames(n, material) {
			for _, row := range m.species[latin] {
				switch m.fitOf(n, material, row) {
				case names.Fits:
					add(row, "plant", "")
				case names.Open:
					add(row, "plant", partOpen)
				}
			}
		}
	}
}

// fitOf says how well a material fits an entry: as well as the best of the
// entry's names for its plant. Where none is for its plant, as under a number that
// two plants share, no name fits for sure.
func (m *matcher) fitOf(name string, material *names.Plant, row *annex.Limit) names.Fit {
	own, other := names.Unfits, names.Unfits
	ours := false
	for _, n := range row.Names {
		entry := m.ofPlant[n]
		if entry == nil {
			continue
		}
		fit := names.FitsEntry(material, entry)
		if material != nil && sharesLatin(formula.LatinNames(name, material), formula.LatinNames(n, entry)) {
			ours, own = true, min(own, fit)
		}
		other = min(other, max(names.Open, fit))
	}
	switch {
	case ours:
		return own
	case slices.ContainsFunc(row.Names, func(n string) bool { return m.ofPlant[n] == nil }):
		return min(other, names.Open) // derivatives of the plant at large: peanut acid, peanut glycerides
	}
	return other
}

// isOfPlant says whether an entry names the plant of a material.
func (m *matcher) isOfPlant(name string, material *names.Plant, row *annex.Limit) bool {
	return slices.ContainsFunc(row.Names, func(n string) bool {
		entry := m.ofPlant[n]
		return entry != nil && sharesLatin(formula.LatinNames(name, material), formula.LatinNames(n, entry))
	})
}

func sharesLatin(a, b []string) bool {
	return slices.ContainsFunc(a, func(s string) bool { return slices.Contains(b, s) })
}

// otherPart says whether a row found by number alone is that of another part or
// preparation of the plant; where the name leaves that open, the match is in
// doubt. A number of a plant settles neither, but for one that an entry of Annex II
// has to itself, beside a name that speaks of no other plant; where that name says
// another part or preparation, name and number contradict each other.
func (m *matcher) otherPart(s *formula.Substance, f *rowMatch) bool {
	if rank(f.by) < 2 || !slices.ContainsFunc(f.Row.Names, func(n string) bool { return m.ofPlant[n] != nil }) {
		return false
	}
	best, own := names.Unfits, f.Row.Annex == "II" && !f.Row.SharedNumber
	for _, n := range s.AllNames() {
		material := formula.Plant(m.session, n)
		best = min(best, m.fitOf(n, material, f.Row))
		own = own && (material == nil || m.isOfPlant(n, material, f.Row))
	}
	switch {
	case best == names.Open && f.doubt == "" && !own:
		f.doubt = partByNumber
	case best == names.Unfits && own:
		if f.doubt == "" {
			f.doubt = otherByName
		}
		return false
	}
	return best == names.Unfits
}
