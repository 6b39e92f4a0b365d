package stability

import (
	"slices"

	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// SoldOf returns the lines of units sold of one variant, "" for all together, the
// earliest first.
func SoldOf(p *workshop.Product, variant string) []workshop.Sold {
	list := slices.DeleteFunc(slices.Clone(p.Sold), func(s workshop.Sold) bool { return s.Variant != variant })
	slices.SortStableFunc(list, func(a, b workshop.Sold) int { return int(a.Until) - int(b.Until) })
	return list
}

// SoldFalls returns the place in the list of the first line that counts fewer
// units than the one before it; false where none does.
func SoldFalls(list []workshop.Sold) (int, bool) {
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
func soldFindings(p *workshop.Product) (fs []finding.Finding) {
	var variants []string
	for _, s := range p.Sold {
		variants = words.AddOnce(variants, s.Variant)
	}
	for _, v := range variants {
		list := SoldOf(p, v)
		i, falls := SoldFalls(list)
		if !falls {
			continue
		}
		var sums finding.Values
		total := 0
		for _, s := range list {
			total += s.Units
			sums = sums.Count("", total)
		}
		fs = append(fs, p.About(finding.NewFinding(finding.Ask, "sold-falls", list[i].Pos, workshop.With().
			Name("variant", v).Count("units", list[i].Units).Day("until", list[i].Until).
			Count("before", list[i-1].Units).Day("earlier", list[i-1].Until).Those("sums", sums))).
			At(p.File(), "sold.units", nil))
	}
	return fs
}
