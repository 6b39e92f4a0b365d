// Package workshop is the maker's folder as read: sheets, products, batches, own
// limits and papers, every value with its file and line. Start at [Load]; every
// mistake of every file comes back as a finding, none hides another.
//
// # Decisions
//
// 2026-11-25, nothing is defaulted to the milder side. intended_for, revision,
// formula.basis, composition.complete and complaints[].serious have to be stated. An
// empty value is refused, save where the sheet says null on purpose in physical.
//
// 2026-11-29, reach. A product whose own file or sheet cannot be read, or is left open
// by a draft, is left out and the others are worked with; that is said before anything
// else, and a verb that tells of the whole workshop (letters, trace, pack --all, the
// list of batches, stability, compare) ends with exit code 2 like the check. The
// workshop's own file, a batch record or an own table that cannot be read still stops
// every verb: a recall or any figure may rest on it.
//
// 2026-11-28, the clock. A clock that shows a day before that of a paper or an
// assessment is pointed out; otherwise it is believed, and the day stands in what is
// printed.
package workshop
