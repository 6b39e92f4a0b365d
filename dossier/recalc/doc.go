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
// program itself does. A reaction with lye is not modelled in formulas: those sheets
// start from the product as sold. All sheets are protected without a password.
//
// # Add a formula to the spreadsheet
//
// A cell carries the program's own figure and beside it Computed(formula); cells are named in
// braces, Open(Input) makes one an input, Named names it. Plain functions only. LibreOffice
// recalculates everything in the tests: a file of dossier/recalc.
package recalc
