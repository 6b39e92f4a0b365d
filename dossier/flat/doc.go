// Package flat is the sheet with one row a substance, to paste from. Start at [Section].
//
// # Decisions
//
// 2026-11-30, the sheet follows. Its contents, limits, doses and margins are formulas that
// point at the live sheets of package recalc; a figure is linked only where the live cell
// holds the very figure that is printed, so that a link can never alter what the pack says.
// Any other figure gives way to "changed". Hazard statements, functions and endpoints are
// words on the substance, which no input changes. Of several rows for one substance (variants
// whose sheets state other values) the one with the highest content now is shown, as in print.
package flat
