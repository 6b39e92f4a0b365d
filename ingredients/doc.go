// Package ingredients says what a raw material is: the sheet of one material as bought
// from one supplier, its constituents as ranges, the substance dictionary, and the
// papers behind all of them. Start at [Sheet].
//
// The package computes no formula, knows no law and prints nothing.
package ingredients
