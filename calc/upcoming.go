package calc

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// allergensToCome says which names the label will need on a later day, and how
// long old stock without the newer names may be sold.
//
// Findings: note "coming-allergen" for each later day, with the names to add and
// those that no paper states yet; note "old-stock" while the transition of names
// that are due already runs.
// Source: Regulation (EU) 2023/1545 and allergens.csv, columns applies_from and
// transition_end.
func allergensToCome(in *formula.Input, comps []*formula.Composition, materials map[string]*formula.Material,
	now []listing.AllergenTotal) []finding.Finding {
	fs := oldStock(in, now)
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
		totals := listing.Totals(&then, comps, materials)
		var c comingAllergens
		for _, t := range totals {
			switch {
			case t.OnLabel() && !have[t.LabelName]:
				have[t.LabelName] = true
				c.names, c.row = append(c.names, t.LabelName), t.Row
				c.sum = append(c.sum, finding.Term{Pos: t.Contributions[0].SourcePos, Key: "allergen-content",
					Values: formula.PortionNamed(formula.With().Name("allergen", t.LabelName).
						Range("content", t.Worst, "%", finding.FourDigits), t.WorstIn).
						Num("threshold", t.ThresholdPct, "%", finding.AsIs)})
			case t.Verdict == listing.Unstated && t.Row.From == day:
				c.open = append(c.open, t.LabelName)
				c.whom = limits.Union(c.whom, t.Uncovered)
				c.row = t.Row
			}
		}
		if c.row != nil {
			fs = append(fs, c.finding(in, day))
		}
	}
	return fs
}

// oldStock says until when stock without the newer names may be sold.
func oldStock(in *formula.Input, now []listing.AllergenTotal) []finding.Finding {
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
		f := in.OnProduct(finding.NewFinding(finding.Note, "old-stock", in.Product.Pos,
			formula.With().Name("market", string(in.Market)).Day("from", d[0]).
				Day("until", d[1]).Day("after", d[1].AddDays(1)))).By(finding.TheMaker)
		fs = append(fs, f.AboutNames(byDay[d]))
	}
	return fs
}

// comingAllergens is what the label will need from a later day on.
type comingAllergens struct {
	row         *annex.Allergen
	names, open []string
	whom        []string // materials whose papers do not state the open ones
	sum         []finding.Term
}

func (c *comingAllergens) finding(in *formula.Input, day exact.Date) finding.Finding {
	form, v := "names", formula.With().Day("day", day).Name("market", string(in.Market)).Names("names", c.names)
	if len(c.open) > 0 {
		v = v.Count("open", len(c.open)).Those("materials", in.MaterialsNamed(c.whom))
		form = "both"
		if len(c.names) == 0 {
			form = "unstated"
		}
	}
	f := in.OnVariant(finding.NewFinding(finding.Note, "coming-allergen", in.Product.Pos,
		v.Source("law", finding.Values{{Kind: finding.KindQuote, Text: c.row.Source}}).Day("until", c.row.Until))).
		As(form).By(finding.TheMaker)
	f.Sum = c.sum
	return f
}
