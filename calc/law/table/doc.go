// Package table holds the law and the published guidance as data: CSV tables with a
// source on every row, embedded, and a typed reader for each.
//
// Start at [Builtin], which returns the tables. The package holds no limit in its
// code: a figure that is not in a table is not known here.
package table
