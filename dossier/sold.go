package dossier

import (
	"slices"

	"gallipot/ingredients"
)

// soldOf returns the lines of units sold of one variant, "" for all together, the
// earliest first.
func (p *Product) soldOf(variant string) []Sold {
	list := slices.DeleteFunc(slices.Clone(p.Sold), func(s Sold) bool { return s.Variant != variant })
	slices.SortStableFunc(list, func(a, b Sold) int { return int(a.Until) - int(b.Until) })
	return list
}

// soldFalls returns the place in the list of the first line that counts fewer
// units than the one before it; false where none does.
func soldFalls(list []Sold) (int, bool) {
	for i := range list {
		if i > 0 && list[i].Units < list[i-1].Units {
			return i, true
		}
	}
	return 0, false
}

// soldFindings ask where fewer units are said to be sold than on an earlier day:
// units count from the beginning, so such lines are likely to be those of a month
// each, and a rate of effects by them would be wrong.
//
// Findings: ask "sold-falls".
func (p *Product) soldFindings() (fs []ingredients.Finding) {
	var variants []string
	for _, s := range p.Sold {
		variants = addOnce(variants, s.Variant)
	}
	for _, v := range variants {
		list := p.soldOf(v)
		i, falls := soldFalls(list)
		if !falls {
			continue
		}
		var sums ingredients.Values
		total := 0
		for _, s := range list {
			total += s.Units
			sums = sums.Count("", total)
		}
		fs = append(fs, p.about(ingredients.NewFinding(ingredients.Ask, "sold-falls", list[i].Pos, with().Name("variant", v).Count("units", list[i].Units).Day("until", list[i].Until).
			Count("before", list[i-1].Units).Day("earlier", list[i-1].Until).Those("sums", sums))).At(p.file(), "sold.units", nil))
	}
	return fs
}
