// Package words holds the small English that documents and findings share: lists,
// counts, capitals, and what of a text may be printed.
package words
