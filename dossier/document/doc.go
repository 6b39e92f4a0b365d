// Package document is the one tree that every printer prints: sections, tables with
// typed cells, callouts, lists, charts as plain data. A cell carries its value and
// the rule by which it is rounded; it is rounded once, by the printer.
//
// Start at [Document]. [Document.Check] finds what no printer could print well.
package document
