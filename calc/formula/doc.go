// Package formula turns a product and its sheets into compositions: it resolves lines,
// slots, portions and additions to shares of raw materials, tightens the contents of
// each material, and multiplies them out to substances with their contributions.
// [Input] is everything that one assessment depends on.
//
// # Decisions
//
// 2026-11-25, percentages that miss 100. Within 0.01 they are used as typed. Beyond that
// the product is stopped, and the figures shown are scaled to 100.
//
// 2026-11-25, additions and portions. then_add is stirred into every portion alike,
// before filling.
//
// 2026-11-25, formula lines are plain numbers. A range there is refused: ranges belong
// to sheets. What is added by need (a pH adjuster) is written with its usual amount and
// recorded for each batch.
//
// 2026-11-25, the undeclared remainder. A composition that is not complete gets one more
// part, of whatever is missing to 100; it stands in the ingredient list in square
// brackets, so that nobody prints the list by mistake. What a fragrance does not
// disclose is simply Parfum.
package formula
