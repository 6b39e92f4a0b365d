// Package word prints a document tree for a word processor (Office Open XML, ISO/IEC
// 29500-1): text that its reader goes on writing. Start at [Write].
//
// It prints what an editable document needs: headings, paragraphs, lists, tables with
// repeated heads, places to write. Charts and boxes to fill in by hand are for pages.
//
// # Decisions
//
// 2026-11-29, plain cells. Answers stand in plain cells of tables, with a code that
// everyone sees in the first cell of the row. Content controls and PDF fields lost
// answers in the programs that were tried; cells with a code lost none.
//
// 2026-11-29, no library. A writer of a few hundred lines, the same bytes each time; no
// library that could be had keeps what a word processor has changed.
package word
