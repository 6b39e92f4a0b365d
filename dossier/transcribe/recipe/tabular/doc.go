// Package tabular reads a table with known columns into a product: [Read]. It chooses
// which column of amounts is the formula, which ones are variants, versions or another
// way to say the same, and compares them.
//
// Decisions:
//   - 2026-11-29: per cent goes before grams where both stand for the whole
//     product; grams go before per cent "of the oils", which is no share of the
//     product.
//   - 2026-11-29: of columns with version numbers the highest is read and the others
//     are listed; columns of trials are all asked about.
package tabular
