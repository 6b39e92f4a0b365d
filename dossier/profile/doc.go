// Package profile gathers what is on file about the toxicology of each substance of a
// product: a line for each endpoint, with its state. Start at [All].
//
// It keeps apart what a document says, what a hazard class alone says, what is borrowed
// from another substance, what somebody called not relevant with a reason, and what nobody
// has supplied. It decides nothing: a class is no result of a test, and a missing one no
// sign that there is none.
//
// # Decisions
//
// 2026-11-30, purity. What one supplier states of the impurities of a substance speaks for
// that raw material alone: each that brings the substance is judged for itself.
package profile
