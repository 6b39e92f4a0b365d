package limits

import (
	"gallipot/calc/formula"
	"gallipot/ingredients/finding"
)

// Limits compares a composition with every row of the limit tables that names
// one of its substances and is in force on the day.
//
//	counted = Σ content(max) × factor of the basis, over the substances of the row
//	kept when counted ≤ limit; a row that says "below" is kept when counted < limit
//
// It is compared on the whole product and on each portion; the highest counts.
// A row whose condition the product file cannot decide is undecided, unless the
// content keeps it anyway. A row that allows nothing is exceeded when the
// substance is certainly there, and undecided when it may be or is a trace.
//
// Units: % w/w of the finished product; exact, not rounded.
// Findings: stop "over-limit", "prohibited", "not-together", "ph-limit",
// "not-listed-preservative", "not-listed-colourant", "not-listed-uv-filter",
// "colourant-not-here"; ask "maybe-prohibited", "prohibited-trace",
// "limit-undecided", "limit-entry", "no-line", "class-member", "criterion",
// "coming-limit"; note "label-wording", "coming-label", "coming-limit".
// Source: Regulation (EC) 1223/2009 Annexes II to VI and their GB counterparts;
// limits.csv; worked cases in testdata/published/limits_cases.csv.
func Limits(in *formula.Input, comps []*formula.Composition) ([]LimitCheck, []finding.Finding) {
	return newRun(in, comps).Limits()
}

func (run *Run) Limits() ([]LimitCheck, []finding.Finding) {
	checks, findings := run.on(run.In.Date)
	return checks, append(findings, run.coming(checks, findings)...)
}
