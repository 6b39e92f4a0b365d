// Package listing puts ingredients in the order of the law and says which allergens
// the label has to name.
//
// # Decisions
//
// 2026-11-25, a fourth verdict on allergens. Besides declare, open and below there is
// unstated: a supplier declared against a shorter list than the market's, and what is
// known is not above the threshold. Such names are asked for and shown, and not printed
// on the label: a list that named all of them would say nothing. A range that straddles
// the threshold is open and is printed. A material so scarce that even all of it would
// stay below the threshold leaves nothing open.
//
// 2026-11-25, an oil and its group name. An essential oil listed under its own INCI name
// stays in the list, and where its allergen group has to be declared the group name
// joins it. Whether the group name may replace the INCI name is not settled in the texts
// read.
package listing
