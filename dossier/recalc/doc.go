// Package recalc builds the sheets of the workbook that compute a product again by
// formulas. Start at [Build].
//
// # Decisions
//
// 2026-11-25, the workbook recalculates beside the program's figures. Every formula
// holds the program's figure as its stored result and must come to it within 1e-9;
// verdicts by formula stand beside the program's, since sums in binary fractions miss
// exact ones by their last digit. Contents are listed sparsely, a row for each substance
// in each raw material, sorted by substance, so that a content is a SUMPRODUCT over
// neighbouring rows. A printed E/bw is used while amount, retention and body weight are
// those of its source, and computed from them as soon as one is changed: what the
// program itself does. A reaction with lye is not modelled: those sheets start from the product
// as sold. All sheets are protected without a password.
//
// 2026-11-30, room in a soap: of what does not react, in the product as sold. To follow fats and
// lye the twelve steps of calc/soap would have to be formulas: for two fats, of 4 to 8 materials
// made by the reaction 24 to 98 contents at three bounds, 72 to 294 cells, and those before them.
//
// # Add a formula to the spreadsheet
//
// A cell carries the program's own figure and beside it Computed(formula); cells are named in
// braces, Open(Input) opens one, Named names it. Plain functions only; the tests recalculate all.
package recalc
