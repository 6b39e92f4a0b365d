// Package terms reads the words of formulas: phases and totals, versions, labels beside
// a formula, units in a title, amounts within a sentence. The words themselves stand in
// the tables of the lexicon.
package terms
