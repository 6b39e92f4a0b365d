// Package law asks the tables what holds: which rows are in force in a market on a
// day, for a substance, in a situation. What the product file does not state comes back
// as undecided, never as a pass. It never compares a content with a limit.
package law
