// Package recalc builds the sheets of the workbook that compute a product again by
// formulas. Start at [Build].
package recalc
