// Package ingredients says what a raw material is: the sheet of one material as
// bought from one supplier, its constituents as ranges, identifiers (CAS, EC),
// the substance dictionary, and the papers behind all of them.
//
// It also holds the three things every other package needs: exact numbers
// ([Num], [Range], [Amount]), places in the maker's files ([Pos]), and what the
// program has to say ([Finding]). Start at [Sheet] for the data and at [Source]
// for how a file is read.
//
// The package computes no formula, knows no law and prints nothing.
package ingredients
