// Package calc computes: from a formula, the sheets of its raw materials and
// the law tables to concentrations, ingredient order, allergens, limits,
// exposure and headroom. Start at [Assess].
//
// It is pure: it opens no file, reads no clock, prints nothing and uses no
// randomness. Date and market are arguments, and everything the program has to
// say comes back as findings.
//
// Percentages are exact rational numbers in % w/w. Exposure and margin figures, which
// carry two or three significant digits, are float64.
//
// # Computed twice
//
// The package plaintest holds the whole calculation a second time on math/big.Rat:
// formula, portions and additions, tightening, contents, ingredient list and open pairs,
// allergens, certificates, limits, exposure, inhalation, margins, thresholds of concern,
// aggregates, traces, reaction with lye, weighing. It imports nothing of calc and reads the
// tables as text; names that mean the same are asked of the dictionary, conditions of
// limit rows of calc/law, which has a slow test of its own. Not in it: headroom,
// Standards, dose per area, preservation, shelf life. A third of the generated formulas
// are moved so that a figure falls exactly onto its bound or a billionth beside it.
// Fractions must be equal, and so must verdicts and words.
//
//	go test ./calc -run TestWholeCalculation -v -exact 100000 -timeout 0
//
// Exposure and margins are binary fractions. A figure within 1e-9 of its bound is
// decided by exact fractions, and the figure shown stands on the side of its verdict.
package calc
