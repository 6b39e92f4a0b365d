package law

import (
	"slices"

	"gallipot/calc/law/annex"
)

// Fits says whether the rule is for a product type in a situation.
func Fits(o *annex.OtherRule, typeKey string, s Situation) Answer {
	if len(o.Types) > 0 && !slices.Contains(o.Types, typeKey) {
		return itDoesNot
	}
	return JudgeCondition(o.Condition, s)
}
