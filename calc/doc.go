// Package calc computes: from a formula, the sheets of its raw materials and
// the law tables to concentrations, ingredient order, allergens, limits,
// exposure and headroom. Start at [Assess].
//
// It is pure: it opens no file, reads no clock, prints nothing and uses no
// randomness. Date and market are arguments, and everything the program has to
// say comes back as findings.
//
// Percentages are exact rational numbers in % w/w. Exposure and margin figures,
// which carry two or three significant digits, are float64.
package calc
