package assess

import (
	"slices"

	"gallipot/ingredients/finding"
)

// Only narrows an assessment to some variants; "" among them, or none, stands
// for all.
func (a *Assessment) Only(variants []string) *Assessment {
	if len(variants) == 0 || slices.Contains(variants, "") {
		return a
	}
	b := *a
	b.Results = nil
	for _, r := range a.Results {
		if slices.Contains(variants, r.Input.Variant.ID) {
			b.Results = append(b.Results, r)
		}
	}
	b.Findings = merge(&b)
	return &b
}

// Stops counts the findings of kind stop.
func (a *Assessment) Stops() int {
	return finding.Count(a.Findings).Stop
}
