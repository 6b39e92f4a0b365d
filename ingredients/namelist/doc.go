// Package namelist keeps a long list of names in packed form and finds one by
// its folded spelling, or the nearest ones to a misspelt name.
//
// A list is made once by [Build] and read in place by [Open]: opening costs
// nothing that grows with the list. Names are kept in the order of their keys,
// each as the part that differs from the name before it; the words of all names
// are kept once, each with the names it stands in; three letters in a row lead to
// the words they stand in.
//
//	exact name    binary search over every sixteenth name
//	nearest name  words that are in the list, or near to one that is, weighted by
//	              how rare they are; the best few compared letter by letter
package namelist
