// Package recipe reads a maker's own formulas from the pages of a file: [Read] gives
// products with phases, lines and amounts, each with its place.
//
// The way of one document: raw brings sheets, tables and text into rows of cells;
// columns gives the columns of a table their roles, and laid.go here those of a text
// that is laid out; tabular makes a product of a table, running one of a text; this
// package names them (title.go), places what stands beside them (beside.go) and decides
// which are in use (settle.go); checks judges each as a whole.
//
// Nothing of the document is passed over without a word: what is no line stands among
// steps, notes, left-out columns, other sheets, older versions or what was not
// understood.
//
// Decisions:
//   - 2026-11-29: of sheets with version numbers the highest is read and the others are
//     listed.
//   - 2026-11-29: a figure in a sentence is never an amount; the sentence is listed
//     and asked about.
//   - 2026-11-29: a quoted mail is an older version where the mail's own words hold
//     a formula; where they hold none, the quoted formula is read and asked about.
package recipe
