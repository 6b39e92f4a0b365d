// Package labelling says what the law asks a label to bear.
//
// # Decisions
//
// 2026-11-25, a period after opening alone. It is lawful only for what keeps more than
// 30 months, so a product that states nothing else is asked for its durability. A
// best-before month is the last one that ends within the time stated.
//
// 2026-11-29, an oil under its own name and inside Parfum (row I10 of the label rules)
// is asked about, not settled: which of the two it is there for is the maker's to say.
package labelling
