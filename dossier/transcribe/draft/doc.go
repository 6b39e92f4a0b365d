// Package draft writes what was read of a maker's formula as the first draft of
// files of a workshop: one product, and a stub for each material that has no sheet
// yet.
//
// Decisions:
//   - 2026-11-29: nothing is invented. What the document does not say is left empty
//     and what is open is written behind a question mark ("? 2-3 g"): the workshop
//     then stops there, with the place, until the maker has decided. A commented-out
//     line would be left out of every figure without a word.
//   - 2026-11-29: a stub names no constituent; INCI names that the document prints
//     stand in a comment, because their contents are not known.
//   - 2026-11-29: the type of product is guessed in a comment alone: exposure and
//     limits rest on it.
//   - 2026-11-29: variants whose amounts differ get a slot for each amount. In per
//     cent without a rest they are written as the grams of 100 g, because a formula
//     in per cent sums all slots.
package draft
