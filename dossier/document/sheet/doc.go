// Package sheet prints a document as a spreadsheet whose formulas compute again.
// Start at [Write].
package sheet
