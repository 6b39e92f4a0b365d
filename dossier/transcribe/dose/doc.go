// Package dose reads what a maker writes in the place of an amount: "4", "3 %",
// "2-3 g", "to 100", "q.s. to pH 5.5", "20 drops", "½ tsp", "as needed".
//
// An amount is taken as printed: its number with a decimal point, its unit as the
// maker counts. What is no single number (a range, a bound, "about", two numbers
// joined) is told by its [Doubt] and never turned into one. Nothing is converted.
//
// Decisions:
//   - 2026-11-29: "up to 0.5 %" is a bound; "up to 100" and "up to 100 %" are the
//     rest, since nobody bounds a material at the whole.
//   - 2026-11-29: "q.s." alone is left open: whether it is the rest, goes to a pH
//     or is taken as needed shows only beside the other lines.
//   - 2026-11-29: a number parted by blanks ("1 250") is read in a cell of its own
//     only; in running text "Polysorbate 80 250 g" would become 80,250.
package dose
