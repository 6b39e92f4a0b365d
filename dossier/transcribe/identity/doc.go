// Package identity reads what a paper says of itself: trade name, supplier, code, lot,
// version and dates. [Read] puts them on the desk.
//
// A label with its value goes before everything else; where none is printed the place
// on the page tells, and the reading says by which rule.
//
// Decisions:
//   - 2026-11-29: day comes before month in 03/04/2024 where the paper shows a date
//     that cannot be read otherwise, or is not in English, or names European or
//     British law; in any other paper such a date is asked about.
package identity
