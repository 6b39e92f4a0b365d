// Package checks judges a product that was read as a whole: the unit of its lines, the
// rest to 100, the sum, what is open, stands twice or is hidden, variants, lye.
//
// Decisions:
//   - 2026-11-29: "q.s." alone is the rest to 100 where one line has it and the
//     others leave room; an acid or a base that has it goes to a pH and is asked
//     about; of two, only water can be the rest.
//   - 2026-11-29: drops, spoons, pieces and volumes are taken as printed and asked
//     about on the line: they are no mass.
package checks
