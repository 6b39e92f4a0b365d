// Package sheet prints a document as a spreadsheet whose formulas compute again.
// Start at [Write].
//
// # Decisions
//
// 2026-11-25, print of the workbook. Tables that hold the same columns stage by stage
// (Table.Follows) stand under one head, which each printed page repeats. Columns of words share the room so that the sheet prints
// at 60 % of its size or more on one page across; beyond that it takes several pages,
// with the first columns on each. Widths are measured with the metrics of Arial, which
// office programs have or replace by a font of the same widths.
//
// 2026-11-30, page breaks. A table begins a page where its head would stand alone at the
// foot of one. LibreOffice breaks there although the sheet is fitted to the width; a
// program that ignores such breaks then, as some do (common practice, no source), prints
// as it did without them.
package sheet
