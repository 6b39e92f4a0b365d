// Package recipe reads a maker's own formula from the pages of a file: products,
// phases, lines and amounts, each with its place.
//
// The way of one document: [rows.go] brings sheets, tables and text into rows of
// cells; heads and columns get their roles (heads.go, columns.go); the rows of a
// table (table.go) or the lines of a text (text.go) become lines of a product;
// what stands beside each other is compared (choose.go); what belongs together is
// made a product (product.go); sums, the rest to 100 and what is open are judged
// (checks.go).
//
// What is read is proposed, never taken: a line that is not sure has Ask with the
// reason. Nothing of the document is passed over without a word: what is no line
// stands among steps, notes, left-out columns, other sheets, older versions or
// what was not understood.
//
// Decisions:
//   - 2026-11-29: per cent goes before grams where both stand for the whole
//     product; grams go before per cent "of the oils", which is no share of the
//     product.
//   - 2026-11-29: drops, spoons, pieces and volumes are taken as printed and asked
//     about on the line: they are no mass.
//   - 2026-11-29: "q.s." alone is the rest to 100 where one line has it and the
//     others leave room; an acid or a base that has it goes to a pH and is asked
//     about; of two, only water can be the rest.
//   - 2026-11-29: of columns or sheets with version numbers the highest is read and
//     the others are listed; columns of trials are all asked about.
//   - 2026-11-29: a figure in a sentence is never an amount; the sentence is listed
//     and asked about.
//   - 2026-11-29: a quoted mail is an older version where the mail's own words hold
//     a formula; where they hold none, the quoted formula is read and asked about.
package recipe
