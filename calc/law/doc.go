// Package law holds the law and the published guidance as data: CSV tables
// with a source on every row, embedded, and the typed readers over them.
//
// Start at [Builtin], which returns the tables, and at the queries on [Tables]:
// [Tables.LimitsFor], [Tables.LimitsOf], [Tables.Allergens],
// [Tables.ProductType], [Tables.Dictionary]. A [Condition] of a limit is judged
// against a [Situation]; what the product file does not state comes back as
// undecided, never as a pass.
//
// The package decides nothing about a product: it never compares a content with
// a limit, and it holds no limit in its code. A figure that is not in a table is
// not known here.
package law
