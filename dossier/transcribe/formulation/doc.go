// Package formulation is what a maker's own formula was read as: products, phases,
// lines and amounts, each with its place, and what is to be minded and decided.
//
// A [Reading] is the whole document; its JSON is what `gallipot transcribe --formula
// --json` prints, [Print] shows it to a person. What is read is proposed, never taken:
// a line that is not sure has Ask with the reason. Amounts are decimal numbers in the
// unit of their line, as text, so that nothing is rounded.
package formulation
