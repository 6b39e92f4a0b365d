// Package desk is one paper while it is read: its rows and tables, its labels with
// their values, what holds for all its figures, and what was read of it so far.
//
// [Open] learns before any row is read which kind of paper it is, in which language,
// which decimal sign and which one unit its figures have, what a printed nought and
// "not detected" stand for. The readers of the parts (identity, composition,
// declaration, certificate, properties) share one [Desk] and put their values and
// questions on it.
//
// Decisions:
//   - 2026-11-29: a figure without a unit is asked about unless the paper names one
//     unit for all ([Desk.Share]); figures of an untrusted page are asked about one
//     and all ([Desk.Doubt]).
//   - 2026-12-01: a limit of detection that stands in the row of one result holds for that
//     row alone, and the legend of a sign for traces tells nothing of "not detected".
package desk
