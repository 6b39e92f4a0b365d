// Package table holds the tables of law and published guidance in one set, with the
// look-ups over them. Their readers stand in the packages beside it.
//
// Start at [Builtin], which returns the tables. The package holds no limit in its
// code: a figure that is not in a table is not known here.
//
// # Decisions
//
// 2026-11-25, reference tables keep their own columns. The tables in data have the
// columns of the reference they came from; Row gives each its key, source, seen mark,
// note and line.
//
// 2026-11-25, cautions as data. When a caution is shown is a condition in cautions.csv
// on form, function, name, constituent, flash point, heat or neighbours of a material;
// the reader refuses what it does not know.
package table
