package sections

import (
	"cmp"
	"slices"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// mostParts is how many parts a stacked bar can tell apart; what is left is
// joined as the last.
const mostParts = 8

// mostPictured is how many variants a picture of the composition shows.
const mostPictured = 12

// compositionPictures show each variant by phase and by what its raw materials
// are for. A long range is shown by its first variants.
func compositionPictures(v *show.View) []document.Block {
	byPhase := stacked(v, "chart-phases", "Composition by phase", func(_ *calc.Result, s formula.Share) string {
		if s.Added {
			return "added to 100 parts"
		}
		return "phase " + s.Phase
	})
	byFunction := stacked(v, "chart-functions", "Composition by function of the raw materials",
		func(r *calc.Result, s formula.Share) string {
			if sheet := r.Input.Sheets[s.Ingredient]; sheet != nil && len(sheet.Functions) > 0 {
				return sheet.Functions[0]
			}
			return "function not stated"
		})
	byFunction.Caption = "By the first function that each sheet names."
	return []document.Block{byPhase, byFunction}
}

// stacked adds up the shares of each shown variant by class.
func stacked(v *show.View, id, title string,
	class func(*calc.Result, formula.Share) string) *document.StackedBar {
	shown := v.Variants
	chart := &document.StackedBar{ID: id, Title: title, Unit: "% w/w", Whole: 100}
	if len(shown) > mostPictured {
		shown = shown[:mostPictured]
		chart.Title += ", the first " + words.Itoa(mostPictured) + " variants"
	}
	totals := map[string]exact.Num{}
	sums := make([]map[string]exact.Num, len(shown))
	for i, x := range shown {
		sums[i] = map[string]exact.Num{}
		r := v.First(x)
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
		row := document.StackedRow{Label: show.VariantName(x)}
		for _, name := range chart.Parts {
			row.Values = append(row.Values, sums[i][name].Float())
			row.Cells = append(row.Cells, document.PctCell(sums[i][name]))
		}
		chart.Rows = append(chart.Rows, row)
	}
	return chart
}

// largestFirst orders names by their total, equal ones by name.
func largestFirst(totals map[string]exact.Num) []string {
	names := make([]string, 0, len(totals))
	for name := range totals {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(totals[b].Cmp(totals[a]), cmp.Compare(a, b))
	})
	return names
}
