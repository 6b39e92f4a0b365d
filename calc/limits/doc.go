// Package limits holds a product against the rows of Annexes II to VI and the maker's
// own limits: which rows apply, what counts, how much room is left. Start at [Limits].
//
// # Decisions
//
// 2026-11-25, functions decide which limit rows apply. The first function on a sheet is
// taken as certain, further ones as possible; a row that turns on a possible one is an
// ask. A UV-filter row for a substance that no sheet calls a UV filter is an ask, and so
// is a preservative row without a function clause for a substance used as fragrance
// alone.
//
// 2026-11-25, a missing conversion factor. A salt or ester for which the row has no
// factor is counted whole, as the cautious figure; an excess that rests on that alone is
// undecided, not a stop.
//
// 2026-11-25: Limits on a residue (secondary amine, residual monomer, protein) are kept
// when all of the substance keeps them; otherwise they become a question to the
// supplier.
//
// 2026-11-29, the number of a plant settles neither part nor preparation. One that an
// entry of Annex II has to itself (no shared_number) does, beside a name that speaks of
// no other plant: the entry gives the number, and nothing printed speaks against it.
package limits
