// Package paper turns the bytes of a supplier's paper, or of a maker's own
// spreadsheet, into pages of lines and cells, each with its place. It knows
// nothing of what the text means.
//
// [Reader.Read] tells the form of a file from its bytes and answers a [File]:
// pages of a PDF, sheets of a workbook, the parts of a word-processor file, or
// the one page of a text, table, web page or mail. Every page is made of [Line]s
// and every line of [Cell]s from left to right, so that a reader of meaning needs
// one way of looking only. Where a page is laid out (PDF) a cell is what stands
// between two wide gaps, and its words keep their positions; where a file has
// cells of its own they are taken as they are.
//
// What the file hides is marked and never dropped quietly: hidden rows, columns
// and sheets, hidden text, quoted mail. Text that is crossed out stands apart ([Cell].Struck). Text
// that nobody sees or that cannot be
// trusted is marked on its page ([Trust]). Deleted text of a tracked change is not
// read.
//
// Decisions:
//   - 2026-11-29: no recognition of characters in pictures. A page that is a
//     picture is told as [Picture] and has no lines.
//   - 2026-11-29: a workbook's number under a percent format is given as percent
//     with its sign ("62.35 %"), rounded to 15 significant digits, because the
//     stored figure is a binary fraction; a date is given as YYYY-MM-DD.
//   - 2026-11-29: private-use characters of the common symbol font that mean ≤ and
//     ≥ are mapped, any other one stays in the text and is told as a caution.
//   - 2026-11-30: the functions of the PDF module are called directly (sandbox.go) and
//     not through the library that brings it: that takes and frees memory for each
//     letter, which were half of all calls. Each document has a module of its own, with
//     limits of time and memory, without disk and network.
//   - 2026-11-30: the module has the functions alone that something reaches from those called
//     here: 5,265 of 6,327, 0.4 MB less in the program (testdata/pdfreader makes it). One that
//     is called anew has to be made again with it: a test compares.
//   - 2026-11-30: every piece of text is asked whether it is drawn and in which colour, no
//     longer every fourth above 200: one hidden piece may hold a figure. White text counts as
//     hidden unless a coloured path, a picture, a shading or a form lies under its middle.
//   - 2026-12-01: dots and dashes in a row are one line; a raised figure belongs to the line of
//     the letter before it, also where a cell beside it begins a line higher.
package paper
