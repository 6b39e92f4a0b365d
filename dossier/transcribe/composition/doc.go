// Package composition reads the constituents of a material with their contents: from
// tables, from rows without heads, from a sentence that says what was added.
//
// Decisions:
//   - 2026-11-29: a wrong value is worse than a missing one: a row that holds two
//     figures of one kind is asked about.
//   - 2026-11-29: a name over its number is taken where every substance without a name
//     has one; otherwise all of them are asked about.
//   - 2026-12-01: words for a bound before a figure ("up to", "at least") are part of it
//     wherever a constituent is read from a line or a list of names.
package composition
