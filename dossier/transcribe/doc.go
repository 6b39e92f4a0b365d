// Package transcribe reads suppliers' papers: it proposes what a paper says of a
// material, with the place of each value, and asks where it is not sure.
//
// [Reader.Read] answers a reading.Reading. Nothing of a table is passed over quietly:
// what is not understood is listed with its text, what cannot be decided is asked.
//
// The way of one paper: paper (bytes to lines and cells), cells (lines to rows and
// tables), desk (what holds for the whole paper), identity (what it says of itself);
// then row by row and table by table to composition, declaration, certificate or
// properties, by the heading above. This package decides which of them reads what
// (rows.go, table.go), reads running text (prose.go) and lists what nobody has read
// (passed.go). Figures are read by figure, words by lexicon; no word of a language
// stands in the code.
//
// Decisions:
//   - 2026-11-29: what a mail quotes is older than what it says and is not proposed.
//   - 2026-11-29: outside a safety data sheet every row with a CAS number or a share
//     from which nothing was read is listed, and a declaration, certificate or
//     composition without a row that was read is asked about.
//   - 2026-11-29: "from 1.2 % to 1.45 %" in a sentence may be a change, and is asked
//     about; "between" is a range.
package transcribe
