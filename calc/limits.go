package calc

import (
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// LimitVerdict says how a product stands against one row of the limit table.
type LimitVerdict string

// The verdicts on a limit row.
const (
	LimitKept          LimitVerdict = "kept"
	LimitExceeded      LimitVerdict = "exceeded"
	LimitNotApplicable LimitVerdict = "not applicable" // its condition does not hold for this product
	LimitUndecided     LimitVerdict = "undecided"      // the product file does not say what the condition asks
	LimitNoFigure      LimitVerdict = "no figure"      // applies without a numeric limit: wording or criteria
)

// LimitCheck is one row of the limit table that was considered for a product.
type LimitCheck struct {
	Row           *law.Limit
	Substances    []string          // of the product that the row names
	Content       ingredients.Range // % counted in the basis of the row, in the worst mixture
	WorstIn       string            // that portion; "" for the whole
	LimitPct      *ingredients.Num  // % in the basis of the row; nil where the row has no figure
	Verdict       LimitVerdict
	Reason        string // why, in words
	Contributions []Contribution
	Basis         []ingredients.Term // the arithmetic from content to counted content
	// HighestPct is the most of the product's named substances, by content,
	// that would pass with their proportions as they are; nil where none would.
	HighestPct *ingredients.Num
}
