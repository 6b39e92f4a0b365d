// Package annex reads the rows of law about a substance: the annexes of the Cosmetics
// Regulation and their British counterparts, the allergens named on a label, the rules
// outside the annexes, and a maker's own limits, which have the same columns.
//
// Start at [Limit] and [Prohibition]. Look-ups over whole tables stand in
// calc/law/table; whether a row applies to a product is judged in calc/law.
package annex
