// Package trade reads the rows of what the trade goes by and that is no law: product
// types, kinds of raw material, fats and their soaps, fragrance categories and
// Standards, polymers, words for uses and areas, and guidance for traces.
//
// Look-ups over whole tables stand in calc/law/table.
package trade
