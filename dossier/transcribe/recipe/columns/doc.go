// Package columns finds the tables of a formula document and says what their columns
// hold: phase, name, INCI name, amount, unit, note. A head over two rows is joined,
// products side by side are parted, a table that lies on its side is turned.
//
// Decisions:
//   - 2026-11-29: a head needs a known name of a material and a known amount; without a
//     head a column of figures with a text before it is a formula.
package columns
