// Package sheet prints a document as a spreadsheet whose formulas compute again.
// Start at [Write].
//
// # Decisions
//
// 2026-11-25, print of the workbook. Tables that hold the same columns stage by stage
// (Table.Follows) stand under one head, which each printed page repeats; page breaks are
// left to the spreadsheet program, since sheets are fitted to the width of a page and
// then break by hand nowhere. Columns of words share the room so that the sheet prints
// at 60 % of its size or more on one page across; beyond that it takes several pages,
// with the first columns on each. Widths are measured with the metrics of Arial, which
// office programs have or replace by a font of the same widths.
package sheet
