// Package pack builds the assessor's pack: pages with what a judgement rests on, and a workbook
// with the rest. Start at [Build]; a new section begins in dossier/sections.
//
// # Decisions
//
// 2026-11-29, pages and workbook. On pages stands what a verdict rests on, each table
// once: allergens and contents of all variants together, margins with one worked example,
// readiness in a line an item, contributions to contents with a limit, to allergens on the
// label and to the lowest margins. Headroom, doses per area, arithmetic of each margin,
// entries by row, hashes and contributions to all else are in the workbook. TestNoFigureIsLost
// holds the two together.
//
// 2026-11-29, what an assessor reads. Documents are cited [E1] and published sources [1],
// listed in D.3; no file, line, command or row of a table stands on a page. Questions are
// numbered Q1 …, open points O1 …, by who must act.
//
// 2026-11-29, tests and variants. A test counts for the variant that its batch record
// names, and for another only by a reason of the maker's, which is printed beside it.
//
// 2026-11-29, nothing said is not a no. Nano, traces, classification and endocrine action
// are "not stated" where no document speaks of them.
//
// 2026-11-29, white pages. A table of up to 40 rows is not split where that leaves less
// than three tenths of the page empty; otherwise it is, so that only the last page of a
// part may end early. The label stands on the first page, in true size.
//
// 2026-11-30, profiles. Each endpoint has a line, also the one of which nobody has said
// anything; below stand exposure, margin and room for the answer, with the code of Part B.
// Those that are not whole in the pack are a second document of the same pages.
//
// 2026-11-30, said once. Empty tables behind one that says already that nothing is on
// record are left out of the pages, and how a type of product is classed is told as a
// judgement of what and not as a note of the table. A product that something stops is never
// headed as keeping the law.
//
// 2026-11-30, no stale figure. A figure or verdict on a sheet that does not compute is a
// formula that gives way to the word "changed" once an input of the live sheets differs:
// a banner alone would leave figures to be copied.
package pack
