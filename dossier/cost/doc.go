// Package cost adds up what a pack costs to make: materials, what is lost of them,
// packaging, label and work. Start at [Of].
//
// # Decisions
//
// 2026-11-29. A material costs what the lot costs that is used next, else the lot received
// last, else what its sheet says; packaging and labels what their newest lot with a price
// costs, or what the product's file says. A price that nobody has stated is named and
// makes the sum "at least"; it is never taken as nothing. Work is counted where the file
// says what a batch takes. No price is advised.
//
// 2026-11-30. Prices stand in a spreadsheet of their own, out/cost.xlsx, and not in the
// workbook of the pack: that one goes to the assessor, whom the maker's prices do not
// concern, and lies inside the PDF that others may be sent.
package cost
