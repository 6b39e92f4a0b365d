package calc

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// comingAllergens says which names the label will need on a later day, and how
// long old stock without the newer names may be sold.
//
// Findings: note "coming-allergen" for each later day, with the names to add and
// those that no paper states yet; note "old-stock" while the transition of names
// that are due already runs.
// Source: Regulation (EU) 2023/1545 and allergens.csv, columns applies_from and
// transition_end.
func comingAllergens(in *formula.Input, comps []*formula.Composition, materials map[string]*formula.Material, now []listing.AllergenTotal) []finding.Finding {
	fs := OldStock(in, now)
	var days []exact.Date
	for _, row := range law.AllergensLater(in.Law, in.Market, in.Date) {
		if !slices.Contains(days, row.From) {
			days = append(days, row.From)
		}
	}
	slices.Sort(days)
	have := map[string]bool{}
	for _, t := range now {
		have[t.LabelName] = t.OnLabel()
	}
	for _, day := range days {
		then := *in
		then.Date = day
		totals, _ := listing.Allergens(&then, comps, materials)
		var names, open, whom []string
		var row *table.Allergen
		var sum []finding.Term
		for _, t := range totals {
			switch {
			case t.OnLabel() && !have[t.LabelName]:
				have[t.LabelName] = true
				names, row = append(names, t.LabelName), t.Row
				sum = append(sum, finding.Term{Pos: t.Contributions[0].SourcePos, Text: t.LabelName + " " + formula.RangeText(t.Worst) + " % of " + formula.PlaceName(t.WorstIn) + ", threshold " + t.ThresholdPct.Exact() + " %"})
			case t.Verdict == listing.Unstated && t.Row.From == day:
				open = append(open, t.LabelName)
				whom = limits.Union(whom, t.Uncovered)
				row = t.Row
			}
		}
		if row != nil {
			fs = append(fs, comingNames(in, day, row, names, open, whom, sum))
		}
	}
	return fs
}

func comingNames(in *formula.Input, day exact.Date, row *table.Allergen, names, open, whom []string, sum []finding.Term) finding.Finding {
	variant := in.Product.ID
	if in.Variant.ID != "" {
		variant += "/" + in.Variant.ID
	}
	var parts []string
	fix := ""
	if len(names) > 0 {
		parts = append(parts, "needs these names added to its "+string(in.Market)+" label: "+strings.Join(names, ", "))
		fix = "add the names when the label is next printed, at the latest for what is placed on the market on that day"
	}
	if len(open) > 0 {
		parts = append(parts, fmt.Sprintf("%d names of the list are not stated by the papers of %s", len(open), formula.JoinAnd(whom)))
		fix = strings.TrimPrefix(fix+"; ask for declarations against the list of Regulation (EU) 2023/1545", "; ")
	}
	f := finding.Findingf(finding.Note, "coming-allergen", in.Product.Pos, "from %s %s %s", day, variant, strings.Join(parts, ", and ")).On(variant)
	f.Sum, f.Fix = sum, fix
	f.Why = row.Source
	if !row.Until.IsZero() {
		f.Why += "; stock placed before may be sold until " + row.Until.String()
	}
	return f
}

// OldStock says until when stock without the newer names may be sold.
func OldStock(in *formula.Input, now []listing.AllergenTotal) []finding.Finding {
	byDay := map[[2]exact.Date][]string{}
	var days [][2]exact.Date
	for _, t := range now {
		row := t.Row
		if !t.OnLabel() || row.Regime == "2003-list" || row.Until.IsZero() || row.Until.Before(in.Date) {
			continue
		}
		key := [2]exact.Date{row.From, row.Until}
		if byDay[key] == nil {
			days = append(days, key)
		}
		byDay[key] = append(byDay[key], t.LabelName)
	}
	var fs []finding.Finding
	for _, d := range days {
		fs = append(fs, finding.Findingf(finding.Note, "old-stock", in.Product.Pos, "stock placed on the %s market before %s without %s on its label may be sold until %s", in.Market, d[0], strings.Join(byDay[d], ", "), d[1]).
			On(in.Product.ID).WithFix("from %s on relabel or withdraw what is left of it", d[1].AddDays(1)).
			WithWhy("transition of Regulation (EU) 2023/1545; allergens.csv"))
	}
	return fs
}
