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
//
// Decisions.
//
// 2026-11-29, columns and remarks. The reader of each table names the columns that
// mean something and the remarks, which are words for people ([Remarks]). No code
// reads a remark but to print it; tests reword every remark and want the same
// figures, verdicts, findings and fingerprints. What notes, bases and names once
// steered has columns of its own. [TableInfo.Meaning] hashes the rows by what they
// mean, the mark "seen" among it, since findings rest on it; the day of the tables
// (facts.csv, row tables-state) is no part of it.
//
// 2026-11-29, a maker's own tables. They may lack the columns that came later; what
// their notes said until then is taken over row by row and asked about
// ("own-limits-note"). A column that the table has is read, and the note is not.
//
// 2026-11-29, words. Lists of words that decide how a wording is read stand in
// words.csv; most rest on common practice without a source and say so.
package law
