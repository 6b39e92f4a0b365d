package dossier

import (
	"cmp"
	"slices"

	"gallipot/calc"
	"gallipot/ingredients"
)

// mostParts is how many parts a stacked bar can tell apart; what is left is
// joined as the last.
const mostParts = 8

// mostPictured is how many variants a picture of the composition shows.
const mostPictured = 12

// compositionPictures show each variant by phase and by what its raw materials
// are for. A long range is shown by its first variants.
func (v *view) compositionPictures() []Block {
	byPhase := v.stacked("chart-phases", "Composition by phase", func(_ *calc.Result, s calc.Share) string {
		if s.Added {
			return "added to 100 parts"
		}
		return "phase " + s.Phase
	})
	byFunction := v.stacked("chart-functions", "Composition by function of the raw materials", func(r *calc.Result, s calc.Share) string {
		if sheet := r.Input.Sheets[s.Ingredient]; sheet != nil && len(sheet.Functions) > 0 {
			return sheet.Functions[0]
		}
		return "function not stated"
	})
	byFunction.Caption = "By the first function that each sheet names."
	return []Block{byPhase, byFunction}
}

// stacked adds up the shares of each shown variant by class.
func (v *view) stacked(id, title string, class func(*calc.Result, calc.Share) string) *StackedBar {
	shown := v.variants
	chart := &StackedBar{ID: id, Title: title, Unit: "% w/w", Whole: 100}
	if len(shown) > mostPictured {
		shown = shown[:mostPictured]
		chart.Title += ", the first " + itoa(mostPictured) + " variants"
	}
	totals := map[string]ingredients.Num{}
	sums := make([]map[string]ingredients.Num, len(shown))
	for i, x := range shown {
		sums[i] = map[string]ingredients.Num{}
		r := v.first(x)
		for _, s := range r.Recipe.Whole.Shares {
			name := class(r, s)
			sums[i][name] = sums[i][name].Add(s.Pct)
			totals[name] = totals[name].Add(s.Pct)
		}
	}
	chart.Parts = largestFirst(totals)
	const others = "others"
	if len(chart.Parts) > mostParts {
		small := chart.Parts[mostParts-1:]
		chart.Parts = append(chart.Parts[:mostParts-1:mostParts-1], others)
		for _, sum := range sums {
			for _, name := range small {
				sum[others] = sum[others].Add(sum[name])
			}
		}
	}
	for i, x := range shown {
		row := StackedRow{Label: variantName(x)}
		for _, name := range chart.Parts {
			row.Values = append(row.Values, sums[i][name].Float())
			row.Cells = append(row.Cells, PctCell(sums[i][name]))
		}
		chart.Rows = append(chart.Rows, row)
	}
	return chart
}

// largestFirst orders names by their total, equal ones by name.
func largestFirst(totals map[string]ingredients.Num) []string {
	names := make([]string, 0, len(totals))
	for name := range totals {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(totals[b].Cmp(totals[a]), cmp.Compare(a, b))
	})
	return names
}
