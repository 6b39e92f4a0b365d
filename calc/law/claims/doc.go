// Package claims reads the table of claims: wordings that the law or its guidance restricts,
// and the word lists they are made of.
//
// # Add a wording of claims
//
// A row with its patterns, a line for what it must find and one for what it must leave
// alone: claims.csv beside the other tables, claims_test.go.
package claims
