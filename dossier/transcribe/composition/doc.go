// Package composition reads the constituents of a material with their contents: from
// tables, from rows without heads, from a sentence that says what was added.
//
// Decisions:
//   - 2026-11-29: a wrong value is worse than a missing one: a row that holds two
//     figures of one kind is asked about.
//   - 2026-11-29: a name over its number is taken where every substance without a name
//     has one; otherwise all of them are asked about.
package composition
