// Package label says, sets and draws the label of a variant, and finds what the law
// asks of it and is not there. Start at [Labels].
//
// # Decisions
//
// 2026-11-25: Labels calc/labelling says what a label has to say and by which rule of
// label-rules.csv; this package sets it. Type is measured by its lower-case x, figures
// by their lowest digit, both from the outlines of the font, since that is what the
// rules and a reader measure. The law names no least size of letters for cosmetics;
// where the maker chooses none, the figure that food law has for a face of that size is
// the yardstick, and it is said to be that. A label that does not fit is not drawn: half
// a label is none. Directions are the first to go, and a leaflet is used only when the
// maker asks for it.
//
// 2026-11-25, proofs. A page of a proof is larger than its label; the label is its trim
// box. The proof line, the marks and the bar to check the printer by stand outside it,
// on sheets too.
//
// 2026-11-25, one pack for several markets. The list that names the most allergens is
// printed, if the others say nothing beyond it; each responsible person stands behind
// its market.
package label
