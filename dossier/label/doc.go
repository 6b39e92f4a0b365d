// Package label says, sets and draws the label of a variant, and finds what the law
// asks of it and is not there. Start at [Labels].
package label
