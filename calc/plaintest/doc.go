// Package plaintest is the calculation a second time, for tests: on math/big.Rat, from the
// tables as text, with loops that look through everything. It imports nothing of calc:
// what it asks of names and conditions comes in from outside as [Asked], and is tried
// by tests of its own.
//
// Start at [NewRun]. A [Generator] makes the formulas that both calculations get.
package plaintest
