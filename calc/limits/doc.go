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
//
// 2026-11-29, a number that an entry of Annex II has to itself beside the name of
// another part or preparation of the same plant is asked about: name and number
// contradict each other, and which of them is right decides.
//
// 2026-11-29, a change of classification that brings no figure and no ban (benzyl
// alcohol, Reg (EU) 2024/197) is told by law NAME and listed among the rules that were
// considered. It is no finding: every product with a trace of it would carry the same
// note, and nobody could settle it.
package limits
