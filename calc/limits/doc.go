// Package limits holds a product against the rows of Annexes II to VI and the maker's
// own limits: which rows apply, what counts, how much room is left. Start at [Limits].
package limits
